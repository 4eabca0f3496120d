"""Sinking into a closed level with a tool that must not go straight in.

Along its trailing edge, less a margin, a tool finds a way in: on a slant where the lathe guides
one, else by low stairs that two wheels follow by hand: X deeper by no more than the nose is round,
then Z by as much as the slant asks. The wedge that the slant leaves before the wall is taken on
the way back to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import LineString

from turnsketch.geometry.constants import TOUCH
from turnsketch.geometry.elements import Point
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, cut
from turnsketch.planning.rough_work import RoughWork
from turnsketch.planning.space import slice_at
from turnsketch.units import from_mm

__all__ = ["Entry", "sunk"]

_LEAST_STAIR_MM = 0.2
"""Stairs of a pointed tool are so deep."""

_MOST_STAIRS = 12
_SHIFTS = 40
_SHIFT_MM = 0.25
_RUN = 0.5
"""The cut at the level is so much of its way in at least."""

_WEDGE_MM = 0.05
"""A shorter wedge before the wall is left."""

_BACK = (1.0, 0.5)
"""Shares of the way back to the wall that are tried: metal that still stands above may stop the
holder before."""


@dataclass(frozen=True, slots=True)
class Entry:
    """How a tool comes to its level."""

    way: tuple[Point, ...]
    """Through the air."""
    cuts: tuple[DraftMove, ...] = ()
    note: str = ""


def sunk(
    work: RoughWork, state: State, r: float, before: float, begin: float, end: float
) -> Entry | None:
    """Return how a tool sinks from the level `before` to `r`; None where there is no room.

    Parameters
    ----------
    begin, end : float
        z at which the level begins and ends; the tool then cuts on from where it arrives.
    """
    beyond = Point(end + work.step * work.ctx.shop.clearances.approach, r)
    if work.mover.free([beyond], state.remaining):
        return None  # open at its far end: no valley, and a tool of the other hand comes from there
    for top in dict.fromkeys((before, 2 * before - r, work.ctx.held.radius)):
        drop = top - r
        count = math.ceil(drop / _stair(work) - 1e-9)
        if not 0 < count <= _MOST_STAIRS:
            continue
        run = _easy_run(work.ctx, drop / count / math.tan(work.slant))
        length = count * run
        first = _first_place(work, top, begin, end, length)
        for shift in range(_SHIFTS):
            start = _easy_z(work, first + work.step * shift * _SHIFT_MM)
            if (end - start) * work.step < (1 + _RUN) * length:
                break  # next to nothing would be cut behind the way in
            found = _from(work, state, Point(start, top), r, count, run, begin)
            if found is not None:
                return found
    return None


def _stair(work: RoughWork) -> float:
    return max(_LEAST_STAIR_MM, work.shape.nose_radius)


def _easy_run(ctx: Context, run: float) -> float:
    """Return the way along Z of one stair, up to an easy figure."""
    step = 0.127 if ctx.units == "inch" else 0.1
    return math.ceil(run / step - 1e-9) * step


def _easy_z(work: RoughWork, z: float) -> float:
    """Return `z` moved the way that the tool cuts to an easy reading."""
    return work.ctx.rough_z_back(z) if work.step < 0 else work.ctx.rough_z(z)


def _first_place(work: RoughWork, top: float, begin: float, end: float, length: float) -> float:
    """Return the z at the level above from which the tool sinks: as near to the wall as it may."""
    ideal = begin - work.step * length
    for low, high in slice_at(work.allowed, top + TOUCH):
        if low <= max(begin, end) and high >= min(begin, end):
            wall = high if work.step < 0 else low
            return min(wall, ideal) if work.step < 0 else max(wall, ideal)
    return begin


def _from(
    work: RoughWork, state: State, start: Point, r: float, count: int, run: float, begin: float
) -> Entry | None:
    """Return the way in that begins at `start`; None when it is none."""
    guided = work.ctx.lathe.guided_moves != "none"
    drop = (start.r - r) / count
    points = [start]
    for index in range(1, count + 1):
        z = start.z + work.step * index * run
        points += [] if guided else [Point(z, start.r - (index - 1) * drop)]
        points.append(Point(z, start.r - index * drop))
    points = [points[0], points[-1]] if guided else points[1:]
    if not work.roomy.covers(LineString(points)):
        return None
    way = _way_over(work, state, points[0])
    if way is None:
        return None
    wedge = (points[-1].z - _easy_z(work, begin)) * work.step
    back = [wedge * share for share in _BACK if wedge * share > _WEDGE_MM]
    for length in (*back, 0.0):
        wall = Point(_easy_z(work, points[-1].z - work.step * length), r)
        path = [*points, wall] if length else points
        if work.holder_clears(path, state.remaining):
            cuts = path if guided else path[1:]
            made = tuple(cut(p, "keep metal", "keep metal") for p in cuts)
            return Entry(way, made, _note(work, count, 2 * drop, run))
    return None


def _way_over(work: RoughWork, state: State, first: Point) -> tuple[Point, ...] | None:
    """Return the way through the air to a place above `first`, if the air goes on down to it."""
    ctx, mover = work.ctx, work.mover
    top = Point(first.z, ctx.easy_radius(first.r + 0.2, first.r + 0.7))
    if not mover.free([first, top, Point(first.z, max(ctx.clear_r, top.r))], state.remaining):
        return None
    return mover.route(state.position, top, state.remaining)


def _note(work: RoughWork, count: int, deeper: float, run: float) -> str:
    """Return what the row says of the way in; `deeper` is told on the diameter."""
    units = work.ctx.units
    places = 4 if units == "inch" else 2
    angle = f"{math.degrees(work.slant):.0f}°"
    if work.ctx.lathe.guided_moves != "none":
        return f"sinks in on a slant of {angle}, no steeper: its trailing edge would rub"
    x = f"{from_mm(deeper, units):.{places}f}"
    z = f"{from_mm(run, units):.{places - 1}f}"
    toward = "toward the chuck" if work.step < 0 else "away from the chuck"
    times = "once" if count == 1 else f"{count} times"
    return f"sinks in by hand: {times} X {x} deeper, Z {z} {toward} between (slant {angle})"
