"""Roughing along Z: slices of the allowed space at constant r, each piece a pass.

A slice ends where the no-go region begins, so that shoulders, tapers, arcs and valleys stop it by
themselves. A slice open to the front is approached through air; a closed one (a valley) is
entered by a cut straight in, if the tool may plunge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from turnsketch.cutting.force import greatest_depth_mm
from turnsketch.cutting.speed import STEP_OVER
from turnsketch.cutting.surface import surface_speed
from turnsketch.geometry.constants import CHORD_FINE, CHORD_ROUGH, MIN_LENGTH, MIN_TAKE, TOUCH
from turnsketch.geometry.elements import Arc, Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, SectionInfo
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.flats import levels_above_flats
from turnsketch.planning.keep import keep_of, keep_region, with_allowance
from turnsketch.planning.levels import levels
from turnsketch.planning.route import Mover, path_points
from turnsketch.planning.space import Interval, allowed_space, cuttable, slice_at
from turnsketch.planning.stepped import stepped_sections
from turnsketch.shop.records import Material
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["X_ALLOWANCE_MM", "Z_ALLOWANCE_MM", "plan_rough", "shoulder_radii"]

X_ALLOWANCE_MM = 0.3
"""Left on radius for the finish (0.6 on diameter; 0.4 to 0.8 is common practice)."""

Z_ALLOWANCE_MM = 0.2
"""Left on shoulders for the finish (common practice)."""


_LEAST_DEPTH_MM = 0.3
"""However weak the lathe, no roughing cut is planned thinner than this."""

_THIN_MM = 0.3
"""A pass that takes nothing thicker than this (or half its own depth) is left to the finish."""

_STAIR_MM = 1.2
"""Levels over a surface that is made in steps by hand stand no further apart: what the levels leave
is fed through by the cross slide, place by place."""

_ALIKE_MM = 0.2
"""A crest so near to another level, or to the blank, has none of its own."""

_CHORD_MM = 0.01

_CORNER_MM = 4.0
"""As far from a cut's ends corners may stand, at most: a nose of 3 mm and an allowance."""


@dataclass(frozen=True)
class _Work:
    """What the passes of one roughing operation share."""

    ctx: Context
    shape: ToolShape
    mover: Mover
    allowed: BaseGeometry
    roomy: BaseGeometry
    """The allowed positions with their edge, so that sliding along it counts as inside."""
    cuttable: BaseGeometry
    plunges: bool
    valleys_only: bool
    step: float
    """+1 when the tool cuts away from the chuck (left hand), else -1."""


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
    work = _Work(
        ctx,
        shape,
        Mover.of(ctx, shape, CHORD_FINE),
        space.allowed,
        space.allowed.buffer(1e-6),
        cuttable(shape, state.remaining),
        shape.tool.plunge_angle_deg >= 90.0,
        operation.valleys_only,
        1.0 if shape.tool.hand == "left" else -1.0,
    )
    passes: list[DraftPass] = []
    before = ctx.held.radius
    finer, floors = list(_low_stairs(ctx, outline, x)), shoulder_radii(ctx, outline, x)
    beside = [*floors, ctx.held.radius]
    if operation.depth is None:
        round_at, light = levels_above_flats(ctx, depth)
        floors, finer = [*floors, *round_at], [*finer, *light]
    floors += [r for _, r, _ in finer if all(abs(r - other) > _ALIKE_MM for other in beside)]
    for r in levels(ctx.held.radius, floors, depth, ctx.easy_radius, finer):
        for interval in _slices(work, r, state.remaining):
            found = _level_pass(work, state, r, before, interval)
            if found is not None:
                passes.append(found[0])
                state = found[1]
        before = r
    return passes, state


def greatest_depth(ctx: Context, operation: Operation, shape: ToolShape, where: str) -> float:
    """Return the radial depth that setting, tool, trainee's limit and the lathe's power allow.

    What the user sets is honoured against the power (a finding says when it is too much).
    """
    tool = shape.tool
    depth = setting_mm(operation.depth, tool.greatest_depth_mm, ctx.units, f"{where}.depth")
    limits = [depth]
    if ctx.shop.limits.greatest_depth_mm is not None:
        limits.append(ctx.shop.limits.greatest_depth_mm)
    if operation.depth is None and ctx.material is not None:
        limits.append(_power_depth(ctx, operation, shape, ctx.material, where))
    return min(limits)


def _power_depth(
    ctx: Context, operation: Operation, shape: ToolShape, material: Material, where: str
) -> float:
    """Return the depth that takes all the lathe's power, a gear step over the wanted speed."""
    tool = shape.tool
    feed = setting_mm(operation.feed, tool.rough_feed_mm, ctx.units, f"{where}.feed")
    speed = operation.surface_speed or surface_speed(material, tool.material, "rough")
    angle = math.radians(tool.edge_angle_deg) if tool.kind == "turning" else math.pi / 2
    depth = greatest_depth_mm(material, ctx.lathe, feed, angle, STEP_OVER * speed)
    return max(_LEAST_DEPTH_MM, math.floor(depth * 20) / 20)


def shoulder_radii(ctx: Context, outline: Outline, allowance: float) -> list[float]:
    """Return the radii on which a level must stand, allowance included, on easy figures."""
    radii: set[float] = set()
    for element in outline.elements:
        shape = element.shape
        if element.role == "cylinder":
            radii.add(shape.start.r)
        elif element.role in ("taper", "arc"):
            radii.update((shape.start.r, shape.end.r))
            if isinstance(shape, Arc):
                radii.add(_lowest(shape))
    extra = 0.1 if ctx.units == "mm" else 0.127
    return [
        ctx.easy_radius(r + allowance, r + allowance + extra, r + allowance) for r in sorted(radii)
    ]


