"""Lengths at the border: the program thinks in millimetres, prints may be in inches."""

from __future__ import annotations

from typing import Literal

__all__ = ["INCH_MM", "Units", "from_mm", "surface_speed_text", "to_mm"]

Units = Literal["mm", "inch"]

INCH_MM = 25.4
"""Millimetres in one inch, exact by definition (ISO 31-1 / NIST SP 811)."""


def to_mm(value: float, units: Units) -> float:
    """Return `value`, given in `units`, in millimetres."""
    return value * INCH_MM if units == "inch" else value


def from_mm(value_mm: float, units: Units) -> float:
    """Return `value_mm` in `units`."""
    return value_mm / INCH_MM if units == "inch" else value_mm


def surface_speed_text(metres_a_minute: float, units: Units) -> str:
    """Return a surface speed as the trade writes it: "100 m/min", on inch sheets "328 ft/min"."""
    if units == "inch":
        return f"{metres_a_minute * 1000 / (12 * INCH_MM):.0f} ft/min"
    return f"{metres_a_minute:.0f} m/min"
