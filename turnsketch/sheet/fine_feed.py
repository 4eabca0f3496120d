"""Setting a last cut finer than the readout shows: the top slide swivelled to 5°44'.

At asin(0.1) = 5.739° a way along the slide moves the tool a tenth of it toward the axis, so 0.10
of slide is 0.02 on diameter (plane geometry; the practice is common).
"""

from __future__ import annotations

from turnsketch.plan_records import SetupPlan
from turnsketch.rounding import steps_inside
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput
from turnsketch.shop.records import Dial
from turnsketch.units import from_mm

__all__ = ["FEW_STEPS", "fine_feed_lines"]

FEW_STEPS = 4
"""Fewer readout steps than this inside a tolerance ask for it (common practice)."""


def fine_feed_lines(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> tuple[str, ...]:
    """Return the lines of the fine feed; nothing when the readout's steps will do."""
    tight = [
        step
        for step in setup.passes
        if step.last_on_surface and step.size and step.size.lower is not None
        and step.size.upper is not None and step.direction == "turn"
        and steps_inside(
            from_mm(step.size.lower, numbers.units), from_mm(step.size.upper, numbers.units),
            numbers.x_step,
        ) < FEW_STEPS
    ]  # fmt: skip
    slide = given.lathe.top_slide
    if not tight or slide is None:
        return ()
    scale = "5°44'" if slide.scale_zero == "along" else "84°16'"
    tapers = [s.number for s in setup.passes if s.taper and s.taper.means == "top slide"]
    before = tight[0].number
    earlier = [n for n in tapers if n < before]
    when = f"after pass {max(earlier)}" if earlier else "before the first tool is set"
    surfaces = " and ".join(dict.fromkeys(f"{s.surface} (pass {s.number})" for s in tight))
    slide_way, on_diameter = ("0.10", "0.02") if numbers.units == "mm" else (".005", ".001")
    return (
        f"Fine feed for {surfaces}: {when}, swivel the top slide to 5°44' from the spindle "
        f"(scale {scale}), its dial at 0 and its slack out; touch the tool again on X and Z.",
        f"For the last figures leave the cross wheel and screw the slide in: {slide_way} of slide "
        f"is {on_diameter} on Ø, {_divisions(slide.dial)}. The readout does not see it. The tool "
        "goes as far toward the chuck as the slide: stop that much before the shoulder.",
    )


def _divisions(dial: Dial) -> str:
    """Return how much one division of the slide's dial is on diameter."""
    one = dial.per_turn / dial.divisions
    on_diameter = 0.2 * one
    other = "mm" if dial.unit == "mm" else "in"
    return f"one division ({one:.4g} {other}) is {on_diameter:.4g} {other} on Ø"
