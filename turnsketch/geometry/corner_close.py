"""Rolling arcs about sharp corners, replaced by the straight ways that two handwheels can follow.

The exact path rolls the nose about every sharp corner of the outline, an arc of the nose's own
radius that nobody turns by hand. Its two neighbours are extended to their meeting point instead:
the tool leaves the corner for a moment and cuts air. All in millimetres.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

import shapely

from turnsketch.geometry.constants import CHORD_FINE, EXACT
from turnsketch.geometry.contact_path import Caution, ContactPath, PathElement
from turnsketch.geometry.elements import Arc, Element, Line, Point, chain_chords
from turnsketch.geometry.intersect import crossings, fraction_at

__all__ = ["closed_at_corners"]

FARTHEST_TURN = math.radians(120)
"""A corner sharper than this is not closed to its meeting point, which lies farther than 1.73 nose
radii beyond the neighbours' ends."""

PLACES = 8
"""Each part of an extension is checked exactly at so many places, and at its end."""

TANGENT = 1e-6
"""Neighbours whose direction differs by less (radians) run into the arc without a kink."""


def closed_at_corners(path: ContactPath) -> ContactPath:
    """Return `path` without rolling arcs: their neighbours are extended to where they meet.

    Where that would lead unreasonably far (the path turns by more than 120 degrees) or into metal,
    the corner is cut short by straights that touch the rolling arc from outside, and a caution of
    kind "cut short" gives its place. Every extension is checked against the outline: exactly at
    places, and by the path's no-go region between them.
    """
    elements: list[PathElement] = list(path.elements)
    cautions = list(path.cautions)
    index = 0
    while index < len(elements):
        shape = elements[index].shape
        if elements[index].contact != "vertex" or not isinstance(shape, Arc):
            index += 1
            continue
        before = elements[index - 1] if index > 0 else None
        after = elements[index + 1] if index + 1 < len(elements) else None
        closed = _meeting(shape, before, after, path)
        if closed is None:
            closed, words = _cut_short(shape, before, after, path)
            cautions.append(Caution(shape.at(0.5), words, "cut short"))
        elements[max(index - 1, 0) : index + 2] = closed
        # Go on with the neighbour after: the next arc may follow it at once.
        index = max(index - 1, 0) + len(closed) - (1 if after is not None else 0)
    return replace(path, elements=tuple(elements), cautions=tuple(cautions))


def _meeting(
    arc: Arc, before: PathElement | None, after: PathElement | None, path: ContactPath
) -> list[PathElement] | None:
    """Return the neighbours extended to their meeting point; None when that will not do."""
    if abs(arc.sweep) > FARTHEST_TURN:
        return None
    tangents = _tangent_polygon(arc, 1)[0]
    first = before.shape if before and _smooth(before.shape.end_direction, arc, 0) else None
    last = after.shape if after and _smooth(after.shape.start_direction, arc, 1) else None
    corner = tangents
    if first is not None and last is not None and not _both_straight(first, last):
        found = [p for p in crossings(first, last) if _beyond(first, last, p, arc, tangents)]
        if not found:
            first = first if isinstance(first, Line) else None
            last = last if isinstance(last, Line) else None
        else:
            corner = min(found, key=tangents.distance)
    else:
        first = first if isinstance(first, Line) else None
        last = last if isinstance(last, Line) else None
    return _assembled(arc, before, after, (first, last), [corner], path)


def _cut_short(
    arc: Arc, before: PathElement | None, after: PathElement | None, path: ContactPath
) -> tuple[list[PathElement], str]:
    """Return straights that touch the arc from outside, as few as leave the metal alone."""
    first = before.shape if before and _smooth(before.shape.end_direction, arc, 0) else None
    last = after.shape if after and _smooth(after.shape.start_direction, arc, 1) else None
    straight = (
        first if isinstance(first, Line) else None,
        last if isinstance(last, Line) else None,
    )
    for corners in (2, 3, 4, 6, 8, 16, 32):
        found = _assembled(arc, before, after, straight, _tangent_polygon(arc, corners), path)
        if found is not None:
            return found, (
                f"the corner is cut short by {corners - 1} short straight(s): extended to their"
                " meeting point its neighbours would lead too far or into metal"
            )
    chain = [e for e in (before, PathElement(arc, None, "vertex"), after) if e is not None]
    return chain, "this corner could not be closed: no straight way round it is free"


