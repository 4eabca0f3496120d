"""Findings about step tables."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding
from turnsketch.planning.context import setting_mm
from turnsketch.planning.steps_pass import CUSP_MM
from turnsketch.readings.steps import MANY_STEPS, many_steps_advice

__all__ = ["coarse_cusps", "many_steps"]


def many_steps(view: PlanView) -> Iterator[Finding]:
    """A step table so long that something better is to be had."""
    for made in view.setup.passes:
        if made.steps is None or not made.last_on_surface:
            continue
        count = len(made.steps.rows)
        if count > MANY_STEPS:
            yield finding(
                "many-steps",
                "note",
                f"pass {made.number}, {made.surface}: the step table has {count} steps",
                many_steps_advice(count, len(made.steps.tangents)),
                pass_number=made.number,
            )


def coarse_cusps(view: PlanView) -> Iterator[Finding]:
    """The readout is too coarse for the cusp that the operation allows."""
    for made in view.setup.passes:
        if made.steps is None or not made.last_on_surface:
            continue
        asked = view.settings(made.operation_number)
        limit = setting_mm(asked.cusp if asked else None, CUSP_MM, view.job.units, "cusp")
        if made.steps.cusp > limit + 1e-6:
            yield finding(
                "cusp-high",
                "caution",
                f"pass {made.number}, {made.surface}: the steps leave cusps of "
                f"{view.fine(made.steps.cusp)}; {view.fine(limit)} were asked for, and the "
                "readout's steps are too coarse for that",
                "allow a larger cusp, and file it off to the gauge",
                pass_number=made.number,
            )
