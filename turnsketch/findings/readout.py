"""Findings about the readout's steps inside a tolerance."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, Severity
from turnsketch.readings.moves import Rounder

__all__ = ["few_steps"]

CAUTION_BELOW = 4
NOTE_BELOW = 10


def few_steps(view: PlanView) -> Iterator[Finding]:
    """Fewer than four (caution) or ten (note) readout steps lie inside a diameter's tolerance."""
    rounder = Rounder.of(view.lathe.readout, view.job.units)
    for section in view.part.sections:
        size = section.diameter
        if size is None:
            continue
        count = rounder.x_steps_inside(size.lower, size.upper)
        if count >= NOTE_BELOW:
            continue
        severity: Severity = "caution" if count < CAUTION_BELOW else "note"
        steps = "no step" if count == 0 else f"{count} step" + ("s" if count > 1 else "")
        yield finding(
            "few-readout-steps",
            severity,
            f"{section.label}: the readout has {steps} of X clear inside the limits",
            "set the last cut with the top slide at 5°44' (0.10 of slide is 0.02 on Ø), "
            "and measure before it",
            z=(section.front.z + section.back.z) / 2,
            r=section.front.r,
        )
