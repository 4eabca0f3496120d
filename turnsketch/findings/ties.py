"""Findings about surfaces that the print ties together."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.part.ties import tie_name
from turnsketch.plan_records import Finding

__all__ = ["split_ties"]


def split_ties(view: PlanView) -> Iterator[Finding]:
    """Tied surfaces finished in different holdings: the second runs only as true as it is set."""
    made: dict[int, int] = {}
    for setup in view.plan.setups:
        for step in setup.passes:
            if step.last_on_surface and step.section is not None:
                made.setdefault(step.section, setup.number)
    for tie in view.job.part.ties:
        setups = sorted({made[number] for number in tie.sections if number in made})
        if len(setups) > 1 and not _true_by_holding(view, setups):
            where = " and ".join(str(number) for number in setups)
            yield finding(
                "tie-split",
                "caution",
                f"{tie_name(view.job.part, tie)} within {tie.value}: "
                f"its surfaces are finished in setups {where}",
                "finish them in one holding, or set the second true by indicator to that value",
                setup=setups[-1],
            )


def _true_by_holding(view: PlanView, setups: list[int]) -> bool:
    """Return whether the holdings themselves run true to one another (common practice).

    Work between centres turned end for end runs on the same two holes; on a mandrel it runs on
    the bore that a setup before has made.
    """
    held = [view.job.setups[number - 1].holding for number in setups]
    if all(holding.kind == "between centres" for holding in held):
        return True
    chucks = {number: view.at(number - 1).chuck for number in setups[1:]}
    return len(setups) == 2 and all(c.kind == "mandrel" for c in chucks.values())
