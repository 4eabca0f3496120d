"""Roughing along Z: slices of the allowed space at constant r, each piece a pass.

A slice ends where the no-go region begins, so that shoulders, tapers, arcs and valleys stop it by
themselves. A slice open to the front is approached through air; a closed one (a valley) is
entered by a cut: straight in if the tool may plunge, else on a slant (`rough_sink`).
"""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE, CHORD_ROUGH, MIN_LENGTH, MIN_TAKE, TOUCH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, SectionInfo
from turnsketch.planning.bore_bottom import faced_bottom, has_flat_bottom
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.keep import keep_of, keep_region, with_allowance
from turnsketch.planning.rough_depth import (
    X_ALLOWANCE_MM,
    Z_ALLOWANCE_MM,
    depth_met,
    depth_taken,
    greatest_depth,
    shallow_end,
)
from turnsketch.planning.rough_levels import rough_levels
from turnsketch.planning.rough_ways import clear_end, way_in, way_out
from turnsketch.planning.rough_work import RoughWork, greatest_slant
from turnsketch.planning.route import Mover, path_points
from turnsketch.planning.space import Interval, allowed_space, cuttable, slice_at
from turnsketch.shop.suited import goes_straight_in

__all__ = ["plan_rough"]

_PAST_MM = 1.0
"""So far beyond the end of the metal a cut runs out (common practice)."""

_THIN_MM = 0.3
"""A pass that takes nothing thicker than this (or half its own depth) is left to the finish."""


def plan_rough(
    ctx: Context, operation: Operation, state: State, where: str, outline: Outline, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return the roughing passes of one tool, outside inward."""
    shape = ctx.shape(operation.tool, where)
    if shape.tool.kind not in ("turning", "round"):
        return [], state  # a blade or a form tool does not turn sideways
    x = setting_mm(operation.x_allowance, X_ALLOWANCE_MM, ctx.units, f"{where}.x_allowance")
    z = setting_mm(operation.z_allowance, Z_ALLOWANCE_MM, ctx.units, f"{where}.z_allowance")
    depth = greatest_depth(ctx, operation, shape, where)
    keep = keep_of(outline, ctx.held, overrun)
    wall = keep.elements[-1].end.z
    solid = keep_region(keep.elements, ctx.held, CHORD_ROUGH)
    space = allowed_space(ctx, shape, with_allowance(solid, x, z, wall), -shape.nose_radius)
    work = RoughWork(
        ctx,
        shape,
        Mover.of(ctx, shape, CHORD_FINE),
        allowed=space.allowed,
        roomy=space.allowed.buffer(1e-6),
        cuttable=cuttable(shape, state.remaining),
        plunges=goes_straight_in(shape.tool),
        # On its side, the tool's trailing edge is its leading one: no slant is known for it.
        slant=0.0 if ctx.ahead else greatest_slant(shape.tool),
        valleys_only=operation.valleys_only,
        depth=depth,
        step=1.0 if shape.tool.hand == "left" else -1.0,
    )
    passes: list[DraftPass] = []
    before = ctx.held.radius
    for r in rough_levels(ctx, operation, outline, depth, x):
        for interval in _slices(work, r):
            found = _level_pass(work, state, r, before, interval)
            if found is not None:
                passes.append(found[0])
                state = found[1]
        before = r
    if ctx.axis_r is not None and has_flat_bottom(outline, overrun):
        faced, state = faced_bottom(work, state, z)
        passes += faced
    return passes, state


def _slices(work: RoughWork, r: float) -> list[Interval]:
    """Return the pieces of the level at `r` that cut, front first."""
    found: list[Interval] = []
    # A level on the very edge of the no-go region touches it, which is allowed: ask just above.
    level = r + TOUCH
    for low, high in slice_at(work.allowed, level):
        for start, end in slice_at(work.cuttable, level, low, high):
            if end - start >= MIN_LENGTH:
                found.append((start, end))
    return found if work.step < 0 else found[::-1]


def _level_pass(
    work: RoughWork, state: State, r: float, before: float, interval: Interval
) -> tuple[DraftPass, State] | None:
    """Return the pass that cuts `interval` at `r`, and what remains; None when it is no pass."""
    ctx, mover = work.ctx, work.mover
    begin, end = (interval[1], interval[0]) if work.step < 0 else interval
    if ctx.axis_r is not None:
        end = shallow_end(state.remaining, r, begin, end, work.depth)
    if work.step < 0:  # behind a blank's free end the tool goes on in air
        end = max(end, float(state.remaining.bounds[0]) - work.shape.nose_radius - _PAST_MM)
    end = ctx.rough_z(end) if work.step < 0 else end
    if (end - begin) * work.step < MIN_LENGTH:
        return None
    entry = way_in(work, state, r, before, begin, end)
    if entry is None:
        return None
    way, cuts = entry.way, list(entry.cuts)
    here = way[-1] if way else state.position
    points = [here, *(c.move.to for c in cuts)]
    end = clear_end(work, state, points, Point(end, r))
    if (end - points[-1].z) * work.step < MIN_LENGTH:
        return None
    cuts = [*cuts, cut(Point(end, r), "keep metal", "keep metal")]
    swept = mover.removed(path_points(here, cuts))
    taken = shapely.clip_by_rect(state.remaining, *swept.bounds).intersection(swept)
    if not _worth_a_pass(taken, min(before - r, _THIN_MM)):
        return None
    metal = clean(state.remaining.difference(swept))
    left = way_out(work, Point(end, r), before, metal, closed=len(cuts) > 1)
    if left is None:
        return None
    faced, back, metal = left
    moves: list[DraftMove] = [position(p) for p in way] + cuts + faced
    moves += [position(p) for p in back]
    section = section_at(ctx, Point(end, r), Point(begin, r))
    depth = min(before - r, depth_taken(state.remaining, r, begin, end))
    if ctx.axis_r is not None:
        depth = max(depth, depth_met(taken, r))
    made = DraftPass(
        tool=work.shape.tool.number,
        start=state.position,
        moves=tuple(moves),
        surface=section.label if section else "outside",
        section=section.number if section else None,
        direction="turn",
        depth=depth,
        speed_diameter=2 * min(before, ctx.held.radius),
        power_until=end - work.step * ctx.shop.clearances.power_until,
        notes=(entry.note,) if entry.note else (),
    )
    return made, State(metal, made.end, work.shape.tool.number)


def _worth_a_pass(taken: BaseGeometry, thick: float) -> bool:
    """Return whether what a pass takes is anywhere thicker than `thick` (at least MIN_TAKE)."""
    if taken.is_empty or taken.area < 1e-3:
        return False
    return not taken.buffer(-max(thick / 2 - 1e-6, MIN_TAKE / 2)).is_empty


def section_at(ctx: Context, end: Point, begin: Point) -> SectionInfo | None:
    """Return the section that a level works toward: the thickest of those under it.

    Where every section beside it is thicker (a valley), the one that it lies over most.
    """
    low, high = min(end.z, begin.z), max(end.z, begin.z)

    def shared(info: SectionInfo) -> float:
        return min(high, info.front.z) - max(low, info.back.z)

    beside = [info for info in ctx.sections_between(low, high) if shared(info) > 1e-6]
    under = [i for i in beside if min(i.front.r, i.back.r) <= end.r]
    if not under:
        return max(beside, key=shared, default=None)
    return max(under, key=lambda i: (max(i.front.r, i.back.r), i.kind == "cylinder"))
