"""Small helpers for pictures in plain Python: mirroring, clipping, hatching, profile lines."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Box, Stroke

__all__ = [
    "area_of",
    "around",
    "clipped",
    "hatching",
    "kinks",
    "mirrored",
    "profile",
    "turned_over",
]

Ring = tuple[Point, ...]
_AXIS = 1e-6


def mirrored(ring: Iterable[Point]) -> Ring:
    """Return the ring mirrored in the axis, its sense of travel kept."""
    return tuple(Point(p.z, -p.r) for p in ring)[::-1]


def turned_over(points: Iterable[Point]) -> Ring:
    """Return the points with r downward, as one sees a tool from where one stands."""
    return tuple(Point(p.z, -p.r) for p in points)


def around(rings: Iterable[Iterable[Point]]) -> Box:
    """Return the box around all points of `rings`.

    Raises
    ------
    ValueError
        When there is no point.
    """
    points = [p for ring in rings for p in ring]
    if not points:
        raise ValueError("a box needs at least one point")
    z, r = [p.z for p in points], [p.r for p in points]
    return Box(Point(min(z), min(r)), Point(max(z), max(r)))


def _cut(ring: Sequence[Point], axis: int, limit: float, above: bool) -> list[Point]:
    """Keep the side of one straight line (Sutherland and Hodgman's step)."""
    kept: list[Point] = []
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        inside_a = (a[axis] >= limit) == above or a[axis] == limit
        inside_b = (b[axis] >= limit) == above or b[axis] == limit
        if inside_a:
            kept.append(a)
        if inside_a != inside_b:
            share = (limit - a[axis]) / (b[axis] - a[axis])
            kept.append(Point(a.z + share * (b.z - a.z), a.r + share * (b.r - a.r)))
    return kept


def clipped(ring: Sequence[Point], box: Box) -> Ring:
    """Return the part of `ring` inside `box`; empty when nothing is.

    A shape that falls into several pieces keeps them joined along the box's edge, which is
    invisible where it is filled only.
    """
    points = list(ring)
    for axis, limit, above in (
        (0, box.low.z, True),
        (0, box.high.z, False),
        (1, box.low.r, True),
        (1, box.high.r, False),
    ):
        if len(points) < 3:
            return ()
        points = _cut(points, axis, limit, above)
    return tuple(points) if len(points) >= 3 else ()


def profile(ring: Sequence[Point]) -> list[Ring]:
    """Return the lines of a half section's ring without the sides that lie on the axis."""
    sides = list(zip(ring, (*ring[1:], ring[0]), strict=True))
    drawn = [not (abs(a.r) < _AXIS and abs(b.r) < _AXIS) for a, b in sides]
    if all(drawn):
        return [(*ring, ring[0])]
    first = drawn.index(False)
    lines: list[Ring] = []
    line: list[Point] = []
    for (a, b), keep in zip(
        sides[first:] + sides[:first], drawn[first:] + drawn[:first], strict=True
    ):
        if keep:
            line = [*(line or [a]), b]
        elif line:
            lines.append(tuple(line))
            line = []
    if line:
        lines.append(tuple(line))
    return lines


def kinks(
    ring: Sequence[Point], least_side: float = 0.0, least_rad: float = math.radians(12)
) -> list[Point]:
    """Return the corners of `ring` at which a turned body shows an edge.

    Corners between two sides shorter than `least_side` are left out: the cusps of a step table
    would make the body black.
    """
    found = []
    for a, b, c in zip((ring[-1], *ring[:-1]), ring, (*ring[1:], ring[0]), strict=True):
        turn = math.atan2(c.r - b.r, c.z - b.z) - math.atan2(b.r - a.r, b.z - a.z)
        short = max(a.distance(b), b.distance(c)) < least_side
        if not short and abs(math.remainder(turn, 2 * math.pi)) > least_rad and b.r > _AXIS:
            found.append(b)
    return found


def hatching(rings: Sequence[Sequence[Point]], spacing: float) -> list[Stroke]:
    """Return 45 degree lines through the area of `rings` (even-odd), `spacing` apart.

    The lines run through fixed places of the frame, so the hatch of neighbouring pictures agrees.
    """
    root = math.sqrt(0.5)

    def along(p: Point) -> Point:
        return Point((p.z + p.r) * root, (p.r - p.z) * root)

    def back(p: Point) -> Point:
        return Point((p.z - p.r) * root, (p.z + p.r) * root)

    turned = [[along(p) for p in ring] for ring in rings]
    sides = [
        side for ring in turned for side in zip(ring, (*ring[1:], ring[0]), strict=True) if ring
    ]
    if not sides:
        return []
    low, high = min(a.r for a, _ in sides), max(a.r for a, _ in sides)
    strokes = []
    for index in range(math.ceil(low / spacing), math.floor(high / spacing) + 1):
        level = (index + 0.137) * spacing
        places = sorted(
            a.z + (level - a.r) / (b.r - a.r) * (b.z - a.z)
            for a, b in sides
            if (a.r > level) != (b.r > level)
        )
        for start, end in zip(places[::2], places[1::2], strict=True):
            strokes.append(Stroke((back(Point(start, level)), back(Point(end, level))), "hatch"))
    return strokes


def area_of(ring: Sequence[Point]) -> float:
    """Return the area of a ring, whichever way it runs, in square millimetres."""
    if len(ring) < 3:
        return 0.0
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    return abs(sum(a.z * b.r - b.z * a.r for a, b in sides)) / 2
