"""Ways of a roughing cut: into a level through air or metal, as far as it may go, and out again."""

from __future__ import annotations

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, cut
from turnsketch.planning.rough_sink import Entry, sunk
from turnsketch.planning.rough_work import RoughWork
from turnsketch.planning.route import Mover

__all__ = ["clear_end", "way_in", "way_out"]

_SHIFTS = 40
_SHIFT_MM = 0.25
"""A tool goes in so much farther from a wall each time that metal before it stops the holder."""

_LEAST_RUN_MM = 1.0
"""Going in farther from the wall is worth a level that is at least so long."""

_AIR_MM = 20.0
"""In a setup after another no cut begins farther in front of its metal than this."""


def way_in(
    work: RoughWork, state: State, r: float, before: float, begin: float, end: float
) -> Entry | None:
    """Return the way to the pass's first cut, and the entry cuts.

    Open slices are approached at their own level; closed ones from the level before: straight in,
    or on a slant where the tool allows no more.
    """
    ctx, mover = work.ctx, work.mover
    room = ctx.shop.clearances.approach
    far = ctx.return_z - begin
    # A bar that was pulled out has its finished end in front: no cut runs along that in the air.
    if work.step > 0 or (ctx.index > 0 and far > _AIR_MM):
        far = room
    for distance in (max(room, far), room, 0.5):
        ahead = Point(begin - work.step * distance, r)
        if mover.free([ahead, Point(begin - work.step * 0.01, r)], state.remaining):
            way = mover.route(state.position, ahead, state.remaining)
            if way is not None:
                return None if work.valleys_only else Entry(way)
    if not work.plunges:
        return sunk(work, state, r, before, begin, end) if work.slant else None
    return _straight_in(work, state, r, before, begin, end)


def _straight_in(
    work: RoughWork, state: State, r: float, before: float, begin: float, end: float
) -> Entry | None:
    """Return the way straight in, as near to the wall as the holder clears what stands there."""
    ctx, mover = work.ctx, work.mover
    for shift in range(_SHIFTS):
        z = begin + work.step * shift * _SHIFT_MM
        z = ctx.rough_z_back(z) if work.step < 0 else ctx.rough_z(z)
        if shift and (end - z) * work.step < _LEAST_RUN_MM:
            return None
        for above in (before, before + 0.5, ctx.held.radius):
            top = Point(z, ctx.easy_radius(above + 0.2, above + 0.7))
            if not mover.free([top, Point(z, ctx.clear_r)], state.remaining):
                continue
            way = mover.route(state.position, top, state.remaining)
            if way is not None and work.holder_clears([top, Point(z, r)], state.remaining):
                return Entry(way, (cut(Point(z, r), "keep metal", "keep metal"),))
    return None


def clear_end(work: RoughWork, state: State, path: list[Point], goal: Point) -> float:
    """Return the z nearest to `goal` at which the holder still keeps clear of what stands then."""

    def free(z: float) -> bool:
        way = [*path, Point(z, goal.r)]
        metal = state.remaining.difference(work.mover.removed(way))
        return work.mover.holder_free(way, metal)

    if free(goal.z):
        return goal.z
    good, bad = path[-1].z, goal.z
    if not free(good):
        return good
    while abs(good - bad) > 0.1:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if free(middle) else (good, middle)
    return work.ctx.rough_z(good) if work.step < 0 else good


def way_out(
    work: RoughWork, here: Point, before: float, metal: BaseGeometry, *, closed: bool
) -> tuple[list[DraftMove], tuple[Point, ...], BaseGeometry] | None:
    """Return how the tool leaves a level: cuts along the shoulder, the way back, what remains.

    Straight out is tried first. A leading edge that leans back leaves a wedge on the shoulder;
    then the way out is a cut that faces it off, if the no-go region allows. From a valley the
    tool comes out above the blank and stays there for the next level.
    """
    ctx, mover = work.ctx, work.mover
    out = ctx.clear_r if closed else ctx.out_radius(here.r)
    home = Point(here.z if closed else ctx.return_z, out)
    back = _way_back(mover, here, home, metal, ctx)
    if back is not None and len(back) <= 2 and back[0].z == here.z:
        return [], back, metal
    top = Point(here.z, ctx.out_radius(before))
    line = LineString([(here.z, here.r), top])
    if work.roomy.covers(line):
        faced = clean(metal.difference(mover.removed([here, top])))
        target = home if closed else Point(ctx.return_z, top.r)
        way = _way_back(mover, top, target, faced, ctx)
        if way is not None and mover.holder_free([here, top], faced):
            return [cut(top)], _from(top, way), faced
    return None if back is None else ([], back, metal)


def _from(here: Point, way: tuple[Point, ...]) -> tuple[Point, ...]:
    return way[1:] if way and way[0] == here else way


def _way_back(
    mover: Mover, here: Point, home: Point, metal: BaseGeometry, ctx: Context
) -> tuple[Point, ...] | None:
    """Return the withdrawal: out to a whole reading and back to the fixed Z, or round it."""
    for out in (home.r, ctx.clear_r):
        top = max(out, here.r)
        way = (
            (Point(here.z, top), Point(home.z, top)) if home.z != here.z else (Point(here.z, top),)
        )
        if mover.free([here, *way], metal):
            return way
    return mover.route(here, Point(home.z, ctx.clear_r), metal)
