"""Findings about step tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, Pass
from turnsketch.planning.context import setting_mm
from turnsketch.planning.steps_pass import CUSP_MM
from turnsketch.readings.long_tapers import long_taper
from turnsketch.readings.steps import MANY_STEPS, many_steps_advice

__all__ = ["coarse_cusps", "many_steps"]

_SAME_MM = 1e-6


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
                _cheaper(view, made) or many_steps_advice(count, len(made.steps.tangents)),
                pass_number=made.number,
            )


def _cheaper(view: PlanView, made: Pass) -> str:
    """Return how a long taper is made without steps, with figures; empty where it is none."""
    section = view.section(made.section)
    if section is None or section.kind != "taper" or made.inside:
        return ""
    rise, length = abs(section.back.r - section.front.r), abs(section.back.z - section.front.z)
    if rise < _SAME_MM or length < _SAME_MM:
        return ""
    places = [p.z for ring in view.setup.blank for p in ring]
    work = max(places) - min(places)
    ways = long_taper(math.atan2(rise, length), length, work, view.lathe)
    told: list[str] = []
    if ways.set_over_mm is not None:
        told.append(
            f"hold the work, {view.text(work)} long, between centres and set the tailstock over "
            f"by {view.text(ways.set_over_mm)} (of the {view.text(view.lathe.set_over_mm)} that "
            f"{view.lathe.name} has): the carriage turns it under power"
        )
    if ways.stretches is not None and ways.scale_deg is not None:
        told.append(
            f"cut it by the top slide in {ways.stretches} stretches, its scale at "
            f"{ways.scale_deg:.3f}°, the carriage locked anew for each"
        )
    return "; or ".join(told)


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
