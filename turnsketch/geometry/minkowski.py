"""Where a tool's reference point must not be: Minkowski sums of obstacles and turned tools.

A piece ``T`` placed with its reference at ``p`` meets an obstacle ``P`` exactly when ``p`` lies in
``P (+) -T`` (M. de Berg et al., Computational Geometry, ch. 13). How the sum is put together is
told in `turnsketch.geometry._edge_strips`. All in millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import TurnSketchError
from turnsketch.geometry._edge_strips import ConvexPiece, edge_strips
from turnsketch.geometry.constants import CLOSE, SLIVER
from turnsketch.geometry.elements import Point

__all__ = ["clean", "component_at", "full_section", "no_go", "polygons", "region", "swept"]


def region(ring: Sequence[Point]) -> Polygon:
    """Return the polygon of an open ring of vertices."""
    return Polygon(np.asarray(ring, dtype=float))


def polygons(shape: BaseGeometry) -> tuple[Polygon, ...]:
    """Return the polygons that `shape` is made of; lines and points are left out."""
    if isinstance(shape, Polygon):
        return () if shape.is_empty else (shape,)
    return tuple(p for part in getattr(shape, "geoms", ()) for p in polygons(part))


def full_section(half: BaseGeometry) -> BaseGeometry:
    """Return `half` (r >= 0) together with its mirror in the axis."""
    if half.is_empty:
        return half
    mirror = shapely.transform(half, lambda xy: xy * (1.0, -1.0))
    return shapely.union_all([half, mirror])


def no_go(obstacle: BaseGeometry, ring: Sequence[Point]) -> BaseGeometry:
    """Return the reference positions at which a convex piece overlaps `obstacle`.

    Parameters
    ----------
    obstacle : polygonal geometry
        May be empty (the result is empty), may have holes and several parts.
    ring : sequence of Point
        The convex piece around its reference point, without a repeated vertex.

    Raises
    ------
    TurnSketchError
        When the piece has no area.
    """
    turned = shapely.convex_hull(shapely.multipoints(-np.asarray(ring, dtype=float)))
    if not isinstance(turned, Polygon):
        raise TurnSketchError("a piece of a tool must have an area")
    piece = ConvexPiece.of(turned)
    pieces: list[BaseGeometry] = []
    for polygon in polygons(shapely.orient_polygons(obstacle)):
        pieces.append(shapely.transform(polygon, lambda xy: xy + piece.inside))
        for line in (polygon.exterior, *polygon.interiors):
            pieces.extend(edge_strips(shapely.get_coordinates(line), piece))
    return _without_cracks(shapely.union_all(pieces)) if pieces else Polygon()


def _without_cracks(shape: BaseGeometry) -> BaseGeometry:
    """Fill holes thinner than `CLOSE`: rounding leaves them where strips share an edge."""

    def solid(polygon: Polygon) -> Polygon:
        holes = [hole for hole in polygon.interiors if 2 * Polygon(hole).area > CLOSE * hole.length]
        return Polygon(polygon.exterior, holes)

    parts = polygons(shape)
    if not any(len(part.interiors) for part in parts):
        return shape
    whole = [solid(part) for part in parts]
    return whole[0] if len(whole) == 1 else MultiPolygon(whole)


def swept(path: Sequence[Point], ring: Sequence[Point]) -> BaseGeometry:
    """Return what a convex piece covers while its reference follows the polyline `path`."""
    coordinates = np.asarray(path, dtype=float)
    if len(coordinates) == 1:
        coordinates = np.vstack([coordinates, coordinates])
    return shapely.union_all(_swept_edges(coordinates, np.asarray(ring, dtype=float)))


def _swept_edges(points: NDArray[np.float64], ring: NDArray[np.float64]) -> list[BaseGeometry]:
    """Return, for every edge of a polyline, the hull of `ring` placed at both of its ends."""
    starts, ends = points[:-1, None, :], points[1:, None, :]
    corners = np.concatenate([starts + ring, ends + ring], axis=1)
    return list(shapely.convex_hull(shapely.multipoints(corners)))


def component_at(allowed: BaseGeometry, place: Point) -> BaseGeometry:
    """Return the part of `allowed` that holds `place`; empty when none does."""
    point = shapely.Point(place)
    for polygon in polygons(allowed):
        if polygon.covers(point):
            return polygon
    return Polygon()


def clean(shape: BaseGeometry, width: float = SLIVER) -> BaseGeometry:
    """Drop the pieces of `shape` that are thinner than `width`, and points and lines."""
    parts = [p for p in polygons(shape) if _is_thick(p, width)]
    if len(parts) == 1:
        return parts[0]
    return MultiPolygon(parts)


def _is_thick(shape: Polygon, width: float) -> bool:
    """Return whether a disc of diameter `width` fits into a polygon.

    Its inradius is at least area over perimeter, which settles all but slivers without a buffer.
    """
    return 2 * shape.area > width * shape.length or not shape.buffer(-width / 2).is_empty
