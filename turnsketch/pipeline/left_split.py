"""Cusps of a step table apart from what stands higher beside them.

Steps are rounded to leave metal, so their cusps hang together in one thin skin, and often with what
a nose leaves in the corner behind them. Causes and remedies differ, so they are told one by one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.records import LeftRegion
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import polygons
from turnsketch.geometry.rings import rings

__all__ = ["StepRange", "cusps_apart"]

_SAMPLE_MM = 0.05
"""So close together points of an edge are asked how high they stand."""

StepRange = tuple[float, float, float]
"""A step table: lowest z, highest z, cusp."""

_BESIDE_MM = 0.2
"""What is higher than cusps is told with so much of the skin beside it."""


def cusps_apart(
    region: LeftRegion, solid: BaseGeometry, tables: Sequence[StepRange]
) -> tuple[LeftRegion, ...]:
    """Return the region in pieces: what is higher than the cusps of a table over it, and the rest.

    Parameters
    ----------
    region : LeftRegion
        In the frame of `solid` and `tables`.
    solid : polygonal geometry
        Half section of the part and what holds it.
    """
    over = [cusp for low, high, cusp in tables if low < region.z[1] and region.z[0] < high]
    if not over or region.height_mm <= 2 * max(over):
        return (region,)
    shape = _shape(region)
    tall = polygons(shape.difference(solid.buffer(2 * max(over))))
    strips = [_strip(piece, shape) for piece in tall]
    high = shapely.union_all([shape.intersection(strip) for strip in strips])
    rest = shape.difference(shapely.union_all(strips))
    found = tuple(_region(piece, solid) for piece in (high, rest) if polygons(piece))
    return tuple(one for one in found if one.height_mm > 0.0) or (region,)


def _strip(tall: Polygon, shape: BaseGeometry) -> Polygon:
    low, _, high, _ = tall.bounds
    _, bottom, _, top = shape.bounds
    return box(low - _BESIDE_MM, bottom - 1.0, high + _BESIDE_MM, top + 1.0)


def _shape(region: LeftRegion) -> BaseGeometry:
    rings = [Polygon([(p.z, p.r) for p in ring]).buffer(0) for ring in region.rings]
    found: BaseGeometry = rings[0]
    for hole in rings[1:]:
        found = found.symmetric_difference(hole)
    return found


def _region(shape: BaseGeometry, solid: BaseGeometry) -> LeftRegion:
    pieces = polygons(shape)
    # Edge by edge: as a whole, a polygon with one edge of nearly no length comes back empty.
    edges = shapely.get_rings(pieces)
    corners = shapely.get_coordinates(shapely.segmentize(edges, _SAMPLE_MM))
    heights = shapely.distance(solid, shapely.points(corners))
    worst = int(heights.argmax())
    low, _, high, _ = shape.bounds
    place = Point(*corners[worst].tolist())
    return LeftRegion(_volume(pieces), (low, high), float(heights[worst]), place, rings(shape))


def _volume(pieces: Sequence[Polygon]) -> float:
    """Return the volume of a half section turned about the axis, after Pappus and Guldin."""
    return float(sum(2 * math.pi * piece.centroid.y * piece.area for piece in pieces))
