"""Remedies that the program can carry out itself, finding by finding. No Qt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from turnsketch.desk import remedies_holding as holding
from turnsketch.desk import remedies_operations as operations
from turnsketch.desk.remedy_case import Case, Remedy
from turnsketch.job import Job, Operation
from turnsketch.plan_records import Finding, Plan
from turnsketch.shop.records import Shop

__all__ = ["APPLICABLE", "Remedy", "remedy_for"]

_REMEDIES: Final[dict[str, Callable[[Case], Remedy | None]]] = {
    "black-skin": holding.bright_bar,
    "blank-too-short": holding.more_room,
    "blank-too-small": holding.thicker_bar,
    "grip-long": holding.shorter_grip,
    "grip-short": holding.least_grip,
    "jaws-in-the-cut": holding.more_room,
    "near-the-jaws": holding.more_room,
    "grip-on-finished": holding.soft_jaws,
    "no-soft-jaws": holding.hard_jaws,
    "parting-far-out": holding.nearer_to_the_jaws,
    "shape-not-held": holding.four_jaws,
    "stick-out": holding.steadier,
    "swing": holding.larger_lathe,
    "thin-wall": holding.soft_jaws,
    "work-too-long": holding.longer_lathe,
    "back-not-made": operations.part_off_added,
    "blade-too-short": operations.longer_blade,
    "centre-hole-missing": operations.centre_hole_added,
    "centre-hole-raw-face": operations.faced_first,
    "centre-without-hole": operations.hole_for_the_centre,
    "depth-held-back": operations.allowed_depth,
    "feed-range": operations.usual_feed,
    "loose-piece": operations.put_last,
    "no-pass": operations.idle_left_out,
    "not-parted": operations.longer_blade,
    "over-size": operations.all_switched_on,
    "parting-on-centre": operations.switched_off,
    "roughness": operations.usual_feed,
    "speed-high": operations.usual_speed,
    "thin-finish": operations.more_to_finish,
    "too-deep": operations.allowed_depth,
    "wrong-tool": operations.fitting_tool,
}
_LEFT_OVER: Final = "left-over-"
"""Codes of metal that stays go on with their cause."""

APPLICABLE: Final = frozenset({*_REMEDIES, f"{_LEFT_OVER}*"})
"""Codes of findings that may have a remedy to apply; whether one does depends on the job."""


def remedy_for(
    job: Job,
    finding: Finding,
    shop: Shop,
    plan: Plan | None = None,
    proposals: Sequence[Sequence[Operation]] = (),
) -> Remedy | None:
    """Return the remedy of a finding; None where a person has to decide.

    Parameters
    ----------
    plan : Plan, optional
        The plan of `job` that has the finding: many remedies read numbers there.
    proposals : sequence, optional
        The program's own list of operations for each setup.
    """
    case = Case(job, finding, shop, plan, proposals)
    make = _REMEDIES.get(finding.code)
    if finding.code.startswith(_LEFT_OVER):
        make = operations.reaching
    if make is None or not 0 <= case.index < len(job.setups):
        return None
    found = make(case)
    return None if found is None or found.job == job else found
