"""The limits that a dimension means: its own, its fit's, or those of the general tolerance."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.geometry.constants import EXACT
from turnsketch.part._dimension import Dimension
from turnsketch.part._fits import fit_limits
from turnsketch.part.outline_records import Size
from turnsketch.part.tables import band, table
from turnsketch.units import INCH_MM, Units, from_mm

__all__ = ["fit_limits", "general_limits", "size_of"]

_ISO_2768 = re.compile(r"ISO 2768(?:-1)?[- ]?([fmcv])[HKL]?")
_SMALLEST_MM: Final = 0.5
"""ISO 2768-1 gives no linear tolerance below it, and 0.5 itself is in the first range."""

_INCH_BY_DECIMALS: Final = {0: 1 / 64, 1: 0.030, 2: 0.010, 3: 0.005}
"""Inches, either way, by the decimals typed; a whole number counts as a fraction. Common
practice; a print's own title block wins over it."""
_INCH_FRACTION: Final = 1 / 64
_INCH_FINE: Final = 0.0005
"""Four decimals and more, common practice."""
_INCH_ANGLE_DEG: Final = 0.5

_REMEDY: Final = "write the tolerance at the dimension"


def general_limits(
    dimension: Dimension, rule: str, shorter_side_mm: float | None = None
) -> tuple[float, float]:
    """Return (lower, upper) of a dimension that carries no tolerance of its own.

    Parameters
    ----------
    dimension : Dimension
        Its nominal is taken; limits of its own are not looked at.
    rule : str
        ``ISO 2768-f``, ``-m``, ``-c``, ``-v`` (a class of geometrical tolerances behind it, as in
        ``ISO 2768-mK``, is passed over), or ``decimals`` for inch practice.
    shorter_side_mm : float, optional
        Angles after ISO 2768-1: length of the shorter side. None: not known, and the closest
        tolerance of the class is taken.

    Returns
    -------
    tuple of float
        Millimetres, or radians of the half angle. The tolerance is on the angle as the print
        gives it: an included angle and a ratio (which names the included angle) have half of it
        on the half angle. A lower limit below zero is zero.

    Raises
    ------
    InputError
        The rule is not known, or it gives no tolerance at this size.

    Notes
    -----
    Sources: ISO 2768-1:1989, table 1 (linear; also a ball's ``SR`` and ``SØ``), table 2 (radii
    and chamfer lengths; below 0.5 mm its first row), table 3 (angles). ``decimals``: common
    practice: fractions and whole numbers 1/64 in, .0 0.030, .00 0.010, .000 0.005, .0000
    0.0005, angles 0.5°.
    """
    width = _half_width(dimension, rule, shorter_side_mm)
    return _less(dimension.nominal, width), _more(dimension.nominal, width)


def size_of(dimension: Dimension, rule: str, shorter_side_mm: float | None = None) -> Size:
    """Return nominal, limits, aim and their source for a dimension.

    The aim is what the dimension says, otherwise the middle of the limits. Special cases:

    - ``max 25`` has 25 as its upper limit, ``min 25`` as its lower; the other limit lies the
      whole width of the general tolerance away, so that there is something to aim at.
    - A size of zero (a point on the axis, a centre on it) is exact.
    - A reference dimension has the limits of the general tolerance, or none (lower = upper) where
      the rule gives none: the print demands nothing of it.
    - Roughness: from zero to the value; the aim is the value.

    Raises
    ------
    InputError
        The aim lies outside the limits, or `general_limits` has none.
    """
    if dimension.kind == "roughness":
        return Size(dimension.nominal, 0.0, dimension.nominal, dimension.nominal, "print")
    lower, upper, source = _limits(dimension, rule, shorter_side_mm)
    # The middle of a plain general tolerance is the nominal, also where the lower limit was cut
    # off at zero.
    plain = dimension.bound is None and dimension.lower is None
    aim = dimension.nominal if plain else _middle(lower, upper)
    if dimension.aim is not None:
        aim = _checked_aim(dimension, dimension.aim, lower, upper, source)
    return Size(dimension.nominal, lower, upper, aim, source)


def _checked_aim(
    dimension: Dimension, aim: float, lower: float, upper: float, source: str
) -> float:
    if not lower - EXACT <= aim <= upper + EXACT:
        raise InputError(
            f"the aim {_shown(dimension, aim)} is outside {_shown(dimension, lower)} to "
            f'{_shown(dimension, upper)} ({source}) of "{dimension.text}": '
            "give an aim between them"
        )
    # An aim typed on a limit may differ from it in the last binary place.
    return min(max(aim, lower), upper)


