"""How deep or how high a region stands from a body's surface, in millimetres.

Depth is the distance of a region's farthest point from the surface, which for a shallow overlap
is the depth normal to the surface. The axis is no surface: the body goes on beyond it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.sweep import Coordinates, Shapes
from turnsketch.geometry.constants import TOUCH
from turnsketch.geometry.elements import Point

__all__ = ["Farthest", "Samples", "Surface", "farthest", "samples"]

_SPACING = 0.1
_FINER = 32


class Farthest(NamedTuple):
    """The greatest distance and where it is."""

    distance: float
    place: Point


class Surface:
    """The surface of a half section: its boundary without the axis, ready for distances."""

    def __init__(self, shape: BaseGeometry) -> None:
        coordinates, ring = shapely.get_coordinates(
            shapely.get_rings(shapely.get_parts(shape)), return_index=True
        )
        same = ring[:-1] == ring[1:]
        ends = np.stack([coordinates[:-1][same], coordinates[1:][same]], axis=1)
        self.segments: Coordinates = ends[(ends[:, :, 1] > TOUCH).any(axis=1)]
        self._tree = STRtree(shapely.linestrings(self.segments))

    def nearest(self, points: Coordinates) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """Return for each point its distance from the surface and the nearest segment's index."""
        if not len(self.segments) or not len(points):
            return np.zeros(len(points)), np.zeros(len(points), dtype=np.int64)
        pairs, distance = self._tree.query_nearest(
            shapely.points(points), all_matches=False, return_distance=True
        )
        return distance, pairs[1]


class Samples(NamedTuple):
    """Points along the edges of a region, with their distance from a surface."""

    points: Coordinates
    ring: NDArray[np.int64]
    distance: NDArray[np.float64]
    segment: NDArray[np.int64]


def samples(shape: BaseGeometry | Shapes, surface: Surface) -> Samples:
    """Return points every tenth of a millimetre along the edges of `shape`, corners included."""
    lines = shapely.segmentize(shapely.get_rings(shapely.get_parts(shape)), _SPACING)
    points, ring = shapely.get_coordinates(lines, return_index=True)
    distance, segment = surface.nearest(points)
    return Samples(points, ring, distance, segment)


def farthest(
    found: Samples, surface: Surface, among: NDArray[np.bool_] | None = None
) -> Farthest | None:
    """Return the farthest point, found finer between the neighbours of the best sample.

    Parameters
    ----------
    found : Samples
        May be empty: the answer is None.
    surface : Surface
        What the distances belong to.
    among : array of bool, optional
        The samples to look at; the neighbours of the best one count only when they are among
        them too.
    """
    allowed = np.ones(len(found.points), dtype=bool) if among is None else among
    if not allowed.any():
        return None
    best = int(np.argmax(np.where(allowed, found.distance, -1.0)))
    distance, place = float(found.distance[best]), found.points[best]
    for other in (best - 1, best + 1):
        if not 0 <= other < len(found.points):
            continue
        if found.ring[other] == found.ring[best] and allowed[other]:
            value, at = _between(found.points[best], found.points[other], surface)
            if value > distance:
                distance, place = value, at
    return Farthest(distance, Point(float(place[0]), float(place[1])))


def _between(first: Coordinates, last: Coordinates, surface: Surface) -> tuple[float, Coordinates]:
    """Return the farthest point on an edge, by two rounds of ever finer samples."""
    low, high = 0.0, 1.0
    for _ in range(2):
        share = np.linspace(low, high, _FINER + 1)
        points = first + share[:, None] * (last - first)
        distance, _segment = surface.nearest(points)
        best = int(np.argmax(distance))
        low, high = float(share[max(best - 1, 0)]), float(share[min(best + 1, _FINER)])
    return float(distance[best]), points[best]
