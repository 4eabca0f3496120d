"""Numbers, angles and deviations inside dimension text, as exact fractions of what was typed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from turnsketch.part._scan import Cursor, Token
from turnsketch.units import Units

__all__ = [
    "Typed",
    "degrees_ahead",
    "read_degrees",
    "read_deviations",
    "read_number",
]

_DEGREE_WORDS: Final = ("deg", "degree", "degrees")
_DENOMINATORS: Final = (2, 4, 8, 16, 32, 64, 128)
_VULGAR: Final = {
    "¼": Fraction(1, 4),
    "½": Fraction(1, 2),
    "¾": Fraction(3, 4),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}


@dataclass(frozen=True, slots=True)
class Typed:
    """A value as typed: the unit is the text's."""

    value: Fraction
    decimals: int | None
    """None for a fraction, and for degrees with minutes."""
    start: int
    """Its place in the text."""


def _decimal(token: Token) -> Typed:
    text = token.text.replace(",", ".")
    decimals = len(text.partition(".")[2])
    return Typed(Fraction(text.removesuffix(".")), decimals, token.start)


def _is_fraction(cursor: Cursor, ahead: int) -> bool:
    """Whether whole number, slash, whole number other than 0 stand `ahead`."""
    below = cursor.peek(ahead + 2)
    return (
        cursor.peek(ahead).is_integer
        and cursor.is_symbol("/", ahead + 1)
        and below.is_integer
        and int(below.text) != 0
    )


def _hyphen_joins(cursor: Cursor) -> bool:
    """Whether "1-3/8" stands here without spaces about the hyphen."""
    whole, hyphen, above = (cursor.peek(ahead) for ahead in range(3))
    return cursor.is_symbol("-", 1) and whole.end == hyphen.start and hyphen.end == above.start


def _mixed_step(cursor: Cursor) -> int:
    """Return how many tokens lie before the fraction of a mixed number; 0: it is none."""
    if not cursor.peek().is_integer:
        return 0
    if cursor.peek(1).kind == "vulgar" or _is_fraction(cursor, 1):
        return 1
    return 2 if _hyphen_joins(cursor) and _is_fraction(cursor, 2) else 0


def _part_of_one(cursor: Cursor) -> Fraction:
    if cursor.peek().kind == "vulgar":
        return _VULGAR[cursor.take().text]
    above = int(cursor.take().text)
    cursor.take()
    below = cursor.peek()
    if int(below.text) not in _DENOMINATORS:
        cursor.refuse(
            "an inch fraction has 2, 4, 8, 16, 32, 64 or 128 below the line "
            '(limits have decimals, "1.250/1.248")',
            below.start,
        )
    cursor.take()
    return Fraction(above, int(below.text))


def _read_fraction(cursor: Cursor, unit: Units, step: int) -> Typed:
    start = cursor.peek().start
    if unit == "mm":
        cursor.refuse(
            'whole numbers with a slash are an inch fraction: write "3/8 in", '
            'or two limits with decimals, "24.0/25.0"',
            start,
        )
    whole = int(cursor.take().text) if step else 0
    if step == 2:
        cursor.take()
    at = cursor.peek().start
    part = _part_of_one(cursor)
    if step and part >= 1:
        cursor.refuse('the fraction of a mixed number is below 1, as in "1 3/8"', at)
    return Typed(whole + part, None, start)


def read_number(cursor: Cursor, unit: Units, expected: str, such_as: str = "") -> Typed:
    """Read a decimal number or an inch fraction, and a unit of length behind it.

    Whole numbers with a slash are a fraction in inches ("3/8", "1 3/8", "1-3/8", "9/8"), with a
    power of two up to 128 below the line. In millimetres they are refused: nobody prints 3/8 mm,
    so it may be inches without their sign or two limits without their decimals.

    Raises
    ------
    InputError
        No number stands here (`expected` and `such_as` go into the sentence), or a fraction that
        nobody prints.
    """
    token = cursor.peek()
    step = _mixed_step(cursor)
    if step or token.kind == "vulgar" or _is_fraction(cursor, 0):
        typed = _read_fraction(cursor, unit, step)
    elif token.kind == "number":
        typed = _decimal(cursor.take())
    else:
        cursor.fail(expected, such_as)
    cursor.skip_unit()
    return typed


