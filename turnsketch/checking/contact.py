"""What a tool enters and how near it comes. Touching is allowed; depth decides, in millimetres."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.cover import Cover
from turnsketch.checking.depth import Surface, farthest, samples
from turnsketch.checking.records import Clearance
from turnsketch.geometry.constants import GOUGE, TOUCH
from turnsketch.geometry.elements import Point

__all__ = ["Danger", "Entry", "closest", "entries"]

_SPECK = 1e-9
"""Square millimetres: an overlap smaller than this cannot be deeper than GOUGE."""


class Entry(NamedTuple):
    """A move that goes deeper into a body than a gouge."""

    move: int
    depth: float
    place: Point
    piece: str


def entries(body: BaseGeometry, covered: Cover, core: BaseGeometry | None = None) -> list[Entry]:
    """Return for each move that enters `body` deeper than GOUGE its deepest point.

    A move that only stays in, or comes back out of, what an earlier move of the pass has entered
    is not told again.

    Parameters
    ----------
    body : polygonal geometry
        Half section of what must not be entered.
    covered : Cover
        What the tool covers.
    core : polygonal geometry, optional
        `body` less a skin of GOUGE: asked first, which saves the rest for most moves.
    """
    hit = shapely.intersects(body if core is None else core, covered.shapes)
    found: list[Entry] = []
    if not hit.any():
        return found
    overlap = shapely.intersection(body, covered.shapes[hit])
    areas, moves, names = shapely.area(overlap), covered.move[hit], covered.name[hit]
    if not (areas > _SPECK).any():
        return found
    surface = Surface(body)
    told: BaseGeometry = Polygon()
    for move in np.unique(moves[areas > _SPECK]):
        own = moves == move
        new = shapely.difference(shapely.union_all(overlap[own]), told)
        deepest = farthest(samples(new, surface), surface) if new.area > _SPECK else None
        if deepest and deepest.distance > GOUGE:
            piece = str(names[own][np.argmax(areas[own])])
            found.append(Entry(int(move), deepest.distance, deepest.place, piece))
            told = shapely.union(told, new)
    return found


class Danger(NamedTuple):
    """Something that must not be touched, and the moves that might."""

    name: str
    body: BaseGeometry
    covered: Cover


def closest(dangers: Iterable[Danger]) -> Clearance | None:
    """Return the closest approach of all; None when nothing comes near anything.

    Distances between boxes and a prepared body's index sort out most polygons before true
    distances are taken.
    """
    best: tuple[float, Danger, int] | None = None
    for danger in dangers:
        body, shapes = danger.body, danger.covered.shapes
        if body.is_empty or not len(shapes):
            continue
        low = _box_distances(shapely.bounds(body), shapely.bounds(shapes))
        first = int(np.argmin(low))
        away = float(shapely.distance(body, shapes[first]))
        if best is None or away < best[0]:
            best = away, danger, first
        near = np.flatnonzero(low <= best[0] + TOUCH)
        near = near[shapely.dwithin(body, shapes[near], best[0])]
        distances = shapely.distance(body, shapes[near])
        if len(near) and distances.min() < best[0]:
            best = float(distances.min()), danger, int(near[np.argmin(distances)])
    return _clearance(*best) if best else None


def _clearance(distance: float, danger: Danger, index: int) -> Clearance:
    covered = danger.covered
    line = shapely.get_coordinates(shapely.shortest_line(danger.body, covered.shapes[index]))
    place = Point(float(line[0, 0]), float(line[0, 1]))
    move, piece = int(covered.move[index]) + 1, str(covered.name[index])
    return Clearance(distance, place, danger.name, piece, move)


def _box_distances(one: NDArray[np.float64], many: NDArray[np.float64]) -> NDArray[np.float64]:
    gap = np.maximum(np.maximum(one[:2] - many[:, 2:], many[:, :2] - one[2:]), 0.0)
    return np.asarray(np.hypot(gap[:, 0], gap[:, 1]))
