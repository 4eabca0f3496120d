"""Setting a last cut finer than the readout shows: the top slide swivelled to 5°44'.

At asin(0.1) = 5.739° a way along the slide moves the tool a tenth of it toward the axis, so 0.10
of slide is 0.02 on diameter (plane geometry; the practice is common).
"""

from __future__ import annotations

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.rounding import steps_inside
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput
from turnsketch.shop.records import Dial, Lathe
from turnsketch.units import from_mm

__all__ = ["FEW_STEPS", "fine_feed_lines", "fine_feed_scale", "tight_passes"]

FEW_STEPS = 4
"""Fewer readout steps than this inside a tolerance ask for it (common practice)."""


def fine_feed_lines(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> tuple[str, ...]:
    """Return the lines of the fine feed; nothing when the readout's steps will do."""
    tight = tight_passes(setup, numbers, given.lathe)
    slide = given.lathe.top_slide
    if not tight or slide is None:
        return ()
    surfaces = " and ".join(dict.fromkeys(f"{s.surface} (pass {s.number})" for s in tight))
    slide_way, on_diameter = ("0.10", "0.02") if numbers.units == "mm" else (".005", ".001")
    return (
        f"Fine feed for {surfaces}: the top slide at 5°44' to the spindle (scale "
        f"{fine_feed_scale(given.lathe)}), its dial at 0 and its slack out; the row before it "
        "says when to swivel.",
        f"For the last figures leave the cross wheel and screw the slide in: {slide_way} of slide "
        f"is {on_diameter} on Ø, {_divisions(slide.dial)}. The readout does not see it. The tool "
        "goes as far toward the chuck as the slide: stop that much before the shoulder.",
    )


def fine_feed_scale(lathe: Lathe) -> str:
    """Return what the slide's scale shows for the fine feed."""
    across = lathe.top_slide is not None and lathe.top_slide.scale_zero == "across"
    return "84°16'" if across else "5°44'"


def tight_passes(setup: SetupPlan, numbers: Numbers, lathe: Lathe) -> list[Pass]:
    """Return the last cuts whose limits hold too few steps of the readout; none without a slide."""
    if lathe.top_slide is None:
        return []
    return [
        step
        for step in setup.passes
        if step.last_on_surface and step.size and step.size.lower is not None
        and step.size.upper is not None and step.direction == "turn"
        and steps_inside(
            from_mm(step.size.lower, numbers.units), from_mm(step.size.upper, numbers.units),
            numbers.x_step,
        ) < FEW_STEPS
    ]  # fmt: skip


def _divisions(dial: Dial) -> str:
    """Return how much one division of the slide's dial is on diameter."""
    one = dial.per_turn / dial.divisions
    on_diameter = 0.2 * one
    other = "mm" if dial.unit == "mm" else "in"
    return f"one division ({one:.4g} {other}) is {on_diameter:.4g} {other} on Ø"
