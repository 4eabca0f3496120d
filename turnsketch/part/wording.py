"""Lengths in the words of a message, in the job's unit."""

from __future__ import annotations

from turnsketch.units import Units, from_mm

__all__ = ["length_words", "number_words"]

_DECIMALS = {"mm": 2, "inch": 3}
_MOST = {"mm": 6, "inch": 7}


def number_words(value_mm: float, units: Units) -> str:
    """Return a length as a number: "0.50", with more decimals where they would all be zero."""
    value = from_mm(value_mm, units)
    for decimals in range(_DECIMALS[units], _MOST[units] + 1):
        text = f"{value:.{decimals}f}"
        if value == 0.0 or abs(float(text) - value) <= 0.01 * abs(value):
            return text
    return f"{value:.1e}"


def length_words(value_mm: float, units: Units) -> str:
    """Return a length with its unit: "0.50 mm", "0.020 in"."""
    return f"{number_words(value_mm, units)} {'in' if units == 'inch' else 'mm'}"
