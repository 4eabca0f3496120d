"""All findings of a plan: one small function each, registered here and nowhere else."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import msgspec

from turnsketch.findings import (
    blank,
    centre,
    cuts,
    empty,
    feeds,
    holding,
    parting,
    paths,
    prints,
    reach,
    readout,
    replayed,
    speeds,
    steps,
    ties,
)
from turnsketch.findings.view import PlanView, worst_first
from turnsketch.plan_records import Finding

__all__ = ["FINDERS", "OF_A_SETUP", "OF_THE_JOB", "findings_of"]

Finder = Callable[[PlanView], Iterable[Finding]]

OF_THE_JOB: tuple[Finder, ...] = (
    prints.open_sections,
    prints.contradictions,
    prints.repeats,
    prints.doubtful,
    blank.blank_too_small,
    blank.skin_scraped,
    blank.swing,
    ties.split_ties,
)
"""What is said once, of print and blank; what has a place names the setup that makes it."""

OF_A_SETUP: tuple[Finder, ...] = (
    blank.blank_too_short,
    holding.stick_out,
    holding.grip_too_short,
    holding.grip_too_long,
    holding.jaws_in_the_cut,
    holding.near_the_jaws,
    centre.centre_without_hole,
    centre.centre_too_small,
    centre.hole_not_allowed,
    centre.hole_not_said,
    centre.hole_missing,
    centre.hole_in_raw_face,
    centre.quill_too_short,
    centre.work_too_long,
    empty.empty_operations,
    empty.wrong_tools,
    cuts.too_deep,
    cuts.setting_held_back,
    cuts.chamfer_too_wide,
    cuts.thin_finish,
    speeds.speed_held_back,
    speeds.speed_too_high,
    speeds.no_surface_speed,
    feeds.feed_out_of_range,
    feeds.roughness,
    feeds.power,
    reach.corners_left,
    reach.cusps_left,
    reach.left_over,
    reach.off_size,
    readout.few_steps,
    readout.no_step,
    readout.too_short_to_measure,
    parting.blade_too_short,
    parting.centre_engaged,
    parting.far_from_the_jaws,
    parting.not_parted,
    parting.stays_on_the_bar,
    steps.many_steps,
    steps.coarse_cusps,
    replayed.events,
    paths.inexact_paths,
)
"""What is said of each setup by itself."""

FINDERS = (*OF_THE_JOB, *OF_A_SETUP)


def findings_of(view: PlanView) -> tuple[Finding, ...]:
    """Return everything that is to be said of a plan, worst first."""
    found = [one for finder in OF_THE_JOB for one in finder(view)]
    for index, setup in enumerate(view.plan.setups):
        of_setup = view.at(index)
        made = [one for finder in OF_A_SETUP for one in finder(of_setup)]
        found += [msgspec.structs.replace(one, setup=setup.number) for one in made]
    return worst_first(found)