def _low_stairs(
    ctx: Context, outline: Outline, allowance: float
) -> Iterator[tuple[float, float, float]]:
    """Yield between which radii levels stand close, so that surfaces made in steps have low stairs.

    The upper one is the crest's, with its allowance.
    """
    stepped = stepped_sections(ctx)
    for element in outline.elements:
        if element.section in stepped and element.role in ("arc", "taper"):
            radii = [p.r for p in element.shape.chords(_CHORD_MM)]
            crest = max(radii) + allowance
            yield min(radii), ctx.easy_radius(crest, crest + 0.1, crest), _STAIR_MM


def _lowest(arc: Arc) -> float:
    """Return the smallest r on an arc."""
    return min(point.r for point in arc.chords(_CHORD_MM))


def _slices(work: _Work, r: float, metal: BaseGeometry) -> list[Interval]:
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
    work: _Work, state: State, r: float, before: float, interval: Interval
) -> tuple[DraftPass, State] | None:
    """Return the pass that cuts `interval` at `r`, and what remains; None when it is no pass."""
    ctx, mover = work.ctx, work.mover
    begin, end = (interval[1], interval[0]) if work.step < 0 else interval
    end = ctx.rough_z(end) if work.step < 0 else end
    if (end - begin) * work.step < MIN_LENGTH:
        return None
    entry = _entry(work, state, r, before, begin)
    if entry is None:
        return None
    way, cuts = entry
    here = way[-1] if way else state.position
    points = [here, *(c.move.to for c in cuts)]
    end = _clear_end(work, state, points, Point(end, r))
    if (end - points[-1].z) * work.step < MIN_LENGTH:
        return None
    cuts = [*cuts, cut(Point(end, r), "keep metal", "keep metal")]
    swept = mover.removed(path_points(here, cuts))
    if not _worth_a_pass(state.remaining, swept, min(before - r, _THIN_MM)):
        return None
    metal = clean(state.remaining.difference(swept))
    left = _leave(work, Point(end, r), before, metal, closed=len(cuts) > 1)
    if left is None:
        return None
    faced, back, metal = left
    moves: list[DraftMove] = [position(p) for p in way] + cuts + faced
    moves += [position(p) for p in back]
    section = section_at(ctx, Point(end, r), Point(begin, r))
    made = DraftPass(
        tool=work.shape.tool.number,
        start=state.position,
        moves=tuple(moves),
        surface=section.label if section else "outside",
        section=section.number if section else None,
        direction="turn",
        depth=min(before - r, depth_taken(state.remaining, r, begin, end)),
        speed_diameter=2 * min(before, ctx.held.radius),
        power_until=end - work.step * ctx.shop.clearances.power_until,
    )
    return made, State(metal, made.end, work.shape.tool.number)


def _worth_a_pass(metal: BaseGeometry, swept: BaseGeometry, thick: float) -> bool:
    """Return whether what a pass takes is anywhere thicker than `thick` (at least MIN_TAKE)."""
    taken = shapely.clip_by_rect(metal, *swept.bounds).intersection(swept)
    if taken.is_empty or taken.area < 1e-3:
        return False
    return not taken.buffer(-max(thick / 2 - 1e-6, MIN_TAKE / 2)).is_empty


def depth_taken(metal: BaseGeometry, r: float, begin: float, end: float) -> float:
    """Return how far metal stands above `r` between two z values: the depth of the cut."""
    low, high = min(begin, end), max(begin, end)
    # Shoulders and what a round nose left beside them do not count as the depth.
    margin = min(_CORNER_MM, (high - low) / 4)
    low, high = low + margin, high - margin
    strip = shapely.clip_by_rect(metal, low, r, high, r + 1e3)
    return 0.0 if strip.is_empty else float(strip.bounds[3] - r)


def _entry(
    work: _Work, state: State, r: float, before: float, begin: float
) -> tuple[tuple[Point, ...], list[DraftMove]] | None:
    """Return the way to the pass's first cut, and the entry cuts.

    Open slices are approached at their own level; closed ones from the level before, straight in.
    """
    ctx, mover = work.ctx, work.mover
    room = ctx.shop.clearances.approach
    for distance in (max(room, ctx.return_z - begin) if work.step < 0 else room, room, 0.5):
        ahead = Point(begin - work.step * distance, r)
        if mover.free([ahead, Point(begin - work.step * 0.01, r)], state.remaining):
            way = mover.route(state.position, ahead, state.remaining)
            if way is not None:
                return None if work.valleys_only else (way, [])
    if not work.plunges:
        return None
    begin = ctx.rough_z_back(begin) if work.step < 0 else ctx.rough_z(begin)
    for above in (before, before + 0.5, ctx.held.radius):
        top = Point(begin, ctx.easy_radius(above + 0.2, above + 0.7))
        if mover.free([top, Point(begin, ctx.clear_r)], state.remaining):
            way = mover.route(state.position, top, state.remaining)
            if way is not None:
                return way, [cut(Point(begin, r), "keep metal", "keep metal")]
    return None


def _clear_end(work: _Work, state: State, path: list[Point], goal: Point) -> float:
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


def _leave(
    work: _Work, here: Point, before: float, metal: BaseGeometry, *, closed: bool
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
