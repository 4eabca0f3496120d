"""The half section of blank and part: rings in and out, volumes, what stays held. Millimetres.

The body turns, so metal is kept as its half ``r >= 0``; what a tool takes below the axis is
mirrored before it is taken away (see `cover`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import reduce

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.sweep import Coordinates
from turnsketch.errors import InputError
from turnsketch.geometry.constants import SLIVER, TOUCH
from turnsketch.plan_records import Obstacle, Ring

__all__ = ["held", "joined", "pieces", "region", "volume"]


def region(outlines: Sequence[Ring], where: str) -> BaseGeometry:
    """Return the area of rings: a ring inside another is a hole in it. No rings: empty.

    Raises
    ------
    InputError
        When a ring has no area.
    """
    shapes = [_polygon(ring, where) for ring in outlines]
    return reduce(shapely.symmetric_difference, shapes) if shapes else Polygon()


def _polygon(ring: Ring, where: str) -> BaseGeometry:
    shape: BaseGeometry = Polygon(np.asarray(ring, dtype=float)) if len(ring) > 2 else Polygon()
    if not shape.is_valid:
        shape = joined(pieces(shapely.make_valid(shape)))
    if shape.is_empty or shape.area <= 0.0:
        raise InputError("a ring of the plan has no area; give at least three corners", where)
    return shape


def pieces(shape: BaseGeometry) -> list[Polygon]:
    """Return the polygons that `shape` is made of; lines, points and slivers are left out.

    A sliver is thinner than SLIVER everywhere.
    """
    parts = [p for p in shapely.get_parts(shapely.get_parts(shape)) if isinstance(p, Polygon)]
    if len(parts) == 1:
        return parts
    return [part for part in parts if not part.buffer(-SLIVER / 2).is_empty]


def joined(parts: Iterable[Polygon]) -> BaseGeometry:
    """Return disjoint polygons as one geometry."""
    found = list(parts)
    return found[0] if len(found) == 1 else shapely.MultiPolygon(found)


def held(parts: Sequence[Polygon], obstacles: Iterable[Obstacle]) -> list[bool]:
    """Return for each piece of metal whether the holding has it.

    Held is what comes closest to the jaws (the obstacles whose names begin with "jaws", "collet"
    or "mandrel"); without jaws, the piece that reaches farthest back.
    """
    grips = [o for o in obstacles if o.name.lower().startswith(("jaws", "collet", "mandrel"))]
    array = np.array(parts, dtype=object)
    if grips:
        jaws = shapely.MultiPolygon([Polygon(np.asarray(o.ring, dtype=float)) for o in grips])
        away = shapely.distance(array, jaws)
    else:
        away = shapely.bounds(array)[:, 0]
    return [bool(value <= away.min() + TOUCH) for value in away]


def volume(shape: BaseGeometry) -> float:
    """Return the volume of the body that `shape` (r >= 0) sweeps in one turn, cubic millimetres.

    Pappus: 2 pi times the first moment of the area, summed edge by edge in closed form.
    """
    total = 0.0
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and not part.is_empty:
            shell = shapely.get_coordinates(part.exterior)
            total += abs(_moment(shell))
            total -= sum(abs(_moment(shapely.get_coordinates(hole))) for hole in part.interiors)
    return 2 * math.pi * total


def _moment(closed: Coordinates) -> float:
    z, r = closed[:, 0], closed[:, 1]
    cross = z[:-1] * r[1:] - z[1:] * r[:-1]
    return float(np.sum(cross * (r[:-1] + r[1:])) / 6)
