"""What one sees of turned bodies from outside: their half sections with the bores filled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely import Polygon, union_all

from turnsketch.geometry.elements import Point

__all__ = ["silhouette"]

Ring = tuple[Point, ...]
_AXIS = 1e-6


def silhouette(rings: Iterable[Sequence[Point]]) -> list[Ring]:
    """Return the half sections of turned bodies with their bores filled: what is seen outside."""
    below = [
        Polygon([a, b, (b.z, 0.0), (a.z, 0.0)])
        for ring in rings
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if abs(a.z - b.z) > _AXIS
    ]
    filled = union_all([piece.buffer(0) for piece in below])
    whole = [filled] if isinstance(filled, Polygon) else list(filled.geoms)
    found = []
    for piece in whole:
        corners = list(piece.simplify(0.0).exterior.coords)[:-1]
        ring = [Point(float(z), float(r)) for z, r in corners]
        found.append(tuple(ring if piece.exterior.is_ccw else ring[::-1]))
    return found
