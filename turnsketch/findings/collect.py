"""All findings of a plan: one small function each, registered here and nowhere else."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from turnsketch.findings import cuts, holding, parting, prints, reach, readout, replayed
from turnsketch.findings.view import PlanView, worst_first
from turnsketch.plan_records import Finding

__all__ = ["FINDERS", "findings_of"]

Finder = Callable[[PlanView], Iterable[Finding]]

FINDERS: tuple[Finder, ...] = (
    prints.open_sections,
    prints.contradictions,
    prints.repeats,
    prints.doubtful,
    holding.blank_too_small,
    holding.blank_too_short,
    holding.stick_out,
    holding.grip_too_short,
    holding.jaws_in_the_cut,
    holding.swing,
    reach.left_over,
    reach.empty_operations,
    reach.off_size,
    cuts.too_deep,
    cuts.thin_finish,
    cuts.speed_limited,
    cuts.no_surface_speed,
    cuts.feed_out_of_range,
    cuts.roughness,
    parting.blade_too_short,
    parting.centre_engaged,
    parting.not_parted,
    readout.few_steps,
    replayed.events,
)


def findings_of(view: PlanView) -> tuple[Finding, ...]:
    """Return everything that is to be said of a plan, worst first."""
    return worst_first(found for finder in FINDERS for found in finder(view))
