"""A dimension as the print writes it, read but not yet given limits it does not carry."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from turnsketch.units import Units

__all__ = ["Dimension", "Kind"]

Kind = Literal["length", "diameter", "radius", "angle", "ratio", "chamfer", "roughness"]


@dataclass(frozen=True, slots=True)
class Dimension:
    """Dimension text, read. Millimetres (a diameter stays a diameter) or radians."""

    text: str
    """The text, as typed."""
    kind: Kind
    nominal: float
    """mm; angle and ratio: radians of the half angle; roughness: Ra in micrometres. Where the
    print gives two limits ("24.98/25.00"), their middle."""
    exact: Fraction
    """The nominal as typed, without rounding: mm (inch times 127/5); angle: the degrees that
    stand in the text; ratio: C = (D - d) / L; roughness: micrometres."""
    lower: float | None = None
    """Lower limit, mm or radians of the half angle, when the text or its fit gives one. None:
    the general tolerance applies."""
    upper: float | None = None
    fit: str | None = None
    """Tolerance class after ISO 286, "h6"."""
    unit: Units = "mm"
    """The unit that the text was typed in."""
    decimals: int | None = None
    """Decimals as typed; None for a fraction, a ratio, and degrees with minutes."""
    count: int = 1
    """How many times the print says it has it: 2 for "2x R3"."""
    reference: bool = False
    """In brackets on the print: told for help, no demand."""
    included: bool = False
    """An angle typed as the included angle (both sides)."""
    bound: Literal["max", "min"] | None = None
    aim: float | None = None
    """What to cut to when the user says so: mm or radians of the half angle."""
    chamfer_angle: float | None = None
    """Chamfer: the angle of its slope to the axis, radians."""
    ball: Literal["radius", "diameter"] | None = None
    """A sphere's size, typed "SR15" or "SØ30"; for a radius typed "SØ30" all sizes are halved."""