def _limits(
    dimension: Dimension, rule: str, shorter_side_mm: float | None
) -> tuple[float, float, str]:
    nominal = dimension.nominal
    if dimension.lower is not None and dimension.upper is not None:
        source = f"{dimension.fit} (ISO 286-2)" if dimension.fit else "print"
        return dimension.lower, dimension.upper, source
    if nominal == 0:
        return 0.0, 0.0, "print"
    try:
        width = _half_width(dimension, rule, shorter_side_mm)
    except InputError:
        if not dimension.reference:
            raise
        return nominal, nominal, "reference"
    source = "reference" if dimension.reference else rule
    if dimension.bound == "max":
        return _less(nominal, 2 * width), nominal, f"max (print), width {rule}"
    if dimension.bound == "min":
        return nominal, _more(nominal, 2 * width), f"min (print), width {rule}"
    return _less(nominal, width), _more(nominal, width), source


def _typed(value: float) -> Fraction:
    """Return the shortest decimal that gives this float: 24.987 itself, not its neighbour."""
    return Fraction(repr(value))


def _less(nominal: float, width: float) -> float:
    return max(0.0, float(_typed(nominal) - _typed(width)))


def _more(nominal: float, width: float) -> float:
    return float(_typed(nominal) + _typed(width))


def _middle(lower: float, upper: float) -> float:
    return float((_typed(lower) + _typed(upper)) / 2)


def _half_width(dimension: Dimension, rule: str, shorter_side_mm: float | None) -> float:
    """Return the general tolerance, either way, in mm or radians of the half angle."""
    if rule == "decimals":
        return _by_decimals(dimension)
    match = _ISO_2768.fullmatch(rule)
    if match is None:
        raise InputError(
            f'the general tolerance "{rule}" is not known: '
            'write "ISO 2768-f", "-m", "-c", "-v" or "decimals"'
        )
    grade = match[1]
    if dimension.kind in ("angle", "ratio"):
        return _of_half_angle(dimension, _angle_deg(grade, shorter_side_mm))
    if dimension.kind == "chamfer" or (dimension.kind == "radius" and dimension.ball is None):
        # Below the table its first row: nobody writes a tolerance at a broken edge.
        size = max(dimension.nominal, _SMALLEST_MM)
        return _from_table("radius_chamfer", size, dimension, rule, grade)
    halved = dimension.kind == "radius" and dimension.ball == "diameter"
    share = 0.5 if halved else 1.0
    return share * _from_table("linear", dimension.nominal / share, dimension, rule, grade)


def _from_table(
    part: Literal["linear", "radius_chamfer"],
    size_mm: float,
    dimension: Dimension,
    rule: str,
    grade: str,
) -> float:
    rows = tuple(row for row in table("iso2768_1") if row["table"] == part)
    row = rows[0] if size_mm == _SMALLEST_MM else band(rows, size_mm)
    if row is None or not row[grade]:
        raise InputError(f'{rule} gives no tolerance for "{dimension.text}": {_REMEDY}')
    return float(row[grade])


def _angle_deg(grade: str, shorter_side_mm: float | None) -> float:
    rows = tuple(row for row in table("iso2768_1") if row["table"] == "angle")
    row = None if shorter_side_mm is None else band(rows, shorter_side_mm)
    degrees, minutes = (row or rows[-1])[grade].split(":")
    return int(degrees) + int(minutes) / 60


def _of_half_angle(dimension: Dimension, degrees: float) -> float:
    halved = dimension.included or dimension.kind == "ratio"
    return math.radians(degrees / 2 if halved else degrees)


def _by_decimals(dimension: Dimension) -> float:
    if dimension.kind in ("angle", "ratio"):
        return _of_half_angle(dimension, _INCH_ANGLE_DEG)
    if dimension.unit != "inch":
        raise InputError(
            f'the general tolerance by decimals is for inches, and "{dimension.text}" is in mm: '
            f"{_REMEDY}"
        )
    if dimension.decimals is None:
        inches = _INCH_FRACTION
    else:
        inches = _INCH_BY_DECIMALS.get(dimension.decimals, _INCH_FINE)
    halved = dimension.kind == "radius" and dimension.ball == "diameter"
    return inches * INCH_MM / (2 if halved else 1)


def _shown(dimension: Dimension, value: float) -> str:
    """Return a limit as the print would write it."""
    if dimension.kind in ("angle", "ratio"):
        doubled = dimension.included or dimension.kind == "ratio"
        included = " incl" if doubled else ""
        return f"{math.degrees(value) * (2 if doubled else 1):.4g}°{included}"
    unit: Units = dimension.unit
    typed = value * 2 if dimension.kind == "radius" and dimension.ball == "diameter" else value
    return f"{from_mm(typed, unit):.{3 if unit == 'mm' else 4}f}"
