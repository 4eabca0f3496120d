"""Points, straight lines and circular arcs in the ``(z, r)`` half plane, exact.

Axes are those of ISO 841: ``z`` along the spindle, positive away from the chuck; ``r`` across,
positive away from the axis. Pictures have z to the right and r up; "cw" and "ccw" are as seen so.
Every length is in millimetres, every angle in radians.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

__all__ = [
    "Arc",
    "Element",
    "Line",
    "Point",
    "Turn",
    "chain_chords",
    "flipped_in_r",
    "mirrored_in_z",
    "moved",
    "rectangle",
    "reversed_chain",
    "split_at_extremes",
]

Turn = Literal["cw", "ccw"]


class Point(NamedTuple):
    """A place ``(z, r)`` in millimetres; r is a radius, and may be negative beyond the axis."""

    z: float
    r: float

    def plus(self, other: Point) -> Point:
        """Return the sum of the two as vectors."""
        return Point(self.z + other.z, self.r + other.r)

    def minus(self, other: Point) -> Point:
        """Return the vector from `other` to this point."""
        return Point(self.z - other.z, self.r - other.r)

    def times(self, factor: float) -> Point:
        """Return the vector scaled by `factor`."""
        return Point(self.z * factor, self.r * factor)

    def distance(self, other: Point) -> float:
        """Return the distance to `other` (>= 0)."""
        return math.hypot(self.z - other.z, self.r - other.r)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line from `start` to `end`."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length of the line."""
        return self.start.distance(self.end)

    @property
    def start_direction(self) -> Point:
        """Unit vector of travel at the start (and everywhere)."""
        length = self.length
        return Point((self.end.z - self.start.z) / length, (self.end.r - self.start.r) / length)

    @property
    def end_direction(self) -> Point:
        """Unit vector of travel at the end."""
        return self.start_direction

    def reverse(self) -> Line:
        """Return the same line travelled the other way."""
        return Line(self.end, self.start)

    def at(self, fraction: float) -> Point:
        """Return the point at `fraction` of the length (0 start, 1 end)."""
        return Point(
            self.start.z + fraction * (self.end.z - self.start.z),
            self.start.r + fraction * (self.end.r - self.start.r),
        )

    def chords(self, chord: float) -> list[Point]:
        """Return ``[start, end]``; `chord` is for arcs alone."""
        return [self.start, self.end]


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular arc about `centre` from `start` to `end`, less than a full circle.

    The radius is the distance of `start` from `centre`; `end` lies on the same circle within
    1e-9 mm when the arc comes from this package.
    """

    start: Point
    end: Point
    centre: Point
    turn: Turn

    @property
    def radius(self) -> float:
        """Radius of the circle."""
        return self.start.distance(self.centre)

    @property
    def start_angle(self) -> float:
        """Angle of the start seen from the centre, from +z toward +r, in (-pi, pi]."""
        return math.atan2(self.start.r - self.centre.r, self.start.z - self.centre.z)

    @property
    def sweep(self) -> float:
        """Signed angle from start to end in radians: positive for "ccw", below a full turn."""
        sign = 1.0 if self.turn == "ccw" else -1.0
        end = math.atan2(self.end.r - self.centre.r, self.end.z - self.centre.z)
        return sign * ((sign * (end - self.start_angle)) % (2 * math.pi))

    @property
    def length(self) -> float:
        """Length along the arc."""
        return abs(self.sweep) * self.radius

    @property
    def start_direction(self) -> Point:
        """Unit vector of travel at the start."""
        return self._direction(self.start)

    @property
    def end_direction(self) -> Point:
        """Unit vector of travel at the end."""
        return self._direction(self.end)

    def _direction(self, at: Point) -> Point:
        radius = at.distance(self.centre)
        z, r = (at.z - self.centre.z) / radius, (at.r - self.centre.r) / radius
        return Point(-r, z) if self.turn == "ccw" else Point(r, -z)

    def reverse(self) -> Arc:
        """Return the same arc travelled the other way."""
        return Arc(self.end, self.start, self.centre, "cw" if self.turn == "ccw" else "ccw")

    def at(self, fraction: float) -> Point:
        """Return the point at `fraction` of the sweep (0 start, 1 end)."""
        if fraction == 0.0:
            return self.start
        if fraction == 1.0:
            return self.end
        angle = self.start_angle + fraction * self.sweep
        radius = self.radius
        return Point(
            self.centre.z + radius * math.cos(angle), self.centre.r + radius * math.sin(angle)
        )

    def chords(self, chord: float) -> list[Point]:
        """Return points from start to end whose chords stay within `chord` of the arc."""
        radius = self.radius
        step = 2 * math.acos(max(0.0, 1 - min(chord / radius, 1.0))) if radius > 0 else math.pi
        count = max(2, math.ceil(abs(self.sweep) / max(step, 1e-4)))
        return [self.at(i / count) for i in range(count + 1)]


Element = Line | Arc


def chain_chords(elements: Iterable[Element], chord: float) -> list[Point]:
    """Return the points of a connected chain as one polyline, no vertex twice in a row.

    Parameters
    ----------
    elements : iterable of Line or Arc
        Each begins where the one before ends.
    chord : float
        Largest gap between an arc and its chords.
    """
    points: list[Point] = []
    for element in elements:
        for point in element.chords(chord):
            if not points or point.distance(points[-1]) > 1e-12:
                points.append(point)
    return points


def split_at_extremes(
    element: Element, *, along: bool = True, across: bool = True
) -> list[Element]:
    """Return an arc cut where it is farthest out along z and across (r); a line as it is.

    Parameters
    ----------
    along, across : bool
        Whether the places of greatest and least z, and of greatest and least r, count.
    """
    if isinstance(element, Line):
        return [element]
    centre, radius = element.centre, element.radius
    ways = [(1.0, 0.0), (-1.0, 0.0)] if along else []
    ways += [(0.0, 1.0), (0.0, -1.0)] if across else []
    cuts: list[tuple[float, Point]] = []
    for z, r in ways:
        sign = 1.0 if element.sweep > 0 else -1.0
        turned = sign * (math.atan2(r, z) - element.start_angle) % (2 * math.pi)
        share = turned / abs(element.sweep)
        if 1e-6 < share < 1 - 1e-6:
            # Straight above, below and beside its centre the places on a circle are exact.
            cuts.append((share, Point(centre.z + z * radius, centre.r + r * radius)))
    points = [element.start, *(p for _, p in sorted(cuts)), element.end]
    return [Arc(a, b, centre, element.turn) for a, b in pairwise(points)]


def moved(element: Element, by: Point) -> Element:
    """Return `element` shifted by the vector `by`."""
    if isinstance(element, Line):
        return Line(element.start.plus(by), element.end.plus(by))
    return Arc(element.start.plus(by), element.end.plus(by), element.centre.plus(by), element.turn)


def mirrored_in_z(element: Element) -> Element:
    """Return `element` with every z changed in sign, travelled the same way along the chain."""

    def flip(point: Point) -> Point:
        return Point(-point.z, point.r)

    if isinstance(element, Line):
        return Line(flip(element.start), flip(element.end))
    turn: Turn = "cw" if element.turn == "ccw" else "ccw"
    return Arc(flip(element.start), flip(element.end), flip(element.centre), turn)


def reversed_chain(elements: Sequence[Element]) -> tuple[Element, ...]:
    """Return the chain travelled from its end to its start."""
    return tuple(element.reverse() for element in reversed(elements))


def flipped_in_r(element: Element, axis: float) -> Element:
    """Return `element` with every r replaced by ``axis - r``, travelled the same way."""

    def flip(point: Point) -> Point:
        return Point(point.z, axis - point.r)

    if isinstance(element, Line):
        return Line(flip(element.start), flip(element.end))
    turn: Turn = "cw" if element.turn == "ccw" else "ccw"
    return Arc(flip(element.start), flip(element.end), flip(element.centre), turn)


def rectangle(low: float, high: float, inner: float, outer: float) -> tuple[Point, ...]:
    """Return the ring between two z values and two radii, counterclockwise."""
    return (Point(low, inner), Point(high, inner), Point(high, outer), Point(low, outer))
