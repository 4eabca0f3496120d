"""Ways through the air: one wheel at a time, tried against the metal of the moment.

Straight out is tried first and never assumed: behind a ball it is wrong.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Arc, Line, Point, chain_chords
from turnsketch.planning.context import Context
from turnsketch.planning.draft import DraftMove
from turnsketch.shop.tool_shape import Piece, ToolShape

__all__ = ["Mover", "path_points"]

# Tools are shrunk by this before an overlap is asked for, so that touching is no overlap.
_SHRINK = 2 * CHORD_ROUGH


@dataclass(frozen=True)
class Mover:
    """Sweeps one tool and asks what it would meet."""

    cutting: tuple[NDArray[np.float64], ...]
    passive: tuple[NDArray[np.float64], ...]
    full: tuple[NDArray[np.float64], ...]
    """Cutting pieces at full size, for what they take away."""
    wide: tuple[NDArray[np.float64], ...]
    """Passive pieces with their clearance to metal."""
    blocked: BaseGeometry
    clear_r: float
    return_z: float

    @classmethod
    def of(cls, ctx: Context, shape: ToolShape) -> Mover:
        """Return the mover of a tool in a setup."""
        room = ctx.shop.clearances.holder_to_metal
        return cls(
            cutting=tuple(_shrunk(piece) for piece in shape.cutting),
            passive=tuple(_shrunk(piece) for piece in shape.passive),
            full=tuple(np.asarray(piece.ring(CHORD_ROUGH)) for piece in shape.cutting),
            wide=tuple(_grown(piece, room) for piece in shape.passive),
            blocked=ctx.held.blocked(min(ctx.shop.clearances.cut_to_jaws, 2.0) - _SHRINK),
            clear_r=ctx.clear_r,
            return_z=ctx.return_z,
        )

    def removed(self, path: Sequence[Point]) -> BaseGeometry:
        """Return what the cutting pieces cover along a polyline, r >= 0 and mirrored up."""
        covered = shapely.union_all(_hulls(self.full, path))
        if covered.bounds[1] < 0:
            mirror = shapely.transform(covered, lambda xy: xy * (1.0, -1.0))
            covered = shapely.union_all([covered, mirror])
        return covered

    def free(self, path: Sequence[Point], metal: BaseGeometry) -> bool:
        """Return whether the whole tool goes along `path` in the air."""
        hulls = _hulls((*self.cutting, *self.passive), path)
        return not (shapely.intersects(hulls, metal).any() or self._blocked(hulls))

    def holder_free(self, path: Sequence[Point], metal: BaseGeometry) -> bool:
        """Return whether holders keep their clearance to `metal` along `path`."""
        if not self.wide:
            return True
        hulls = _hulls(self.wide, path)
        return not (shapely.intersects(hulls, metal).any() or self._blocked(hulls))

    def clear_of_obstacles(self, path: Sequence[Point]) -> bool:
        """Return whether the whole tool keeps clear of jaws and centre along `path`."""
        return not self._blocked(_hulls((*self.cutting, *self.passive), path))

    def _blocked(self, hulls: NDArray[np.object_]) -> bool:
        return bool(shapely.intersects(hulls, self.blocked).any())

    def route(
        self, start: Point, goal: Point, metal: BaseGeometry, slide: bool = True
    ) -> tuple[Point, ...] | None:
        """Return the corners of a way from `start` to `goal` in the air, or None.

        The way is made of single-wheel motions; the last corner is `goal`.
        """
        for corners in self._candidates(start, goal):
            way = _without_repeats(start, corners)
            if not way or self.free([start, *way], metal):
                return way
        return None

    def _candidates(self, start: Point, goal: Point) -> Iterable[tuple[Point, ...]]:
        out = Point(start.z, self.clear_r)
        yield (Point(goal.z, start.r), goal)
        yield (Point(start.z, goal.r), goal)
        yield (out, Point(goal.z, self.clear_r), goal)
        front = Point(self.return_z, start.r)
        yield (front, Point(self.return_z, goal.r), goal)
        yield (front, Point(self.return_z, self.clear_r), Point(goal.z, self.clear_r), goal)
        yield (out, Point(self.return_z, self.clear_r), Point(self.return_z, goal.r), goal)


def path_points(
    start: Point, moves: Iterable[DraftMove], chord: float = CHORD_ROUGH
) -> list[Point]:
    """Return the polyline of the reference point along `moves`, arcs within `chord`."""
    elements: list[Line | Arc] = []
    here = start
    for draft in moves:
        move = draft.move
        if move.centre is not None and move.turn is not None:
            elements.append(Arc(here, move.to, move.centre, move.turn))
        elif here.distance(move.to) > 0:
            elements.append(Line(here, move.to))
        here = move.to
    return chain_chords(elements, chord) or [start]


def _without_repeats(start: Point, corners: Iterable[Point]) -> tuple[Point, ...]:
    way: list[Point] = []
    here = start
    for corner in corners:
        if corner.distance(here) > 1e-9:
            way.append(corner)
            here = corner
    return tuple(way)


def _shrunk(piece: Piece) -> NDArray[np.float64]:
    shape = Polygon(piece.ring(CHORD_ROUGH))
    inner = shape.buffer(-_SHRINK, join_style="mitre")
    return _corners(shape if inner.is_empty else inner)


def _grown(piece: Piece, room: float) -> NDArray[np.float64]:
    shape = Polygon(piece.ring(CHORD_ROUGH)).buffer(room, join_style="mitre")
    return _corners(shape)


def _corners(shape: Polygon) -> NDArray[np.float64]:
    return np.asarray(shapely.get_coordinates(shape.exterior)[:-1], dtype=np.float64)


def _hulls(rings: Sequence[NDArray[np.float64]], path: Sequence[Point]) -> NDArray[np.object_]:
    """Return the convex hulls of every ring at both ends of every stretch of `path`."""
    points = np.asarray(path, dtype=float)
    if len(points) == 1:
        points = np.vstack([points, points])
    starts, ends = points[:-1, None, :], points[1:, None, :]
    hulls = [
        shapely.convex_hull(
            shapely.multipoints(np.concatenate([starts + ring, ends + ring], axis=1))
        )
        for ring in rings
    ]
    return np.concatenate(hulls)
