"""What one sees of a turned body from outside: its outer contour, down to the axis."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from turnsketch.geometry.elements import Point

__all__ = ["silhouette"]

_ON_AXIS = 1e-6


def silhouette(rings: Iterable[Sequence[Point]]) -> tuple[tuple[Point, ...], ...]:
    """Return the rings of a half section as they look from outside: holes are hidden.

    A ring runs between its two ends twice, along its outside and along its hole or the axis; what
    lies farther out on the whole is the outside.
    """
    return tuple(_seen(ring) for ring in rings if len(ring) > 2)


def _seen(ring: Sequence[Point]) -> tuple[Point, ...]:
    first = max(range(len(ring)), key=lambda i: (ring[i].z, ring[i].r))
    last = min(range(len(ring)), key=lambda i: (ring[i].z, -ring[i].r))
    ways = (_between(ring, first, last), _between(ring, last, first)[::-1])
    outside = max(ways, key=_mean_radius)
    front, back = outside[0], outside[-1]
    ends = [Point(front.z, 0.0)] if front.r > _ON_AXIS else []
    feet = [Point(back.z, 0.0)] if back.r > _ON_AXIS else []
    return (*ends, *outside, *feet)


def _between(ring: Sequence[Point], start: int, end: int) -> list[Point]:
    """Return the points from one place on to another."""
    if start <= end:
        return list(ring[start : end + 1])
    return [*ring[start:], *ring[: end + 1]]


def _mean_radius(way: Sequence[Point]) -> float:
    """Return the mean radius along a way, weighted by how far it goes along the axis."""
    area = length = 0.0
    for a, b in itertools.pairwise(way):
        along = abs(b.z - a.z)
        area += along * (a.r + b.r) / 2
        length += along
    return area / length if length > 0 else 0.0
