"""From a region to the rings that bound it."""

from __future__ import annotations

from functools import partial

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point

__all__ = ["rings"]

_POINT = partial(tuple.__new__, Point)
"""Makes a point of a pair; a replay makes tens of thousands of them."""


def rings(shape: BaseGeometry) -> tuple[tuple[Point, ...], ...]:
    """Return the rings of `shape`, open: shells counterclockwise, each followed by its holes."""
    return tuple(
        tuple(map(_POINT, shapely.get_coordinates(line)[:-1].tolist()))
        for part in shapely.get_parts(shapely.orient_polygons(shape, exterior_cw=False))
        if isinstance(part, Polygon) and not part.is_empty
        for line in (part.exterior, *part.interiors)
    )