def _assembled(
    arc: Arc,
    before: PathElement | None,
    after: PathElement | None,
    extended: tuple[Element | None, Element | None],
    corners: Sequence[Point],
    path: ContactPath,
) -> list[PathElement] | None:
    """Return neighbours and straights through `corners`, or None when they would cut metal.

    A neighbour that is not extended is left as it is, and a straight leads on from its end.
    """
    first, last = extended
    chain: list[PathElement] = []
    if before is not None:
        chain.append(
            before if first is None else replace(before, shape=replace(first, end=corners[0]))
        )
    stops = [*([] if first is not None else [arc.start]), *corners]
    stops += [] if last is not None else [arc.end]
    for a, b in itertools.pairwise(stops):
        if a.distance(b) > EXACT:
            chain.append(PathElement(Line(a, b), None, "vertex"))
    if after is not None:
        chain.append(
            after if last is None else replace(after, shape=replace(last, start=corners[-1]))
        )
    middle = [Line(a, b) for a, b in itertools.pairwise(corners)]
    way = [_part(first, arc.start, corners[0]), *middle, _part(last, corners[-1], arc.end)]
    return chain if _free(way, path) else None


def _part(carrier: Element | None, start: Point, end: Point) -> Element:
    """Return the part of a carrier from `start` to `end`; the straight way when there is none."""
    if isinstance(carrier, Arc):
        return replace(carrier, start=start, end=end)
    return Line(start, end)


def _both_straight(first: Element, last: Element) -> bool:
    return isinstance(first, Line) and isinstance(last, Line)


def _smooth(direction: Point, arc: Arc, at_end: int) -> bool:
    along = arc.end_direction if at_end else arc.start_direction
    sine = direction.z * along.r - direction.r * along.z
    return abs(sine) < TANGENT and direction.z * along.z + direction.r * along.r > 0


def _beyond(first: Element, last: Element, point: Point, arc: Arc, tangents: Point) -> bool:
    """Tell whether `point` continues both neighbours, outside the arc and no farther than usual."""
    reach = 2 * arc.start.distance(tangents)
    return (
        fraction_at(first, point) >= 1.0
        and fraction_at(last, point) <= 0.0
        and point.distance(arc.start) <= reach
        and point.distance(arc.end) <= reach
        and point.distance(arc.centre) >= arc.radius - EXACT
    )


def _tangent_polygon(arc: Arc, corners: int) -> list[Point]:
    """Return the corners of the way round an arc whose straights touch it, evenly spread."""
    step = arc.sweep / corners
    radius = arc.radius / math.cos(step / 2)
    angles = [arc.start_angle + (i + 0.5) * step for i in range(corners)]
    return [
        arc.centre.plus(Point(radius * math.cos(angle), radius * math.sin(angle)))
        for angle in angles
    ]


def _free(way: Sequence[Element], path: ContactPath) -> bool:
    """Tell whether a way stays out of the metal: exactly at places, by region between them.

    The region is made of chords, so it counts only where it is entered by more than twice those.
    """
    if path.scene is not None:
        places = [part.at(step / PLACES) for part in way for step in range(PLACES + 1)]
        if path.scene.overlapping(places):
            return False
    inside = shapely.intersection(shapely.linestrings(chain_chords(way, CHORD_FINE)), path.no_go)
    if inside.is_empty:
        return True
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(inside, 0.01)))
    return bool((shapely.distance(points, path.no_go.boundary) <= 2 * CHORD_FINE).all())
