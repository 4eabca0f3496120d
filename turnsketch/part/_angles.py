"""Readers of angles, taper ratios and chamfers."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Final

from turnsketch.part._reading import EXAMPLES, Context, Measure
from turnsketch.part._values import Typed, read_degrees, read_deviations

__all__ = ["check_half_angle", "read_angle", "read_chamfer", "read_ratio", "read_ratio_value"]

_STEEPEST: Final = 1000
"""C of the bluntest taper, 1:0.001: both angles are then within 0.06° of a flat face."""
_FINEST: Final = Fraction(1, 100_000)


def check_half_angle(context: Context, half_deg: Fraction, at: int) -> None:
    """Refuse an angle between surface and axis that is not over 0 and below 90 degrees."""
    if not 0 < half_deg < 90:
        context.cursor.refuse(
            "the angle between a surface and the axis is over 0° and below 90°", at
        )


def read_angle(context: Context) -> Measure:
    """Read an angle with its tolerance, or (an angle, "x", a length) as a chamfer."""
    cursor = context.cursor
    start = cursor.peek()
    typed = read_degrees(cursor)
    if cursor.is_symbol("x") or "angle" not in context.expect:
        context.require("chamfer" if "chamfer" in context.expect else "angle", start)
        return _chamfer_behind(context, typed)
    included = bool(cursor.accept_word("incl", "included"))
    value, pair = _angle_limits(context, typed)
    included = bool(cursor.accept_word("incl", "included")) or included
    measure = Measure("angle", value, context.unit, typed.decimals, included=included)
    for degrees in (value, *(pair or ())):
        check_half_angle(context, degrees * measure.half_of_angle, typed.start)
    return replace(measure, lower=pair[0], upper=pair[1]) if pair else measure


def _angle_limits(
    context: Context, typed: Typed
) -> tuple[Fraction, tuple[Fraction, Fraction] | None]:
    """Return nominal and (lower, upper), in degrees as typed."""
    cursor = context.cursor
    value = typed.value
    if not cursor.accept_symbol("/"):
        pair = read_deviations(cursor, lambda: read_degrees(cursor, bare=True))
        return value, (value + pair[0], value + pair[1]) if pair else None
    other = read_degrees(cursor)
    if other.value == value:
        cursor.refuse("the two limits are equal", other.start)
    return (value + other.value) / 2, (min(value, other.value), max(value, other.value))


def read_ratio(context: Context) -> Measure:
    """Read "1:10": C = 1/10, the change of diameter over the length (ISO 3040)."""
    context.require("ratio", context.cursor.peek())
    return Measure("ratio", read_ratio_value(context), context.unit)


def read_ratio_value(context: Context) -> Fraction:
    """Read "1:10" and return C."""
    cursor = context.cursor
    start = cursor.peek()
    above = _plain_number(context)
    if not cursor.accept_symbol(":"):
        cursor.fail('":"', "1:10")
    below = _plain_number(context)
    if not above or not below or not _FINEST <= above / below <= _STEEPEST:
        cursor.refuse("a taper ratio lies between 1:100000 and 1:0.001", start.start)
    return above / below


def _plain_number(context: Context) -> Fraction:
    if context.cursor.peek().kind != "number":
        context.cursor.fail(*EXAMPLES["ratio"])
    return Fraction(context.cursor.take().text.replace(",", ".").removesuffix("."))


def read_chamfer(context: Context) -> Measure:
    """Read "1x45°": length along the axis, then the angle to the axis.

    A tolerance of the length may stand before the x or at the end.
    """
    cursor = context.cursor
    measure = _leg(context)
    if not cursor.accept_symbol("x"):
        cursor.fail('"x" and the angle', "1x45°")
    slope = read_degrees(cursor)
    _check_slope(context, slope)
    if not measure.toleranced:
        measure = _with_limits(context, measure)
    return replace(measure, slope_deg=slope.value)


def _chamfer_behind(context: Context, slope: Typed) -> Measure:
    """Read the rest of "45° x 1"."""
    if not context.cursor.accept_symbol("x"):
        context.cursor.fail('"x" and the length of the chamfer', "45° x 1")
    _check_slope(context, slope)
    return replace(_leg(context), slope_deg=slope.value)


def _leg(context: Context) -> Measure:
    typed = context.number(*EXAMPLES["chamfer"])
    if not typed.value:
        context.cursor.refuse("a chamfer has a length over zero", typed.start)
    value = typed.value * context.scale
    return _with_limits(context, Measure("chamfer", value, context.unit, typed.decimals))


def _with_limits(context: Context, measure: Measure) -> Measure:
    pair = context.limits(measure.value)
    return replace(measure, lower=pair[0], upper=pair[1]) if pair else measure


def _check_slope(context: Context, slope: Typed) -> None:
    if not 0 < slope.value < 90:
        context.cursor.refuse("the angle of a chamfer is over 0° and below 90°", slope.start)