def degrees_ahead(cursor: Cursor, ahead: int = 0) -> bool:
    """Whether a number with a degree sign stands `ahead`."""
    if cursor.peek(ahead).kind != "number":
        return False
    return cursor.is_symbol("°", ahead + 1) or cursor.is_word(*_DEGREE_WORDS, ahead=ahead + 1)


def _sixtieth(cursor: Cursor, sign: str) -> Fraction | None:
    """Read "30'" (or seconds, sign "s") if it stands here; in its own unit."""
    token = cursor.peek()
    if token.kind != "number" or not cursor.is_symbol(sign, 1):
        return None
    value = _decimal(cursor.take()).value
    cursor.take()
    if value >= 60:
        cursor.refuse("minutes and seconds of arc are below 60", token.start)
    return value


def read_degrees(cursor: Cursor, *, bare: bool = False) -> Typed:
    """Read "15°", "15.5 deg", 15°30' or 15°30'20" in degrees.

    With `bare` (inside a tolerance, behind another angle) "30'" and "0.5" will do.
    """
    token = cursor.peek()
    minutes = _sixtieth(cursor, "'") if bare else None
    if minutes is None:
        if token.kind != "number":
            cursor.fail("an angle", "15°")
        whole = _decimal(cursor.take())
        signed = cursor.accept_symbol("°") or cursor.accept_word(*_DEGREE_WORDS)
        if not (signed or bare):
            cursor.fail("a degree sign", f"{token.text}°")
        if not signed:
            return whole
    else:
        whole = Typed(Fraction(0), 0, token.start)
    at = cursor.peek().start
    minutes = _sixtieth(cursor, "'") if minutes is None else minutes
    seconds = _sixtieth(cursor, "s")
    if minutes is None and seconds is None:
        return whole
    if whole.decimals:
        cursor.refuse("an angle has decimals or minutes, not both", at)
    value = whole.value + (minutes or 0) / Fraction(60) + (seconds or 0) / Fraction(3600)
    return Typed(value, None, token.start)


def _signed(cursor: Cursor, read: Callable[[], Typed]) -> Fraction | None:
    """Read one deviation: a signed value, or a zero without a sign."""
    sign = cursor.accept_symbol("+", "-")
    if sign is None and not (
        cursor.peek().kind == "number" and not cursor.peek().text.strip("0.,")
    ):
        return None
    value = read().value
    if sign is None and value:
        cursor.fail("a sign before a deviation", "+0.02/-0.01")
    return -value if sign == "-" else value


def _pair(cursor: Cursor, read: Callable[[], Typed]) -> tuple[Fraction, Fraction] | None:
    start = cursor.peek().start
    if cursor.accept_symbol("±"):
        value = read().value
        if not value:
            cursor.refuse("a tolerance of zero cannot be made", start)
        return -value, value
    first = _signed(cursor, read)
    if first is None:
        return None
    cursor.accept_symbol("/")
    second = _signed(cursor, read)
    if second is None:
        cursor.fail("the second deviation with its sign", "+0/-0.1")
    if first == second:
        cursor.refuse("the two deviations are equal, and a tolerance of zero cannot be made", start)
    return min(first, second), max(first, second)


def read_deviations(cursor: Cursor, read: Callable[[], Typed]) -> tuple[Fraction, Fraction] | None:
    """Read (lower, upper) deviation, in any order, with or without brackets; None: none here.

    Both must be written: a single "+0.02" leaves open what the other is.
    """
    bracket = cursor.is_symbol("(")
    if not bracket:
        return _pair(cursor, read)
    cursor.take()
    pair = _pair(cursor, read)
    if pair is None:
        cursor.fail("a tolerance", "+0.02/-0.01")
    if not cursor.accept_symbol(")"):
        cursor.fail('")"')
    return pair
