"""The equations of tapers, arcs and tangencies, with their derivatives, scaled to millimetres.

Unknowns are numbered *quantities*: levels ``z`` and ``r`` of vertices, ``z`` of centres, and for
every arc its bulge ``b = tan(sweep / 4)``, positive counterclockwise. With the cosine and sine of
half the sweep, ``c = (1 - b²)/(1 + b²)`` and ``s = 2b/(1 + b²)``, and the chord ``d``, end to end:

- radius: ``|d| = 2 R |s|``;
- centre: ``centre = middle + c / (2 s) · left(d)`` with ``left(z, r) = (-r, z)``;
- direction at the start: ``c d - s left(d)``, at the end: ``c d + s left(d)``, both as long as d.

All of it is plane trigonometry of the chord and its two tangents.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

__all__ = [
    "ArcCentre",
    "ArcRadius",
    "Direction",
    "Ends",
    "Equation",
    "Partials",
    "Semicircle",
    "Tangent",
    "TaperSlope",
    "centre_of",
    "direction_of",
    "half_sweep",
]

Partials = tuple[tuple[int, float], ...]
"""Pairs of a quantity and the derivative with respect to it."""


@dataclass(frozen=True, slots=True)
class Ends:
    """The quantities of one section: z and r of its ends, and its bulge when it is an arc."""

    zp: int
    rp: int
    zq: int
    rq: int
    bulge: int | None = None


class Equation(Protocol):
    """One equation; it holds where `at` gives 0."""

    @property
    def section(self) -> int:
        """Number (from 0) of its section in the sketch."""

    @property
    def given(self) -> int | None:
        """Number of the dimension that asks for it; None where the sketch itself does."""

    def at(self, x: Sequence[float], value: float) -> tuple[float, Partials]:
        """Return residual (mm) and derivatives, for a dimension that reads `value`."""

    def slope(self, x: Sequence[float], value: float) -> float:
        """Return the derivative of the residual with respect to the dimension's value."""


def half_sweep(bulge: float) -> tuple[float, float]:
    """Return cosine and sine of half the sweep of an arc."""
    square = bulge * bulge
    return (1.0 - square) / (1.0 + square), 2.0 * bulge / (1.0 + square)


def centre_of(zp: float, rp: float, zq: float, rq: float, bulge: float) -> tuple[float, float]:
    """Return z and r of the centre of an arc from its ends and its bulge."""
    k = (1.0 - bulge * bulge) / (4.0 * bulge)
    return (zp + zq) / 2.0 - k * (rq - rp), (rp + rq) / 2.0 + k * (zq - zp)


def _half_sweep_slopes(bulge: float) -> tuple[float, float]:
    square = (1.0 + bulge * bulge) ** 2
    return -4.0 * bulge / square, 2.0 * (1.0 - bulge * bulge) / square


@dataclass(frozen=True, slots=True)
class TaperSlope:
    """Half angle of a taper; `sign` is +1 when it opens toward the back."""

    section: int
    given: int | None
    ends: Ends
    sign: int

    def at(self, x: Sequence[float], value: float) -> tuple[float, Partials]:
        """Residual: radius gained minus radius wanted, measured square to the surface."""
        e, cos, sin = self.ends, math.cos(value), self.sign * math.sin(value)
        residual = (x[e.rq] - x[e.rp]) * cos - (x[e.zp] - x[e.zq]) * sin
        return residual, ((e.rq, cos), (e.rp, -cos), (e.zp, -sin), (e.zq, sin))

    def slope(self, x: Sequence[float], value: float) -> float:
        """Derivative with respect to the half angle."""
        e = self.ends
        gain, length = x[e.rq] - x[e.rp], x[e.zp] - x[e.zq]
        return -gain * math.sin(value) - self.sign * length * math.cos(value)


@dataclass(frozen=True, slots=True)
class ArcRadius:
    """Radius of an arc, whichever its sense."""

    section: int
    given: int | None
    ends: Ends

    def at(self, x: Sequence[float], value: float) -> tuple[float, Partials]:
        """Residual: chord minus the chord that the radius and the sweep make."""
        e = self.ends
        assert e.bulge is not None
        dz, dr = x[e.zq] - x[e.zp], x[e.rq] - x[e.rp]
        chord = math.hypot(dz, dr)
        uz, ur = (dz / chord, dr / chord) if chord else (-1.0, 0.0)
        twice = math.copysign(2.0 * value, x[e.bulge])
        residual = chord - twice * half_sweep(x[e.bulge])[1]
        bulge = -twice * _half_sweep_slopes(x[e.bulge])[1]
        return residual, ((e.zq, uz), (e.zp, -uz), (e.rq, ur), (e.rp, -ur), (e.bulge, bulge))

    def slope(self, x: Sequence[float], value: float) -> float:
        """Derivative with respect to the radius."""
        assert self.ends.bulge is not None
        return -2.0 * abs(half_sweep(x[self.ends.bulge])[1])


