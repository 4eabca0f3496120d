"""What a measurement changes, and how a zero is found on a raw face.

All plain differences; a value and its reading stand in the same unit, diameters as diameters.
"""

from __future__ import annotations

__all__ = [
    "corrected_aim",
    "present_reading",
    "raw_face_zero",
    "shift",
    "tailstock_error",
    "warm_growth_mm",
]


def shift(measured: float, expected: float) -> float:
    """Return measured minus expected: positive when the work came out larger than the readout."""
    return measured - expected


def present_reading(shown: float, measured: float, expected: float) -> float:
    """Return what to enter as the present X.

    With X left where it cut, `shown` is `expected` and the result is the measured diameter; with X
    moved since, the figure shown is shifted by measured minus expected.
    """
    return shown + shift(measured, expected)


def corrected_aim(aim: float, measured: float, expected: float) -> float:
    """Return the figure to turn to for `aim` when the readout is *not* entered anew."""
    return aim - shift(measured, expected)


def raw_face_zero(measured_length: float, print_length: float) -> float:
    """Return the Z to enter with the tool on the raw face of the second end.

    Examples
    --------
    >>> round(raw_face_zero(35.62, 35.00), 2)
    0.62
    """
    return measured_length - print_length


def tailstock_error(diameter_at_tailstock: float, diameter_at_chuck: float) -> float:
    """Return half the difference of the two ends: how far the centre stands off, on radius.

    Positive: the work is larger at the tailstock, so its centre stands away from the tool.
    """
    return (diameter_at_tailstock - diameter_at_chuck) / 2


def warm_growth_mm(size_mm: float, kelvin: float, expansion_um_m_k: float) -> float:
    """Return how much too large a size is while the work is `kelvin` over room temperature.

    Examples
    --------
    >>> round(warm_growth_mm(25.0, 20.0, 11.5), 3), round(warm_growth_mm(160.0, 30.0, 11.5), 3)
    (0.006, 0.055)
    """
    return size_mm * kelvin * expansion_um_m_k * 1e-6
