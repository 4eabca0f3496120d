"""The sum of a polygon and a convex piece as thin strips, instead of a hull for every edge.

Choose a place c inside the convex piece B. The sum ``P (+) B`` is ``P`` shifted by c, and what the
outline sweeps while every point of it moves from ``p + c`` to ``p + b``, where b is the point of B
that lies farthest along the outline's normal at p: an edge sweeps a parallelogram, a corner a fan
about ``p + c`` (going back along B at an inside corner). A place has winding number 0 about the
shifted outline and another one about the swept one only if the sweep passes over it, so nothing is
missing; every strip lies in the sum, so nothing is too much.

Along a convex run the strips are joined into one. Such a strip is simple while the run turns by
less than a quarter and c stays on the inner side of the run's last normal seen from its first
point of B: its outer side lies on the edge of ``hull(run) (+) B``, the rest inside of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

__all__ = ["ConvexPiece", "edge_strips"]

Coordinates = NDArray[np.float64]

SMALL_TURN = math.radians(30)
"""Corners that turn by more begin a new strip."""


STRAIGHT = 1e-9
"""Corners that turn by less (radians) are straight to rounding."""


@dataclass(frozen=True, slots=True)
class ConvexPiece:
    """A convex polygon, counterclockwise, its edges sorted by the angle of their normals."""

    vertices: Coordinates
    normals: Coordinates
    """Angle of the outward normal of the edge that begins at each vertex, ascending."""
    inside: Coordinates
    """A place inside."""

    @staticmethod
    def of(hull: Polygon) -> ConvexPiece:
        """Return a convex polygon in this order."""
        vertices = shapely.get_coordinates(shapely.orient_polygons(hull))[:-1]
        along = np.roll(vertices, -1, axis=0) - vertices
        normals = np.arctan2(-along[:, 0], along[:, 1])
        first = int(np.argmin(normals))
        normals = np.maximum.accumulate(np.roll(normals, -first))
        return ConvexPiece(np.roll(vertices, -first, axis=0), normals, vertices.mean(axis=0))


@dataclass(frozen=True, slots=True)
class _Edges:
    """The edges of one ring of a polygon, and for each the vertex of the piece farthest out."""

    start: Coordinates
    end: Coordinates
    normal: Coordinates
    """Unit vectors."""
    farthest: NDArray[np.intp]
    turn: Coordinates
    """At the edge's end: positive at an outside corner."""
    steps: NDArray[np.intp]
    """At the edge's end: vertices that the piece passes, negative when it goes back."""


def edge_strips(ring: Coordinates, piece: ConvexPiece) -> list[Polygon]:
    """Return the strips that a closed ring of coordinates, metal on its left, sweeps."""
    edges = _edges(ring, piece)
    count = len(edges.start)
    joins = (edges.turn >= 0) & (edges.turn < SMALL_TURN) & (edges.steps >= 0)
    breaks = np.flatnonzero(~joins)
    first = int(breaks[0]) + 1 if len(breaks) else 0
    order = (np.arange(count) + first) % count
    strips: list[Coordinates] = []
    index = 0
    for stop in _run_ends(edges, piece, order, joins):
        strips.append(_strip(edges, piece, order[index:stop]))
        fan = _fan(edges, piece, int(order[stop - 1]))
        if fan is not None:
            strips.append(fan)
        index = stop
    sizes = [len(strip) for strip in strips]
    owner = np.repeat(np.arange(len(strips)), sizes)
    return list(shapely.polygons(shapely.linearrings(np.concatenate(strips), indices=owner)))


def _edges(ring: Coordinates, piece: ConvexPiece) -> _Edges:
    corners = ring[:-1]
    corners = corners[(corners != np.roll(corners, 1, axis=0)).any(axis=1)]
    after = np.roll(corners, -1, axis=0)
    along = after - corners
    angle = np.arctan2(-along[:, 0], along[:, 1])
    size = len(piece.vertices)
    farthest = np.searchsorted(piece.normals, angle, "right") % size
    turn = (np.roll(angle, -1) - angle + math.pi) % (2 * math.pi) - math.pi
    following = np.roll(farthest, -1)
    ahead = (following - farthest) % size
    # Where the outline hardly turns, rounding hides the sense of the turn: the shorter way counts.
    forward = np.where(np.abs(turn) < STRAIGHT, 2 * ahead <= size, turn > 0)
    steps = np.where(forward, ahead, -((farthest - following) % size))
    normal = np.column_stack([np.cos(angle), np.sin(angle)])
    return _Edges(corners, after, normal, farthest, turn, steps)


def _run_ends(
    edges: _Edges, piece: ConvexPiece, order: NDArray[np.intp], joins: NDArray[np.bool_]
) -> list[int]:
    """Return where runs end, as places in `order` after their last edge."""
    ends: list[int] = []
    reach = (piece.vertices - piece.inside)[edges.farthest]
    may, turn = joins[order].tolist(), edges.turn[order].tolist()
    first, turned = 0, 0.0
    for index in range(1, len(order)):
        turned += turn[index - 1]
        inner = may[index - 1] and turned < math.pi / 2
        if inner:
            here, start = edges.normal[order[index]], reach[order[first]]
            inner = here[0] * start[0] + here[1] * start[1] > 0
        if not inner:
            ends.append(index)
            first, turned = index, 0.0
    return [*ends, len(order)]


def _strip(edges: _Edges, piece: ConvexPiece, run: NDArray[np.intp]) -> Coordinates:
    """Return the strip of successive edges, the fans at the corners between them included."""
    passed = edges.steps[run].copy()
    passed[-1] = 0
    counts = passed + 1
    which = np.repeat(np.arange(len(run)), counts)
    step = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    vertex = (edges.farthest[run][which] + step) % len(piece.vertices)
    start, ends = edges.start[run[:1]], edges.end[run]
    return np.concatenate(
        [
            start + piece.vertices[edges.farthest[run[:1]]],
            ends[which] + piece.vertices[vertex],
            ends[::-1] + piece.inside,
            start + piece.inside,
        ]
    )


def _fan(edges: _Edges, piece: ConvexPiece, edge: int) -> Coordinates | None:
    """Return what the corner at the end of an edge sweeps; None when the piece does not turn."""
    steps = int(edges.steps[edge])
    if steps == 0:
        return None
    way = np.arange(0, steps + 1) if steps > 0 else np.arange(steps, 1)
    vertices = piece.vertices[(edges.farthest[edge] + way) % len(piece.vertices)]
    fan: Coordinates = edges.end[edge] + np.concatenate([vertices, piece.inside[None, :]])
    return fan
