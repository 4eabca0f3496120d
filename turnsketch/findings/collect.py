"""All findings of a plan: one small function each, registered here and nowhere else."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import msgspec

from turnsketch.findings import (
    blank,
    bores,
    centre,
    changes,
    cones,
    cuts,
    drill_sizes,
    drilling,
    empty,
    feeds,
    flats,
    gripping,
    groove_lands,
    grooves,
    holding,
    knurls,
    parting,
    paths,
    prints,
    reach,
    readout,
    replayed,
    speeds,
    steady,
    steps,
    stick_out,
    thin_walls,
    threads,
    threads_printed,
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
    blank.lacks_metal,
    flats.flats_stay,
    ties.split_ties,
    bores.bore_not_made,
    grooves.groove_not_made,
    groove_lands.ring_land_short,
    groove_lands.groove_wall_thin,
    threads_printed.thread_not_made,
    threads_printed.special_thread,
    threads_printed.blank_off,
    threads_printed.no_lead_chamfer,
    knurls.knurl_not_made,
    cones.cone_off_gauge,
    cones.cone_length,
)
"""What is said once, of print and blank; what has a place names the setup that makes it."""

OF_A_SETUP: tuple[Finder, ...] = (
    blank.blank_too_short,
    stick_out.stick_out,
    stick_out.track_far_out,
    holding.grip_too_short,
    holding.grip_too_long,
    holding.jaws_in_the_cut,
    holding.near_the_jaws,
    flats.shape_not_held,
    flats.interrupted_cut,
    gripping.grip_touches_little,
    gripping.grip_on_finished,
    gripping.no_soft_jaws,
    gripping.thin_wall,
    thin_walls.thin_wall_bored,
    steady.steady_runs_rough,
    steady.steady_not_set,
    steady.steady_helps_nothing,
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
    changes.swap_saves_a_change,
    cuts.too_deep,
    cuts.setting_held_back,
    cuts.chamfer_too_wide,
    cuts.thin_finish,
    bores.bar_too_thick,
    bores.bar_overhang,
    bores.bar_springs,
    drilling.drill_held_back,
    drilling.drill_too_short,
    drilling.deep_hole,
    drilling.no_pilot,
    drilling.ream_allowances,
    drill_sizes.drill_would_do,
    drill_sizes.reamer_idle,
    drilling.ream_blind,
    drilling.quill_reach,
    grooves.cuts_on_weak_core,
    grooves.groove_after_finish,
    grooves.relief_after_thread,
    threads.pitch_not_cut,
    threads.half_nuts_closed,
    threads.run_out_short,
    threads.start_short,
    threads.tip_radius,
    threads.point_too_short,
    threads.thread_too_fast,
    threads.tap_or_die_short,
    knurls.knurl_bends,
    knurls.knurl_wall,
    knurls.knurl_ends,
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
    parting.long_part_falls,
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
