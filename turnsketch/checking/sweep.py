"""What a tool covers while it moves: an own way, apart from the planner's.

A convex piece moved along a straight line covers the convex hull of its first and last placement.
Along an arc, taken as chords, hulls chord by chord would repeat the whole piece hundreds of times.
Instead the piece's widest line across the motion is followed: a point that the piece ever covers
lies in the first placement, in the last, or is crossed by that line. So the sweep is both end
placements and, for each chord, the strip that the line crosses, with the corners that the line's
ends pass over when it turns at the joint. Millimetres.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from turnsketch.geometry.constants import CHORD_FINE, TOUCH
from turnsketch.geometry.elements import Point, Turn
from turnsketch.plan_records import Ring

__all__ = [
    "Coordinates",
    "Shapes",
    "arc_points",
    "arc_sweep",
    "convex_parts",
    "swept_arc",
    "swept_lines",
]

Coordinates = NDArray[np.float64]
"""Rows of ``(z, r)``."""

Shapes = NDArray[np.object_]
"""Geometries."""

_MOST_CHORDS = 20_000


def convex_parts(ring: Ring) -> tuple[Coordinates, ...]:
    """Return convex polygons, counterclockwise and open, that make up a tool piece.

    The planner's pieces are convex and come back as they are. Any other ring is cut into
    triangles, so that a plan from elsewhere is judged by its true shape.
    """
    polygon = shapely.Polygon(np.asarray(ring, dtype=float))
    hull = shapely.convex_hull(polygon)
    if hull.area <= 0.0:
        return ()
    if hull.area - polygon.area <= 1e-9 * hull.area:
        return (_open_ccw(hull),)
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    return tuple(_open_ccw(triangle) for triangle in triangles)


def _open_ccw(polygon: shapely.Polygon) -> Coordinates:
    turned = shapely.orient_polygons(polygon, exterior_cw=False)
    return np.asarray(shapely.get_coordinates(turned)[:-1], dtype=float)


def arc_sweep(start: Point, end: Point, centre: Point, turn: Turn) -> float:
    """Return the angle from start to end in the sense of `turn`, in [0, 2 pi).

    Ends that touch make no full turn, whatever rounding says: the angle is 0.
    """
    if start.distance(end) <= TOUCH:
        return 0.0
    begin = math.atan2(start.r - centre.r, start.z - centre.z)
    stop = math.atan2(end.r - centre.r, end.z - centre.z)
    return (stop - begin if turn == "ccw" else begin - stop) % (2 * math.pi)


def arc_points(start: Point, end: Point, centre: Point, turn: Turn) -> Coordinates:
    """Return points along an arc whose chords stay within the fine chord, both ends included.

    Where the ends stand at different distances from the centre (moves as read), the radius runs
    evenly from the one to the other.
    """
    first, last = start.distance(centre), end.distance(centre)
    radius = max(first, last)
    sweep = arc_sweep(start, end, centre, turn)
    if radius <= CHORD_FINE or sweep == 0.0:
        return np.array([start, end], dtype=float)
    step = 2 * math.acos(1 - CHORD_FINE / radius)
    count = min(max(2, math.ceil(sweep / step)), _MOST_CHORDS)
    share = np.linspace(0.0, 1.0, count + 1)
    begin = math.atan2(start.r - centre.r, start.z - centre.z)
    angles = begin + (sweep if turn == "ccw" else -sweep) * share
    radii = first + (last - first) * share
    points = np.column_stack([centre.z + radii * np.cos(angles), centre.r + radii * np.sin(angles)])
    points[0], points[-1] = start, end
    return points


def swept_lines(starts: Coordinates, ends: Coordinates, part: Coordinates) -> Shapes:
    """Return for each straight move what the convex `part` covers, one polygon a move.

    That is the hull of both placements: the side of the last one that faces the motion, from its
    rightmost corner to its leftmost, then the rest of the first one.
    """
    count = len(part)
    left, right = _extremes(ends - starts, part)
    front = ((left - right) % count)[:, None]
    step = np.arange(count + 2)[None, :]
    index = (right[:, None] + np.where(step <= front, step, step - 1)) % count
    at = np.where((step <= front)[:, :, None], ends[:, None, :], starts[:, None, :])
    return np.asarray(shapely.polygons(part[index] + at), dtype=object)


def _extremes(way: Coordinates, part: Coordinates) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return for each direction of motion the indices of the leftmost and rightmost corners."""
    across = np.column_stack([-way[:, 1], way[:, 0]]) @ part.T
    return across.argmax(axis=1), across.argmin(axis=1)


def swept_arc(points: Coordinates, part: Coordinates) -> Shapes:
    """Return polygons whose union is what the convex `part` covers along chords.

    Parameters
    ----------
    points : array
        The chords' ends, turning one way throughout, less than a full turn in all.
    part : array
        The piece, counterclockwise, around its reference point.
    """
    ends = swept_lines(points[[0, -1]], points[[0, -1]], part)
    way = np.diff(points, axis=0)
    left, right = _extremes(way, part)
    sense = _sense(way)
    corners = [
        _placed(part, left[:, None], points[:-1]),
        _placed(part, right[:, None], points[:-1]),
        _placed(part, _passed(left, sense, len(part)), points[1:]),
        _placed(part, _passed(right, sense, len(part)), points[1:]),
    ]
    strips = shapely.convex_hull(shapely.multipoints(np.concatenate(corners, axis=1)))
    return np.concatenate([ends, np.asarray(strips, dtype=object)])


def _sense(way: Coordinates) -> int:
    turn = way[:-1, 0] * way[1:, 1] - way[:-1, 1] * way[1:, 0]
    return 1 if turn.sum() >= 0 else -1


def _passed(index: NDArray[np.int64], sense: int, count: int) -> NDArray[np.int64]:
    """Return per chord the vertices from its own extreme one to the next chord's, padded."""
    following = np.append(index[1:], index[-1])
    steps = ((sense * (following - index)) % count)[:, None]
    reach = np.arange(int(steps.max()) + 1)[None, :]
    return np.asarray((index[:, None] + sense * np.minimum(reach, steps)) % count)


def _placed(part: Coordinates, index: NDArray[np.int64], at: Coordinates) -> Coordinates:
    return part[index] + at[:, None, :]
