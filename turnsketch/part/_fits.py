"""Limits of size after ISO 286: a letter for the place, a number for the width."""

from __future__ import annotations

import re
from fractions import Fraction

from turnsketch.errors import InputError
from turnsketch.part.tables import Row, band, table

__all__ = ["fit_deviations_um", "fit_limits"]

_CODE = re.compile(r"([A-Za-z]{1,2})([0-9]{1,2})")
_UPPER_SHAFTS = ("d", "e", "f", "g", "h")
_LOWER_SHAFTS = ("m", "n", "p", "r", "s")
_LOWER_HOLES = ("D", "E", "F", "G", "H")
_UPPER_HOLES = ("K", "M", "N", "P")
_LARGEST_MM = 500
_COARSEST_HOLE_COLUMN = 9
"""The hole table's columns for grade 9 hold for every coarser grade."""


def _refusal(nominal_mm: float, code: str, why: str) -> InputError:
    return InputError(
        f"the fit {code} at {nominal_mm:g} mm is not in the tables ({why}): "
        'write the limits themselves, such as "24.98/25.00"'
    )


def _cell(row: Row | None, column: str) -> Fraction | None:
    text = row.get(column, "") if row is not None else ""
    return Fraction(text) if text else None


def _shaft(letter: str, grade: int, width: Fraction, size: float) -> tuple[Fraction, Fraction]:
    row = band(table("iso286_shaft_dev"), size)
    k_column = "k_IT4to7" if 4 <= grade <= 7 else "k_other"
    deviation = _cell(row, k_column if letter == "k" else letter)
    assert deviation is not None  # every letter's column is full to 500 mm
    if letter in _UPPER_SHAFTS:
        return deviation - width, deviation
    return deviation, deviation + width


def _hole(
    letter: str, grade: int, width: Fraction, size: float
) -> tuple[Fraction, Fraction] | None:
    row = band(table("iso286_hole_dev"), size)
    if letter in _LOWER_HOLES:
        lower = _cell(row, f"{letter}_EI")
        return None if lower is None else (lower, lower + width)
    upper = _cell(row, f"{letter}{min(grade, _COARSEST_HOLE_COLUMN)}_ES")
    return None if upper is None else (upper - width, upper)


def _excluded(letter: str, grade: int, size: float) -> bool:
    # Footnotes of the tables of ISO 286-1, from memory.
    return size <= 1 and (grade >= 14 or (letter == "N" and grade > 8))


def fit_deviations_um(nominal_mm: float, code: str) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) deviation of a tolerance class, micrometres.

    Parameters
    ----------
    nominal_mm : float
        Nominal size, over 0 up to and including 500 mm.
    code : str
        Shafts d e f g h js k m n p r s, holes D E F G H JS K M N P, with a grade from 1 to 16
        (K M N P: 5 and coarser). Small letters are shafts, capitals holes.

    Returns
    -------
    tuple of Fraction
        js and JS with an odd width keep the half micrometre (ISO 286-2:2010, from memory).

    Raises
    ------
    InputError
        No table covers it.

    Notes
    -----
    Source: ISO 286-1, with the tables under ``resources/tables`` (`iso286_it`,
    `iso286_shaft_dev`, `iso286_hole_dev`).
    """
    match = _CODE.fullmatch(code)
    if match is None:
        raise InputError(f'expected a fit such as "h6" or "H7", not "{code}"')
    letter, grade = match[1], int(match[2])
    if not 0 < nominal_mm <= _LARGEST_MM:
        raise _refusal(nominal_mm, code, "they run over 0 up to 500 mm")
    width = _cell(band(table("iso286_it"), nominal_mm), f"IT{grade}")
    if width is None or _excluded(letter, grade, nominal_mm):
        raise _refusal(nominal_mm, code, "no such grade at this size")
    if letter in ("js", "JS"):
        return -width / 2, width / 2
    if letter == "k" or letter in _UPPER_SHAFTS + _LOWER_SHAFTS:
        return _shaft(letter, grade, width, nominal_mm)
    if letter not in _LOWER_HOLES + _UPPER_HOLES:
        raise _refusal(nominal_mm, code, "they hold the shafts d to s and the holes D to P")
    pair = _hole(letter, grade, width, nominal_mm)
    if pair is None:
        raise _refusal(nominal_mm, code, "no such grade for this hole at this size")
    return pair


def fit_limits(nominal_mm: float, code: str) -> tuple[float, float]:
    """Return (lower, upper) limit of size in mm for `nominal_mm` with the fit `code`.

    See `fit_deviations_um` for the letters, grades, errors and the source.
    """
    lower, upper = fit_deviations_um(nominal_mm, code)
    # The shortest decimal of the float is what was typed: 25.4, not its binary neighbour.
    nominal = Fraction(repr(float(nominal_mm)))
    return float(nominal + lower / 1000), float(nominal + upper / 1000)
