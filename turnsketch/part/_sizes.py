"""Readers of lengths, diameters and radii with their limits, and of surface texture."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part._dimension import Kind
from turnsketch.part._fits import fit_deviations_um
from turnsketch.part._reading import EXAMPLES, Context, Measure
from turnsketch.part._scan import Token
from turnsketch.part._values import Typed

__all__ = ["Marker", "read_marker", "read_roughness", "read_size"]

Marker = Literal["Ø", "SØ", "R", "SR"]

_LARGEST_RA_UM: Final = 1000
_COARSEST_RA_UM: Final = 50
"""Ra of the coarsest grade, N12 (ISO 1302, from memory): more, without a unit, is microinches."""
_SURE_RA_UM: Final = 4
"""In an inch job a Ra above this, without a unit, may be either."""
_MICROINCH_UM: Final = Fraction(254, 10_000)
_SLACK_MM: Final = {"mm": Fraction(6, 10_000), "inch": Fraction(14, 10_000)}
"""Limits written behind a fit are rounded: js to a whole micrometre, inches to 0.0001."""


def read_marker(context: Context) -> Marker | None:
    """Step over Ø, SØ, R, SR or "dia"; a "dia" behind the number counts too."""
    cursor = context.cursor
    if cursor.is_word("s") and cursor.is_symbol("Ø", 1):
        cursor.take()
        cursor.take()
        return "SØ"
    if cursor.accept_symbol("Ø") or cursor.accept_word("dia"):
        return "Ø"
    word = cursor.accept_word("r", "sr")
    if word:
        return "SR" if word == "sr" else "R"
    behind = any(t.kind == "word" and t.text.lower() == "dia" for t in cursor.rest())
    return "Ø" if behind else None


def _kind(context: Context, marker: Marker | None, start: Token) -> Kind:
    if marker == "Ø" or (marker == "SØ" and "diameter" in context.expect):
        context.require("diameter", start)
        return "diameter"
    if marker is not None:
        context.require("radius", start)
        return "radius"
    plain: list[Kind] = [k for k in ("length", "diameter", "radius") if k in context.expect]
    if len(plain) != 1 or "chamfer" in context.expect:
        context.fail_kind(start)
    return plain[0]


def read_size(context: Context, marker: Marker | None, start: Token) -> Measure:
    """Read a length, diameter or radius and the limits behind it.

    Parameters
    ----------
    context : Context
        Its cursor stands behind the marker.
    marker : Marker or None
        None: the kind is the only one of the three that is expected.
    start : Token
        Where the size begins, marker included.
    """
    kind = _kind(context, marker, start)
    ball: dict[Marker | None, Literal["radius", "diameter"]] = {"SR": "radius", "SØ": "diameter"}
    first = context.number(*EXAMPLES[kind])
    value = first.value * context.scale
    measure = Measure(kind, value, context.unit, first.decimals, ball=ball.get(marker))
    if context.cursor.is_symbol("/"):
        low, high, decimals = _limits_from(context, first)
        middle = (low + high) / 2
        measure = replace(measure, value=middle, decimals=decimals, lower=low, upper=high)
    elif _fit_ahead(context):
        measure = _fitted(context, measure)
    else:
        low_high = context.limits(value)
        if low_high is not None:
            measure = replace(measure, lower=low_high[0], upper=low_high[1])
    return _shared(measure)


def _shared(measure: Measure) -> Measure:
    share = measure.share
    return replace(
        measure,
        value=measure.value * share,
        lower=None if measure.lower is None else measure.lower * share,
        upper=None if measure.upper is None else measure.upper * share,
    )


def _limits_from(context: Context, first: Typed) -> tuple[Fraction, Fraction, int | None]:
    """Read the slash and the second of two limits; return (lower, upper) in mm and decimals."""
    cursor = context.cursor
    cursor.take()
    second = context.number("the second limit", "24.98/25.00")
    if first.decimals == 0 and second.decimals == 0:
        cursor.refuse('limits need decimals, as in "24.0/25.0"', first.start)
    if first.value == second.value:
        cursor.refuse("the two limits are equal", second.start)
    low, high = sorted((first.value * context.scale, second.value * context.scale))
    typed = [number.decimals for number in (first, second) if number.decimals is not None]
    return low, high, max(typed, default=None)


def _fit_ahead(context: Context) -> bool:
    word, grade = context.cursor.peek(), context.cursor.peek(1)
    beside = grade.is_integer and grade.start == word.end
    return word.kind == "word" and len(word.text) <= 2 and beside


def _fitted(context: Context, measure: Measure) -> Measure:
    cursor = context.cursor
    at = cursor.peek().start
    code = cursor.take().text + cursor.take().text
    if measure.kind == "radius":
        cursor.refuse("a fit belongs to a diameter or a length", at)
    try:
        low, high = fit_deviations_um(float(measure.value), code)
    except InputError as error:
        cursor.refuse(error.what, at)
    cursor.skip_unit()
    pair = (measure.value + low / 1000, measure.value + high / 1000)
    _check_behind_fit(context, measure.value, code, pair)
    return replace(measure, fit=code, lower=pair[0], upper=pair[1])


def _check_behind_fit(
    context: Context, nominal: Fraction, code: str, pair: tuple[Fraction, Fraction]
) -> None:
    """Read the limits or deviations behind a fit, if they stand there: they must be its own."""
    cursor = context.cursor
    at, inside = cursor.peek().start, cursor.peek(1)
    told: tuple[Fraction, Fraction] | None
    if cursor.is_symbol("(") and inside.kind == "number" and inside.text.strip("0.,"):
        cursor.take()
        first = context.number("a limit", "24.98/25.00")
        if not cursor.is_symbol("/"):
            cursor.fail("the second limit", "24.98/25.00")
        low, high, _ = _limits_from(context, first)
        told = low, high
        if not cursor.accept_symbol(")"):
            cursor.fail('")"')
    else:
        told = context.limits(nominal)
    slack = _SLACK_MM[context.unit]
    if told and max(abs(told[0] - pair[0]), abs(told[1] - pair[1])) > slack:
        cursor.refuse(f"these are not the limits of {code} at this size", at)


def read_roughness(context: Context) -> Measure:
    """Read "Ra 1.6" (micrometres) or "Ra 63 µin".

    Without a unit it is micrometres; where that is in doubt (over 50 in a mm job, over 4 in an
    inch job) it is refused with the two ways to write it.
    """
    cursor = context.cursor
    context.require("roughness", cursor.peek())
    cursor.take()
    cursor.accept_word("max")
    token = cursor.peek()
    if token.kind != "number":
        cursor.fail("a roughness", "Ra 1.6")
    cursor.take()
    text = token.text.replace(",", ".").removesuffix(".")
    value = Fraction(text)
    word = cursor.accept_word("µm", "um", "µin", "uin")
    inch = word in ("µin", "uin")
    if word is None:
        _check_ra_unit(context, value, token)
    value = value * _MICROINCH_UM if inch else value
    if not 0 < value <= _LARGEST_RA_UM:
        cursor.refuse(f"Ra is over 0 and at most {_LARGEST_RA_UM} µm", token.start)
    return Measure("roughness", value, "inch" if inch else "mm", len(text.partition(".")[2]))


def _check_ra_unit(context: Context, value: Fraction, token: Token) -> None:
    if value > (_COARSEST_RA_UM if context.job_unit == "mm" else _SURE_RA_UM):
        context.cursor.refuse(
            f'say whether Ra is in micrometres, "Ra {token.text} µm", or microinches, '
            f'"Ra {token.text} µin"',
            token.start,
        )
