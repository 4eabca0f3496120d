"""Dimension text as it stands on prints, read by one parser.

It follows ISO 129-1 and ISO 286-1 where they have a form, and inch practice where they have none.
Rules where prints are not of one mind:

- The job's unit holds unless the text has one (``mm``, ``in``, ``"``); a text has one unit.
- A comma is a decimal mark. Marks between thousands are refused.
- A slash between two numbers, one of them with a decimal mark, separates limits, in either order;
  the nominal is then their middle. Two whole numbers with a slash are an inch fraction (a power
  of two up to 128 below the line); in millimetres they are refused, because they may be inches
  without their sign or limits without their decimals.
- ``2x R3`` and ``2x 12.5`` count; ``2x30°`` is a chamfer of 2 at 30°, and ``2x0.5`` where a
  chamfer may stand is refused.
- Both deviations must be written ("+0/-0.1"), and a tolerance of zero is refused.
- A bare number at a corner, where both a chamfer and a round may stand, is refused.
- A fit may carry its limits behind it, ``25 h6 (0/-0.013)``: they must agree.
- A shank taper's name, ``Morse 2`` or ``MT2``, stands where a ratio may.
- ``SØ30`` where a radius stands is a radius of 15; its tolerance is halved with it.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal, NoReturn

from turnsketch.part._angles import (
    check_half_angle,
    read_angle,
    read_chamfer,
    read_ratio,
    read_ratio_value,
)
from turnsketch.part._dimension import Dimension, Kind
from turnsketch.part._reading import TOLERANCE, Context, Measure
from turnsketch.part._scan import scan
from turnsketch.part._sizes import read_marker, read_roughness, read_size
from turnsketch.part._values import degrees_ahead, read_degrees
from turnsketch.part.cones import Cone, named_cone
from turnsketch.units import Units, from_mm

__all__ = ["LARGEST_MM", "Dimension", "Kind", "format_length", "parse"]

LARGEST_MM: Final = 100_000
"""No size on a print is larger."""

_LARGEST_X: Final = 10**6

_MOST: Final = 99
"""No print counts more of one thing."""

Bound = Literal["max", "min"]


def parse(text: str, units: Units, expect: Collection[Kind]) -> Dimension:
    """Read dimension text.

    Parameters
    ----------
    text : str
        As it stands on the print.
    units : {"mm", "inch"}
        The job's unit, which holds where the text has none.
    expect : collection of Kind
        What may stand at this place. A bare number is the one of length, diameter and radius
        that is expected.

    Returns
    -------
    Dimension
        In millimetres and radians.

    Raises
    ------
    InputError
        One sentence that says what was expected, and where in the text.
    """
    return _parsed(text, units, frozenset(expect))


@lru_cache(maxsize=4096)
def _parsed(text: str, units: Units, expect: frozenset[Kind]) -> Dimension:
    """Read dimension text once: every edit of a job reads all of its texts again."""
    cone = named_cone(text) if "ratio" in expect else None
    if cone is not None:
        return _cone(text, cone, units)
    cursor = scan(text)
    context = Context(cursor, cursor.typed_unit() or units, units, expect)
    bracket = bool(cursor.accept_symbol("("))
    count = _read_count(context)
    bracket = bracket or bool(cursor.accept_symbol("("))
    before = _accept_bound(context)
    measure = _read_measure(context)
    bound, remark = _read_remarks(context, before, measure)
    if bracket and not cursor.accept_symbol(")"):
        cursor.fail('")"')
    aim = _read_aim(context, measure)
    if cursor.peek().kind != "end":
        _fail_behind(context, measure)
    _check_range(context, measure)
    plain = _dimension(cursor.text, measure)
    return replace(
        plain,
        lower=plain.nominal if bound == "min" else plain.lower,
        upper=plain.nominal if bound == "max" else plain.upper,
        count=count,
        reference=bracket or remark,
        bound=bound,
        aim=aim,
    )


def format_length(value_mm: float, units: Units, decimals: int) -> str:
    """Return `value_mm` in `units` with that many decimals and no sign on a zero."""
    shown = f"{from_mm(value_mm, units):.{decimals}f}"
    return shown if shown.strip("-0.") else shown.lstrip("-")


def _cone(text: str, cone: Cone, units: Units) -> Dimension:
    """Return the taper of a cone that goes by a name, "Morse 2"."""
    # The standard gives 1:x with three decimals of x.
    exact = Fraction(cone.taper).limit_denominator(_LARGEST_X)
    return Dimension(text.strip(), "ratio", cone.half_angle, exact, unit=units)


def _dimension(text: str, measure: Measure) -> Dimension:
    """Turn the fractions into millimetres and radians."""
    to_float = measure.to_float()
    slope = measure.slope_deg
    return Dimension(
        text=text,
        kind=measure.kind,
        nominal=to_float(measure.value),
        exact=measure.value,
        lower=None if measure.lower is None else to_float(measure.lower),
        upper=None if measure.upper is None else to_float(measure.upper),
        fit=measure.fit,
        unit=measure.unit,
        decimals=measure.decimals,
        included=measure.included,
        chamfer_angle=None if slope is None else math.radians(float(slope)),
        ball=measure.ball,
    )


def _read_measure(context: Context) -> Measure:
    cursor = context.cursor
    if cursor.is_word("ra"):
        return read_roughness(context)
    start = cursor.peek()
    marker = read_marker(context)
    if marker is None:
        if degrees_ahead(cursor):
            return read_angle(context)
        if cursor.peek().kind == "number" and cursor.is_symbol(":", 1):
            return read_ratio(context)
        if cursor.peek().kind not in ("number", "vulgar"):
            context.fail_kind(start)
        crossed = any(token.text == "x" for token in cursor.rest())
        if crossed and ("chamfer" in context.expect or degrees_ahead(cursor, 2)):
            context.require("chamfer", start)
            return read_chamfer(context)
        if context.expect <= {"angle", "ratio"} and "angle" in context.expect:
            read_degrees(cursor)
    return read_size(context, marker, start)


def _read_count(context: Context) -> int:
    """Read "2x" where it counts: not where it begins a chamfer."""
    cursor = context.cursor
    token = cursor.peek()
    if not (token.is_integer and cursor.is_symbol("x", 1)):
        return 1
    number_next = cursor.peek(2).kind in ("number", "vulgar")
    crosses = sum(token.text == "x" for token in cursor.rest())
    if degrees_ahead(cursor, 2) and crosses == 1:
        return 1
    if "chamfer" in context.expect and number_next and crosses == 1:
        cursor.fail("a chamfer with its angle", "1x45°", token.start)
    if not 1 <= int(token.text) <= _MOST:
        cursor.refuse(f"a count is from 1 to {_MOST}", token.start)
    cursor.take()
    cursor.take()
    return int(token.text)


def _accept_bound(context: Context) -> Bound | None:
    word = context.cursor.accept_word("max", "min")
    return None if word is None else ("max" if word == "max" else "min")


def _read_remarks(
    context: Context, bound: Bound | None, measure: Measure
) -> tuple[Bound | None, bool]:
    """Read "max", "min", "ref" and "dia" behind the size; return the bound and whether "ref"."""
    cursor = context.cursor
    remark = False
    at = 0
    while cursor.is_word("max", "min", "ref", "dia"):
        at = cursor.peek().start
        found = _accept_bound(context)
        if found and bound:
            cursor.refuse("a size has one of max and min, once", at)
        bound = bound or found
        remark = cursor.accept_word("ref", "dia") == "ref" or remark
    if bound and measure.toleranced:
        cursor.refuse("a size has two limits, or one of max and min, not both", at)
    return bound, remark


def _read_aim(context: Context, measure: Measure) -> float | None:
    """Read "aim 24.99" and return it in mm or radians of the half angle."""
    cursor = context.cursor
    if measure.kind == "roughness" or not cursor.accept_word("aim"):
        return None
    at = cursor.peek().start
    if measure.kind == "ratio" and not degrees_ahead(cursor):
        return measure.to_float()(read_ratio_value(context))
    if measure.kind in ("angle", "ratio"):
        half = read_degrees(cursor, bare=True).value * measure.half_of_angle
        check_half_angle(context, half, at)
        return math.radians(float(half))
    typed = context.number("a size to aim at", "aim 24.99")
    return float(typed.value * context.scale * measure.share)


def _fail_behind(context: Context, measure: Measure) -> NoReturn:
    """Say what could have stood where something else stands."""
    cursor = context.cursor
    if cursor.is_symbol("/") and measure.fit:
        cursor.refuse("give the fit of this part alone, not of the pair")
    if measure.toleranced or measure.kind in ("ratio", "roughness"):
        cursor.fail("nothing more")
    if measure.kind == "angle":
        cursor.fail("a tolerance", "±0.5°")
    cursor.fail(*TOLERANCE)


def _check_range(context: Context, measure: Measure) -> None:
    if measure.kind in ("angle", "ratio", "roughness"):
        return
    if max(measure.value, measure.upper or 0) > LARGEST_MM:
        context.cursor.refuse(f"a size is at most {LARGEST_MM} mm", 0)
    if measure.lower is not None and measure.lower < 0:
        context.cursor.refuse("the lower limit would be below zero", 0)
