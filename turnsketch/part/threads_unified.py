"""Unified inch threads: standard series and limits of ASME B1.1.

Inches, exact decimals: the standard rounds on the way, half up, and so does this module. Basic
diameters are rounded to 4 places, tolerances of pitch diameter and bore to 6, of the major
diameter to 4. The constant-pitch series were tabulated with other roundings: their limits may
differ from the printed ones by 0.0001 in.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part.tables import Row, table
from turnsketch.part.thread_form import Limits, ThreadLimits
from turnsketch.units import INCH_MM

__all__ = [
    "CLASSES",
    "Series",
    "number_size",
    "series_of",
    "standard_tpi",
    "unified_allowance_in",
    "unified_limits",
    "unified_limits_in",
]

Series = Literal["UNC", "UNF", "UNEF", "UN", "UNS"]

CLASSES: Final = ("1A", "2A", "3A", "1B", "2B", "3B")
_CONSTANT: Final = (4, 6, 8, 12, 16, 20, 28, 32)
"""Threads an inch of the series UN."""
_ONE_DIAMETER: Final = (4, 6, 8)
"""Of these the length of engagement is the diameter, as with UNC and UNF; others: 9 pitches."""

_EXACT = Context(prec=28, rounding=ROUND_HALF_UP)
_D = Decimal
_PITCH_RATIO: Final = {
    "1A": _D("1.5"), "2A": _D(1), "3A": _D("0.75"),
    "1B": _D("1.95"), "2B": _D("1.3"), "3B": _D("0.975"),
}  # fmt: skip
_SMALL: Final = _D("0.138")
_QUARTER: Final = _D("0.25")


def _rounded(value: Decimal, places: int) -> Decimal:
    return value.quantize(_D(1).scaleb(-places), ROUND_HALF_UP)


def _root(value: Decimal, power: Fraction) -> Decimal:
    exact = _EXACT.power(value, _EXACT.divide(_D(power.numerator), _D(power.denominator)))
    return _rounded(exact, 20)  # (1/64)^(2/3) is 1/16, not a little less


def _row(diameter_in: Decimal) -> Row | None:
    for row in table("unified_series"):
        if _D(row["diameter_in"]) == diameter_in:
            return row
    return None


def number_size(number: int) -> Decimal | None:
    """Return the inches of a number size: 0.060 + 0.013 x number; None: there is no such size."""
    size = _D("0.060") + _D("0.013") * number
    return size if size < _QUARTER and _row(size) is not None else None


def standard_tpi(diameter_in: Decimal, series: str) -> Decimal | None:
    """Return the threads an inch of UNC, UNF or UNEF at that diameter, or None."""
    row = _row(diameter_in)
    return _D(row[series]) if row is not None and row.get(series) else None


def series_of(diameter_in: Decimal, tpi: Decimal) -> Series:
    """Return the standard series of that diameter and pitch; UNS where it is in none."""
    names: tuple[Series, ...] = ("UNC", "UNF", "UNEF")
    for series in names:
        if standard_tpi(diameter_in, series) == tpi:
            return series
    return "UN" if tpi in _CONSTANT and diameter_in >= _QUARTER else "UNS"


def _engagement(diameter: Decimal, pitch: Decimal, series: Series, tpi: Decimal) -> Decimal:
    if series in ("UNC", "UNF") or (series == "UN" and tpi in _ONE_DIAMETER):
        return diameter
    return 9 * pitch


def _basic_tolerance(diameter: Decimal, tpi: Decimal, series: Series) -> Decimal:
    """Return Td2 of class 2A, 6 places."""
    pitch = _EXACT.divide(_D(1), tpi)
    length = _engagement(diameter, pitch, series, tpi)
    return _rounded(
        _D("0.0015") * _root(diameter, Fraction(1, 3))
        + _D("0.0015") * length.sqrt(_EXACT)
        + _D("0.015") * _root(pitch, Fraction(2, 3)),
        6,
    )


def unified_allowance_in(
    diameter_in: Decimal, tpi: Decimal, series: Series, tolerance: str
) -> Decimal:
    """Return the allowance, inches: 0.3 Td2 for classes 1A and 2A, otherwise 0 (ASME B1.1)."""
    if tolerance not in ("1A", "2A"):
        return _D(0)
    return _rounded(_D("0.3") * _basic_tolerance(diameter_in, tpi, series), 6)


def _bore_tolerance(diameter: Decimal, pitch: Decimal, tolerance: str) -> Decimal:
    """Return the tolerance of the inside minor diameter, 6 places."""
    small = _D("0.05") * _root(pitch, Fraction(2, 3)) + _D("0.03") * pitch / diameter - _D("0.002")
    most = _D("0.394") * pitch
    if tolerance == "3B":
        # 13 threads an inch and finer; coarser ones have a plain share of the pitch.
        fine = pitch <= _EXACT.divide(_D(1), _D(13))
        least = _D("0.23") * pitch - _D("1.5") * pitch**2 if fine else _D("0.12") * pitch
        return _rounded(max(min(small, most), least), 6)
    plain = _D("0.25") * pitch - _D("0.4") * pitch**2
    if diameter < _QUARTER:
        return _rounded(max(min(small, most), plain), 6)
    return _rounded(plain if pitch <= _QUARTER else _D("0.15") * pitch, 6)


def _inside(diameter: Decimal, tpi: Decimal, series: Series, tolerance: str) -> ThreadLimits:
    pitch = _EXACT.divide(_D(1), tpi)
    height = _sharp(pitch)
    basic2 = _rounded(diameter - height * 3 / 4, 4)
    bore = _rounded(diameter - height * 5 / 4, 4)
    width = _rounded(_PITCH_RATIO[tolerance] * _basic_tolerance(diameter, tpi, series), 6)
    high2 = _rounded(basic2 + width, 4)
    # Bores are printed to three places; small sizes, and the upper limit of 3B, to four.
    small = diameter < _SMALL
    low1 = _rounded(bore, 4 if small else 3)
    places = 4 if small or tolerance == "3B" else 3
    high1 = _rounded(bore + _bore_tolerance(diameter, pitch, tolerance), places)
    top = _rounded(high2 + height * 11 / 12, 4)
    return _limits((diameter, top), (basic2, high2), (low1, high1))


def _outside(diameter: Decimal, tpi: Decimal, series: Series, tolerance: str) -> ThreadLimits:
    pitch = _EXACT.divide(_D(1), tpi)
    height = _sharp(pitch)
    basic = _basic_tolerance(diameter, tpi, series)
    allowance = unified_allowance_in(diameter, tpi, series, tolerance)
    share = _D("0.09") if tolerance == "1A" else _D("0.06")
    high = _rounded(diameter - allowance, 4)
    low = high - _rounded(share * _root(pitch, Fraction(2, 3)), 4)
    high2 = _rounded(_rounded(diameter - height * 3 / 4, 4) - allowance, 4)
    low2 = _rounded(high2 - _rounded(_PITCH_RATIO[tolerance] * basic, 6), 4)
    # Flat root at the basic minor diameter less the allowance; round root of radius H/8 below.
    high1 = _rounded(_rounded(diameter - height * 5 / 4, 4) - allowance, 4)
    low1 = _rounded(low2 - height * 3 / 4, 4)
    return _limits((low, high), (low2, high2), (low1, high1))


def _sharp(pitch: Decimal) -> Decimal:
    return pitch * _D(3).sqrt(_EXACT) / 2


def _limits(*pairs: tuple[Decimal, Decimal]) -> ThreadLimits:
    major, middle, minor = (Limits(float(low), float(high)) for low, high in pairs)
    return ThreadLimits(major, middle, minor)


def unified_limits_in(
    diameter_in: Decimal, tpi: Decimal, series: Series, tolerance: str
) -> ThreadLimits:
    """Return the limits of a Unified thread in inches.

    Parameters
    ----------
    diameter_in, tpi : Decimal
        Basic major diameter and threads an inch.
    series : Series
        It decides the length of engagement that the tolerance is for: UNC, UNF and UN of 4, 6
        and 8 threads one diameter, all others 9 pitches.
    tolerance : str
        1A, 2A, 3A (outside) or 1B, 2B, 3B (inside).

    Raises
    ------
    InputError
        There is no such class.

    Notes
    -----
    ASME B1.1: Td2 = 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3) for class 2A, times 1.5
    (1A), 0.75 (3A), 1.95 (1B), 1.3 (2B), 0.975 (3B); allowance 0.3 Td2; major diameter 0.060
    P^(2/3), class 1A 0.090 P^(2/3); formulas from memory, checked against printed limits.
    """
    if tolerance not in CLASSES:
        raise InputError(f'"{tolerance}" is no class of Unified threads: {", ".join(CLASSES)}')
    work = _inside if tolerance.endswith("B") else _outside
    return work(diameter_in, tpi, series, tolerance)


def unified_limits(
    diameter_in: Decimal, tpi: Decimal, series: Series, tolerance: str
) -> ThreadLimits:
    """Return the limits of `unified_limits_in` in millimetres."""
    inches = unified_limits_in(diameter_in, tpi, series, tolerance)
    return ThreadLimits(*(Limits(low * INCH_MM, high * INCH_MM) for low, high in inches))
