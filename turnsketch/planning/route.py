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

from turnsketch.geometry.constants import CHORD_ROUGH, GOUGE
from turnsketch.geometry.elements import Arc, Line, Point, chain_chords
from turnsketch.planning.context import Context
from turnsketch.planning.draft import DraftMove
from turnsketch.planning.space import wide_ring
from turnsketch.shop.tool_shape import Piece, ToolShape

__all__ = ["Mover", "path_points"]

_SHRINK = GOUGE
"""Tools are shrunk by this before an overlap is asked for: touching is no overlap, and what the
replay would call one is."""


_Box = tuple[float, float, float, float]
"""Least z and r, greatest z and r."""


@dataclass(frozen=True)
class Mover:
    """Sweeps one tool and asks what it would meet."""

    cutting: tuple[NDArray[np.float64], ...]
    passive: tuple[NDArray[np.float64], ...]
    full: tuple[NDArray[np.float64], ...]
    """Cutting pieces at full size, for what they take away."""
    wide: tuple[NDArray[np.float64], ...]
    """Passive pieces with their clearance to metal."""
    boxes: tuple[_Box, ...]
    """Of the cutting and the passive pieces."""
    blocked: BaseGeometry
    clear_r: float
    return_z: float
    axis_r: float | None = None
    """Planning in a bore: where the spindle's axis stands; what reaches beyond it meets the wall
    on the other side. None outside."""

    @classmethod
    def of(cls, ctx: Context, shape: ToolShape, chord: float = CHORD_ROUGH) -> Mover:
        """Return the mover of a tool in a setup; curves are within `chord`."""
        # A little less than the room that allowed positions keep, so that their edge is allowed.
        room = ctx.shop.clearances.holder_to_metal - _SHRINK * CHORD_ROUGH
        cutting = tuple(_shrunk(piece, chord) for piece in shape.cutting)
        passive = tuple(_shrunk(piece, chord) for piece in shape.passive)
        return cls(
            cutting=cutting,
            passive=passive,
            boxes=tuple(_box(ring) for ring in (*cutting, *passive)),
            full=tuple(_corners(Polygon(piece.ring(chord))) for piece in shape.cutting),
            wide=tuple(_corners(Polygon(wide_ring(piece, room))) for piece in shape.passive),
            blocked=ctx.held.blocked(min(ctx.shop.clearances.cut_to_jaws, 2.0) - _SHRINK),
            clear_r=ctx.clear_r,
            return_z=ctx.return_z,
            axis_r=ctx.axis_r,
        )

    def removed(self, path: Sequence[Point]) -> BaseGeometry:
        """Return what the cutting pieces cover along a polyline, r >= 0 and mirrored up."""
        covered = shapely.union_all(self._swept(self.full, path))
        if covered.bounds[1] < 0:
            mirror = shapely.transform(covered, lambda xy: xy * (1.0, -1.0))
            covered = shapely.union_all([covered, mirror])
        return covered

    def free(self, path: Sequence[Point], metal: BaseGeometry) -> bool:
        """Return whether the whole tool goes along `path` in the air."""
        return not (self._hits(path, metal) or self._hits(path, self.blocked))

    def _hits(self, path: Sequence[Point], body: BaseGeometry) -> bool:
        """Return whether any piece meets `body` along `path`; boxes sort out most of it."""
        around, bounds = _path_box(path), body.bounds
        if self.axis_r is not None and not body.is_empty:
            bounds = (*bounds[:3], 2 * self.axis_r - bounds[1])
        rings = (*self.cutting, *self.passive)
        near = [r for r, box in zip(rings, self.boxes, strict=True) if _near(box, around, bounds)]
        return bool(near) and bool(_meets(body, self._swept(near, path)).any())

    def _swept(
        self, rings: Sequence[NDArray[np.float64]], path: Sequence[Point]
    ) -> NDArray[np.object_]:
        """Return what rings cover; in a bore, what reaches beyond the axis once more, mirrored."""
        hulls = _hulls(rings, path)
        if self.axis_r is None:
            return hulls
        beyond = hulls[shapely.bounds(hulls)[:, 3] > self.axis_r]
        if not len(beyond):
            return hulls
        twice = 2 * self.axis_r
        folded = shapely.transform(beyond, lambda xy: xy * (1.0, -1.0) + (0.0, twice))
        return np.concatenate([hulls, folded])

    def busy(self, places: Sequence[Point], metal: BaseGeometry) -> list[bool]:
        """Return for each place whether the tool would meet `metal`, jaws or centre there."""
        points = np.asarray(places, dtype=float)
        found = np.zeros(len(points), dtype=bool)
        for ring in (*self.cutting, *self.passive):
            placed = shapely.polygons(points[:, None, :] + ring)
            found |= _meets(metal, placed) | _meets(self.blocked, placed)
        return [bool(one) for one in found]

    def holder_free(self, path: Sequence[Point], metal: BaseGeometry) -> bool:
        """Return whether holders keep their clearance to `metal` along `path`."""
        if not self.wide:
            return True
        hulls = self._swept(self.wide, path)
        return not (_meets(metal, hulls).any() or self._blocked(hulls))

    def stands(self, places: Sequence[Point], metal: BaseGeometry, height: float) -> list[bool]:
        """Return for each place whether metal stands higher than `height` over what is made there.

        Asked with cutting pieces that are smaller by `height` all round.
        """
        smaller = [Polygon(ring).buffer(-height, join_style="mitre") for ring in self.full]
        rings = [_corners(shape) for shape in smaller if isinstance(shape, Polygon) and shape.area]
        points = np.asarray(places, dtype=float)
        found = np.zeros(len(points), dtype=bool)
        for ring in rings:
            found |= _meets(metal, shapely.polygons(points[:, None, :] + ring))
        return [bool(one) for one in found]

    def clear_of_obstacles(self, path: Sequence[Point]) -> bool:
        """Return whether the whole tool keeps clear of jaws and centre along `path`."""
        return not self._hits(path, self.blocked)

    def _blocked(self, hulls: NDArray[np.object_]) -> bool:
        return bool(_meets(self.blocked, hulls).any())

    def route(self, start: Point, goal: Point, metal: BaseGeometry) -> tuple[Point, ...] | None:
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


