"""Ways along the slants and rounds of a groove: where they begin, and what lies above a level."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.planning.draft import DraftMove, cut, cut_along, position
from turnsketch.planning.groove_work import GrooveWork

__all__ = ["ABOVE_MM", "LONGEST_MM", "begin_above", "from_the_air", "led_in", "split_at"]

ABOVE_MM = 0.5
"""A move along a slant begins so far above the metal."""

LONGEST_MM = 6.0
"""A slant is followed no farther beyond its end, along Z; the tool comes down on its end then."""

_NEAR_MM = 4.0
_SAME_MM = 1e-6
_LEVEL = 0.05


def from_the_air(work: GrooveWork, path: Sequence[Element]) -> tuple[Element, ...]:
    """Return what of a way downward lies below the height at which the tool travels."""
    return split_at(tuple(path), _height(work, path[0]))[1]


def begin_above(work: GrooveWork, first: Element) -> Point:
    """Return where a move along a slant begins: on it, beyond its end, above the metal.

    Where it lies too flat, or something stands there, the tool comes down on its end.
    """
    start, way = first.start, first.start_direction
    high, above = _height(work, first), Point(start.z, work.out)
    if way.r > -_LEVEL:
        return above
    begin = start.plus(way.times((high - start.r) / way.r))
    if abs(begin.z - start.z) > LONGEST_MM or begin.r <= start.r:
        return above
    free = work.mover.free([begin, start], work.space.solid)
    clear = work.mover.free([Point(begin.z, work.out), begin], work.state.remaining)
    return begin if free and clear else above


def _height(work: GrooveWork, first: Element) -> float:
    """Return a radius above the metal around the upper end of a slant."""
    start, way = first.start, first.start_direction
    side = -math.copysign(1.0, way.z) if abs(way.z) > 1e-9 else 0.0
    ends = sorted((start.z - 0.1, start.z + side * _NEAR_MM + 0.1))
    over = shapely.clip_by_rect(work.state.remaining, ends[0], 0.0, ends[1], 1e4)
    top = over.bounds[3] if not over.is_empty else start.r
    return min(work.out, work.ctx.easy_radius(top + ABOVE_MM, top + 2 * ABOVE_MM))


def led_in(work: GrooveWork, above: Point | None, part: Sequence[Element]) -> list[DraftMove]:
    """Return the cuts along a way; `above`: where the tool comes in over it, None: it is there."""
    if above is None:
        return [cut_along(element) for element in part]
    lead = [position(above)] if above.r < work.out - _SAME_MM else []
    head = part[0]
    if isinstance(head, Line) and abs(_across(head, above)) < 1e-9:
        return [*lead, cut_along(Line(above, head.end)), *(cut_along(e) for e in part[1:])]
    return [*lead, cut(head.start), *(cut_along(e) for e in part)]


def _across(line: Line, place: Point) -> float:
    way, to = line.start_direction, place.minus(line.start)
    return way.z * to.r - way.r * to.z


def split_at(
    path: tuple[Element, ...], r: float
) -> tuple[tuple[Element, ...], tuple[Element, ...]]:
    """Return what of a way downward lies above a radius, and the rest."""
    for index, element in enumerate(path):
        if element.end.r >= r - _SAME_MM:
            continue
        if element.start.r <= r + _SAME_MM:
            return path[:index], path[index:]
        place = _place_at(element, r)
        upper, lower = _halves(element, place)
        return (*path[:index], upper), (lower, *path[index + 1 :])
    return path, ()


def _halves(element: Element, place: Point) -> tuple[Element, Element]:
    if isinstance(element, Line):
        return Line(element.start, place), Line(place, element.end)
    centre, turn = element.centre, element.turn
    return Arc(element.start, place, centre, turn), Arc(place, element.end, centre, turn)


def _place_at(element: Element, r: float) -> Point:
    """Return the place of a falling element at a radius, by halving."""
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if element.at(middle).r > r else (low, middle)
    return Point(element.at(low).z, r)
