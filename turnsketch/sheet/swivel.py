"""Where the top slide is swivelled: a row of its own, and the tool is touched again behind it.

Swivelling moves the post: X and Z of every tool are lost (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.sheet.fine_feed import fine_feed_scale, tight_passes
from turnsketch.sheet.motions import motions_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.shop.records import Lathe
from turnsketch.units import INCH_MM

__all__ = ["Swivel", "swivels_of"]

FINE_ANGLE = math.asin(0.1)
"""The fine feed's 5°44'."""


@dataclass(frozen=True, slots=True)
class Swivel:
    """The top slide is brought to an angle before a pass."""

    angle: float
    """To the spindle, radians; below 0 the slide goes toward the axis on its way to the chuck."""
    words: str


def swivels_of(setup: SetupPlan, numbers: Numbers, lathe: Lathe) -> Mapping[int, Swivel]:
    """Return the swivels of a setup by the index of the pass that each stands before.

    The slide stands along the spindle at first. It is brought back where a tool is changed and no
    later pass wants an angle; len(passes) stands for the end.
    """
    wanted = _wanted(setup, numbers, lathe)
    found: dict[int, Swivel] = {}
    now = 0.0
    for index, step in enumerate(setup.passes):
        angle = wanted.get(index)
        changed = index > 0 and setup.passes[index - 1].tool != step.tool
        if angle is None and changed and not any(i > index for i in wanted):
            angle = 0.0
        if angle is not None and abs(angle - now) > 1e-6:
            found[index] = Swivel(angle, _words(angle, step, numbers, lathe))
            now = angle
    if now:
        found[len(setup.passes)] = Swivel(0.0, _words(0.0, setup.passes[-1], numbers, lathe))
    return found


def _wanted(setup: SetupPlan, numbers: Numbers, lathe: Lathe) -> dict[int, float]:
    """Return the angle that passes want, by index: tapers, and last cuts with the fine feed.

    A cut that stops to be measured with X kept has its tool touched before, not after it.
    """
    passes = setup.passes
    wanted = {
        index: _signed_angle(step)
        for index, step in enumerate(passes)
        if step.taper is not None and step.taper.means == "top slide"
    }
    wanted |= {index: angle for index, step in enumerate(passes) if (angle := _thread_angle(step))}
    for tight in tight_passes(setup, numbers, lathe):
        index = passes.index(tight)
        while index and passes[index - 1].keep_x and passes[index - 1].tool == tight.tool:
            index -= 1
        # Screwed in, the slide makes an outside thinner and a bore wider.
        angle = FINE_ANGLE if tight.inside else -FINE_ANGLE
        wanted[index] = wanted[passes.index(tight)] = angle
    return wanted


def _thread_angle(step: Pass) -> float:
    """Return the slide's angle to the spindle for infeed along a thread's flank; 0: straight in.

    The slide goes toward the axis and toward the chuck: the leading edge cuts. For a left-hand
    thread it goes the other way along the axis.
    """
    setting = step.thread
    if setting is None or setting.slide_angle_deg is None:
        return 0.0
    toward_axis = math.radians(90.0 - setting.slide_angle_deg)
    return toward_axis if setting.left_hand != step.inside else -toward_axis


def _signed_angle(step: Pass) -> float:
    """Return a taper's half angle, below 0 where X gets smaller toward the chuck."""
    assert step.taper is not None
    slant = next((m for m in motions_of(step) if m.cut and m.axis == "XZ"), None)
    half = abs(step.taper.half_angle)
    if slant is None:
        return half
    grows = (slant.after.x - slant.before.x) * (slant.after.z - slant.before.z) < 0
    return half if grows else -half


def _words(angle: float, step: Pass, numbers: Numbers, lathe: Lathe) -> str:
    across = lathe.top_slide is not None and lathe.top_slide.scale_zero == "across"
    if not angle:
        return f"Swivel the top slide back to 0°, along the spindle{' (scale 90°)' * across}."
    way = "grows" if angle > 0 else "gets smaller"
    shown, scale = numbers.angle(abs(angle)), ""
    if abs(abs(angle) - FINE_ANGLE) < 1e-9:
        shown, scale = "5°44'", fine_feed_scale(lathe)
    elif step.thread is not None and step.thread.slide_scale_deg is not None:
        scale = f"{step.thread.slide_scale_deg:g}°"
    elif step.taper is not None and step.taper.scale_deg is not None:
        scale = f"{step.taper.scale_deg:.3f}".rstrip("0").rstrip(".") + "°"
    along = 50.0 if numbers.units == "mm" else 2 * INCH_MM
    rise = numbers.fine(along * math.sin(abs(angle)))
    on = "50" if numbers.units == "mm" else "2 in"
    if step.thread is not None and step.thread.slide_scale_deg is not None:
        return (
            f"Swivel the top slide to {step.thread.slide_angle_deg:g}° from the cross slide (scale "
            f"{scale}) so that X {way} on its way to the chuck; turn the post square, clamp both."
        )
    return (
        f"Swivel the top slide to {shown} (scale {scale or shown}) so that X {way} on its way to "
        f"the chuck; check {rise} on {on} with the indicator; turn the post square, clamp both."
    )