@dataclass(frozen=True, slots=True)
class ArcCentre:
    """Place of an arc's centre along one axis.

    Across ("r") the dimension gives it: `factor` times the diameter, 1/2 above the axis, -1/2
    beyond it. Along ("z") it is the quantity `level`.
    """

    section: int
    given: int | None
    ends: Ends
    axis: Literal["z", "r"]
    level: int | None = None
    factor: float = 0.5

    def at(self, x: Sequence[float], value: float) -> tuple[float, Partials]:
        """Residual: distance of the chord's middle from the centre, and what the sweep makes."""
        e = self.ends
        assert e.bulge is not None
        (c, s), (c_slope, s_slope) = half_sweep(x[e.bulge]), _half_sweep_slopes(x[e.bulge])
        dz, dr = x[e.zq] - x[e.zp], x[e.rq] - x[e.rp]
        if self.axis == "r":
            off = x[e.rp] + x[e.rq] - 2.0 * self.factor * value
            return s * off + c * dz, (
                (e.rp, s),
                (e.rq, s),
                (e.zq, c),
                (e.zp, -c),
                (e.bulge, s_slope * off + c_slope * dz),
            )
        assert self.level is not None
        off = x[e.zp] + x[e.zq] - 2.0 * x[self.level]
        return s * off - c * dr, (
            (e.zp, s),
            (e.zq, s),
            (self.level, -2.0 * s),
            (e.rq, -c),
            (e.rp, c),
            (e.bulge, s_slope * off - c_slope * dr),
        )

    def slope(self, x: Sequence[float], value: float) -> float:
        """Derivative with respect to the centre's diameter."""
        if self.axis == "z":
            return 0.0
        assert self.ends.bulge is not None
        return -2.0 * self.factor * half_sweep(x[self.ends.bulge])[1]


@dataclass(frozen=True, slots=True)
class Semicircle:
    """An arc whose chord is its diameter: a double root of the radius, hence its own equation."""

    section: int
    given: int | None
    ends: Ends

    def at(self, x: Sequence[float], value: float) -> tuple[float, Partials]:
        """Residual: size of the bulge minus one, times the chord."""
        e = self.ends
        assert e.bulge is not None
        chord = math.hypot(x[e.zq] - x[e.zp], x[e.rq] - x[e.rp])
        sign = math.copysign(1.0, x[e.bulge])
        return chord * (x[e.bulge] - sign), ((e.bulge, chord),)

    def slope(self, x: Sequence[float], value: float) -> float:
        """The radius decides that it holds, not what it gives."""
        return 0.0


@dataclass(frozen=True, slots=True)
class Direction:
    """Where a section heads at one end: a fixed direction, or that of its chord and bulge.

    `fixed` is (z, r); otherwise `ends` gives a straight line, or an arc at its "start" or "end".
    """

    fixed: tuple[float, float] | None = None
    ends: Ends | None = None
    at: Literal["start", "end"] = "start"


def direction_of(
    direction: Direction, x: Sequence[float]
) -> tuple[float, float, tuple[tuple[int, float, float], ...]]:
    """Return z and r of the direction (as long as the chord) and (quantity, dz, dr) slopes."""
    if direction.fixed is not None:
        return *direction.fixed, ()
    e = direction.ends
    assert e is not None
    dz, dr = x[e.zq] - x[e.zp], x[e.rq] - x[e.rp]
    if e.bulge is None:
        return dz, dr, ((e.zq, 1.0, 0.0), (e.zp, -1.0, 0.0), (e.rq, 0.0, 1.0), (e.rp, 0.0, -1.0))
    (c, s), (c_slope, s_slope) = half_sweep(x[e.bulge]), _half_sweep_slopes(x[e.bulge])
    if direction.at == "start":
        s, s_slope = -s, -s_slope
    bulge = (c_slope * dz - s_slope * dr, c_slope * dr + s_slope * dz)
    slopes = (
        (e.zq, c, s),
        (e.zp, -c, -s),
        (e.rq, -s, c),
        (e.rp, s, -c),
        (e.bulge, *bulge),
    )
    return c * dz - s * dr, c * dr + s * dz, slopes


@dataclass(frozen=True, slots=True)
class Tangent:
    """Two sections meet without a kink: the directions at their common end are parallel."""

    section: int
    given: int | None
    before: Direction
    after: Direction

    def at(self, x: Sequence[float], value: float) -> tuple[float, Partials]:
        """Residual: the cross product over the longer of the two directions.

        The divisor counts as constant: where the residual vanishes its slope does not matter.
        """
        az, ar, a_slopes = direction_of(self.before, x)
        bz, br, b_slopes = direction_of(self.after, x)
        long = 1.0
        if self.before.fixed is None and self.after.fixed is None:
            long = max(math.hypot(az, ar), math.hypot(bz, br), 1e-9)
        partials = [(q, (z * br - r * bz) / long) for q, z, r in a_slopes]
        partials += [(q, (az * r - ar * z) / long) for q, z, r in b_slopes]
        return (az * br - ar * bz) / long, tuple(partials)

    def slope(self, x: Sequence[float], value: float) -> float:
        """A radius may decide that it holds, not what it gives."""
        return 0.0