def _shrunk(piece: Piece, chord: float) -> NDArray[np.float64]:
    shape = Polygon(piece.ring(chord))
    inner = shape.buffer(-_SHRINK, join_style="mitre")
    return _corners(shape if inner.is_empty else inner)


def _box(ring: NDArray[np.float64]) -> _Box:
    return (*ring.min(axis=0).tolist(), *ring.max(axis=0).tolist())


def _path_box(path: Sequence[Point]) -> _Box:
    z, r = [p.z for p in path], [p.r for p in path]
    return min(z), min(r), max(z), max(r)


def _near(box: _Box, path: _Box, body: _Box) -> bool:
    """Return whether the box of what a ring covers along a path meets the box of a body."""
    low, bottom, high, top = body
    return bool(
        path[2] + box[2] >= low
        and path[0] + box[0] <= high
        and path[3] + box[3] >= bottom
        and path[1] + box[1] <= top
    )


def _meets(body: BaseGeometry, shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Return which shapes meet a body that is asked for many times: it is prepared once."""
    shapely.prepare(body)
    return np.asarray(shapely.intersects(body, shapes))


def _corners(shape: Polygon) -> NDArray[np.float64]:
    """Return the corners of a polygon, counterclockwise."""
    around = shapely.orient_polygons(shape).exterior
    return np.asarray(shapely.get_coordinates(around)[:-1], dtype=np.float64)


def _hulls(rings: Sequence[NDArray[np.float64]], path: Sequence[Point]) -> NDArray[np.object_]:
    """Return what every convex ring covers along every stretch of `path`, as polygons."""
    points = np.asarray(path, dtype=float)
    if len(points) == 1:
        return np.concatenate([shapely.polygons(points[:, None, :] + ring) for ring in rings])
    return np.concatenate([_covered(ring, points[:-1], points[1:]) for ring in rings])


def _covered(
    ring: NDArray[np.float64], starts: NDArray[np.float64], ends: NDArray[np.float64]
) -> NDArray[np.object_]:
    """Return the hulls of a convex counterclockwise ring at both ends of stretches.

    From its vertex farthest to the right of travel round to the farthest on the left the ring
    stands at the stretch's end, the rest of it at its start.
    """
    along = ends - starts
    side = along[:, :1] * ring[:, 1] - along[:, 1:] * ring[:, 0]
    right, left = side.argmin(axis=1), side.argmax(axis=1)
    count = len(ring)
    front = (left - right) % count
    place = np.arange(count + 2)
    ahead = place <= front[:, None]
    vertex = (right[:, None] + place - ~ahead) % count
    offset = np.where(ahead[:, :, None], ends[:, None, :], starts[:, None, :])
    return np.asarray(shapely.polygons(ring[vertex] + offset))
