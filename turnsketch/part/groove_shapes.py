"""The walls and bottoms of grooves and reliefs as exact lines and arcs.

Every shape is drawn as if it stood in an outside cylinder and, at a shoulder, as if the shoulder
were behind it; `turned_to` puts it in place. Elements run from front to back, from the surface
into the groove and out again, so they fit into an outline where they take the place of a stretch
of it. Millimetres and radians; r is a radius.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from turnsketch.errors import InputError
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import (
    Arc,
    Element,
    Line,
    Point,
    Turn,
    flipped_in_r,
    mirrored_in_z,
    moved,
    reversed_chain,
)
from turnsketch.geometry.intersect import turn_between

__all__ = [
    "plain",
    "relief",
    "round_bottom",
    "rounded",
    "turned_to",
    "vee",
]

_LEAST = 1e-6


def rounded(points: Sequence[Point], radii: Sequence[float]) -> tuple[Element, ...]:
    """Return a polyline with rounds of the given radii at its inner corners.

    Parameters
    ----------
    points : sequence of Point
        Corners, ends included.
    radii : sequence of float
        One for each inner corner; 0 leaves it sharp.

    Raises
    ------
    InputError
        A round does not fit between its neighbours.
    """
    lines = [Line(a, b) for a, b in pairwise(points)]
    cuts = [0.0, *(_cut(a, b, r) for (a, b), r in zip(pairwise(lines), radii, strict=True)), 0.0]
    elements: list[Element] = []
    here = points[0]
    for index, line in enumerate(lines):
        before, after = cuts[index], cuts[index + 1]
        if before + after > line.length + _LEAST:
            raise InputError("the corner radius is too large for the groove; make it smaller")
        end = line.at(1.0 - after / line.length)
        if line.length - before - after > _LEAST:
            elements.append(Line(here, end))
        else:
            end = here
        if after > 0:
            following = lines[index + 1]
            to = following.at(after / following.length)
            elements.append(_round(end, to, line, following, radii[index]))
            here = to
        else:
            here = end
    return tuple(elements)


def _cut(before: Line, after: Line, radius: float) -> float:
    """Return how much of each neighbour a round takes."""
    return radius * math.tan(abs(turn_between(before.end_direction, after.start_direction)) / 2)


def _round(start: Point, end: Point, before: Line, after: Line, radius: float) -> Arc:
    turn = turn_between(before.end_direction, after.start_direction)
    sign = 1.0 if turn > 0 else -1.0
    way = before.end_direction
    centre = start.plus(Point(-way.r, way.z).times(sign * radius))
    sense: Turn = "ccw" if turn > 0 else "cw"
    return Arc(start, end, centre, sense)


def plain(
    front: float, back: float, top: float, bottom: float, slant: float, corner: float
) -> tuple[Element, ...]:
    """Return a groove with a flat bottom between walls that lean outward by `slant`.

    Parameters
    ----------
    front, back : float
        z of its walls at the surface.
    top, bottom : float
        Radii of the surface and of the bottom.
    slant : float
        Of each wall from square, 0 for upright walls.
    corner : float
        Radius in both bottom corners.
    """
    inset = (top - bottom) * math.tan(slant)
    if front - back - 2 * inset < _LEAST:
        raise InputError("the walls meet above the bottom; make the groove wider or shallower")
    corners = [
        Point(front, top),
        Point(front - inset, bottom),
        Point(back + inset, bottom),
        Point(back, top),
    ]
    return rounded(corners, (corner, corner))


def round_bottom(front: float, back: float, top: float, bottom: float) -> tuple[Element, ...]:
    """Return a groove with a round bottom: half a circle under upright walls, or less of one."""
    middle, depth, half = (front + back) / 2, top - bottom, (front - back) / 2
    radius = half if depth >= half - EXACT else (half * half + depth * depth) / (2 * depth)
    centre, low = Point(middle, bottom + radius), Point(middle, bottom)
    if depth > half + _LEAST:
        start, end = Point(front, bottom + radius), Point(back, bottom + radius)
        arcs = (Arc(start, low, centre, "cw"), Arc(low, end, centre, "cw"))
        return (Line(Point(front, top), start), *arcs, Line(end, Point(back, top)))
    start, end = Point(front, top), Point(back, top)
    return (Arc(start, low, centre, "cw"), Arc(low, end, centre, "cw"))


def vee(middle: float, top: float, bottom: float, half: float, tip: float) -> tuple[Element, ...]:
    """Return a groove between two flanks, its tip rounded.

    Parameters
    ----------
    half : float
        Half of its included angle.
    tip : float
        Radius at its bottom; `bottom` is the lowest place of the round.
    """
    deep = bottom - tip * (1.0 / math.sin(half) - 1.0)
    wide = (top - deep) * math.tan(half)
    corners = [Point(middle + wide, top), Point(middle, deep), Point(middle - wide, top)]
    return rounded(corners, (tip,))


def relief(
    top: float, bottom: float, flat: float, whole: float, radius: float
) -> tuple[Element, ...]:
    """Return a thread relief after DIN 76-1 at a shoulder that stands at z = 0 behind it.

    Parameters
    ----------
    flat, whole : float
        g1, from the shoulder to the foot of the slope, and g2, to its end on the thread.
    radius : float
        At both ends of the bottom.
    """
    corners = [Point(whole, top), Point(flat, bottom), Point(0.0, bottom), Point(0.0, top)]
    return rounded(corners, (radius, radius))


def turned_to(
    elements: Sequence[Element], at: float, top: float, *, shoulder_in_front: bool, inside: bool
) -> tuple[Element, ...]:
    """Return a shape moved to z = `at`, turned to a shoulder in front of it, or into a bore.

    Parameters
    ----------
    top : float
        Radius of the surface: a shape in a bore is mirrored in it.
    """
    shape = tuple(elements)
    if shoulder_in_front:
        shape = reversed_chain([mirrored_in_z(e) for e in shape])
    if inside:
        shape = tuple(flipped_in_r(e, 2 * top) for e in shape)
    return tuple(moved(e, Point(at, 0.0)) for e in shape)
