"""Centre holes of 60 degrees, form A: sizes after ISO 6411 and ISO 866, and their half section.

The hole is a pilot with a drill's point and a 60 degree countersink. Its table stands in
``resources/tables/centre_holes.csv`` with its source. Millimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.part.tables import table

__all__ = ["CentreHole", "centre_hole", "centre_hole_sizes", "usual_size"]

_TAN_30 = math.tan(math.radians(30))
_TAN_60 = math.tan(math.radians(60))


@dataclass(frozen=True, slots=True)
class CentreHole:
    """A hole of form A. Diameters and depths in millimetres."""

    pilot: float
    """d1, after which the size is named."""
    countersink: float
    """d2, the rim at the end face."""
    depth: float
    """t, from the face to the tip; the drill's tip stands there too."""
    cutoff: float
    """Length that goes with the hole when it must not stay in the part."""
    body: float
    """Diameter of the drill's body."""

    @property
    def cone_depth(self) -> float:
        """Depth of the countersink: (d2 - d1) / 2 / tan 30 deg."""
        return (self.countersink - self.pilot) / 2 / _TAN_30

    @property
    def pilot_length(self) -> float:
        """Length of the pilot with its point."""
        return self.depth - self.cone_depth

    @property
    def tip(self) -> float:
        """Height of the pilot's point of 120 degrees."""
        return self.pilot / 2 / _TAN_60

    @property
    def designation(self) -> str:
        """As a print writes it."""
        return f"ISO 6411 - A {self.pilot:g}/{self.countersink:g}"

    def section(self, face: float) -> tuple[Point, ...]:
        """Return the hole's half section below an end face at z = `face`, open ring."""
        tip = face - self.depth
        return (
            Point(face, 0.0),
            Point(face, self.countersink / 2),
            Point(tip + self.pilot_length, self.pilot / 2),
            Point(tip + self.tip, self.pilot / 2),
            Point(tip, 0.0),
        )


@cache
def _holes() -> tuple[CentreHole, ...]:
    return tuple(
        CentreHole(
            float(row["d1"]),
            float(row["d2"]),
            float(row["t_min_a"]),
            float(row["cutoff_a"]),
            float(row["body_mm"]),
        )
        for row in table("centre_holes")
    )


def centre_hole_sizes() -> tuple[float, ...]:
    """Return the nominal sizes d1, ascending, millimetres."""
    return tuple(hole.pilot for hole in _holes())


def centre_hole(size: float) -> CentreHole:
    """Return the hole of nominal size d1.

    Raises
    ------
    InputError
        When there is no such size.
    """
    for hole in _holes():
        if abs(hole.pilot - size) < 1e-6:
            return hole
    sizes = ", ".join(f"{s:g}" for s in centre_hole_sizes())
    raise InputError(f"there is no centre hole A {size:g}; there are {sizes} mm")


def usual_size(diameter: float) -> float:
    """Return the size that is usual for a shaft of `diameter`; the largest beyond the table."""
    ranges = [row for row in table("centre_holes") if row["upto_mm"]]
    for row in ranges:
        if diameter <= float(row["upto_mm"]):
            return float(row["d1"])
    return float(ranges[-1]["d1"])
