"""The one cut that follows a row, with its way there and back, as a pass."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Element, Line, Point
from turnsketch.geometry.minkowski import clean
from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import PathSize, TaperSetting
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftMove, DraftPass, cut_along, position
from turnsketch.planning.keep import part_area
from turnsketch.planning.means import Means
from turnsketch.planning.measure import measure_stop
from turnsketch.planning.rough_depth import (
    Z_ALLOWANCE_MM,
    depth_met,
    depth_taken,
    shallow_end,
)
from turnsketch.planning.route import path_points
from turnsketch.planning.row_clear import shown_clear
from turnsketch.planning.row_ways import entry_of, run_out, way_back
from turnsketch.planning.row_work import NOTHING_MM, SHORT_MM, SHOULDER_MM, RowWork
from turnsketch.planning.rows import Row, element_kind

__all__ = ["cut_row"]

_WORTH_MM = 0.05
"""A cut along a taper or arc before the last one that is thinner on the average than this is left
to the next."""

_LEAST_SHARE = 0.1
_FINE_MM = 0.05
_CORNER_MM = 1.0
"""What a roughing cut's nose and its allowance leave before a shoulder is no longer than this."""

_SHORT_NOTE = "stops where the bar's head would touch the bottom"

_USUAL_MM, _DEEPEST_MM = 1.0, 10.0
"""How thick cuts along tapers and arcs are: metal farther off is not asked for its distance."""


def cut_row(
    work: RowWork, row: Row, state: State, means: Means, taper: TaperSetting | None, *, last: bool
) -> tuple[list[DraftPass], State]:
    """Return the one pass that follows `row`, if it takes anything and hits nothing.

    Where the tool cannot stand at its beginning, it begins where metal stands. In a bore a wall
    whose end the bar's head does not reach is cut as far as it gets, and no farther than to where
    metal stands deeper than the tool takes: the cone that a drill's point left.
    """
    if work.ctx.axis_r is not None:
        row = _before_the_cone(work, row, state)
    made, after = _whole(work, row, state, means, taper, last=last)
    if not made and work.ctx.axis_r is None:
        nearer = _nearer(work, row, state)
        if nearer is not None:
            made, after = _whole(work, nearer, state, means, taper, last=last)
    if not made and work.ctx.axis_r is not None:
        shorter = _shorter(work, row, state)
        if shorter is not None:
            made, after = _whole(work, shorter, state, means, taper, last=last)
            made = [replace(one, notes=(*one.notes, _SHORT_NOTE)) for one in made]
    return made, after


def _before_the_cone(work: RowWork, row: Row, state: State) -> Row:
    """Return a wall of a bore as far as it goes before metal stands deeper than one cut."""
    line = row.elements[0]
    if element_kind(line) != "turn":
        return row
    start, end = line.start, line.end
    depth = work.greatest_depth()
    stop = shallow_end(state.remaining, start.r, start.z, end.z, depth, _CORNER_MM)
    if stop == end.z:
        return row
    stop = work.ctx.rough_z(stop) if end.z < start.z else work.ctx.rough_z_back(stop)
    if (stop - start.z) * (end.z - start.z) <= 0:
        return row
    return replace(row, elements=(Line(start, Point(stop, start.r)),))


def _nearer(work: RowWork, row: Row, state: State) -> Row | None:
    """Return a level row that begins shortly before the first metal on its way; None: as it is."""
    line = row.elements[0]
    if element_kind(line) != "turn":
        return None
    low, high = sorted((line.start.z, line.end.z))
    over = shapely.clip_by_rect(state.remaining, low, line.start.r + NOTHING_MM, high, 1e4)
    if over.is_empty:
        return None
    room = work.ctx.shop.clearances.approach + work.shape.nose_radius
    if line.end.z > line.start.z:
        begin = work.ctx.rough_z_back(float(over.bounds[0]) - room)
    else:
        begin = work.ctx.rough_z(float(over.bounds[2]) + room)
    if not low + room < begin < high - room:
        return None
    return replace(row, elements=(Line(Point(begin, line.start.r), line.end), *row.elements[1:]))


def _shorter(work: RowWork, row: Row, state: State) -> Row | None:
    """Return a wall with its bottom as far as the holder keeps clear of what stands there.

    First the bottom is faced less far toward the axis; if that is not enough, the wall ends before.
    """
    line = row.elements[0]
    if element_kind(line) != "turn":
        return None
    last = row.elements[-1]
    whole = [line.start, line.end]
    if element_kind(last) == "out":
        share = _free_share(work, state, whole, last)
        if share is not None:
            stop = Point(last.end.z, last.start.r + share * (last.end.r - last.start.r))
            return replace(row, elements=(line, Line(last.start, stop)))
    share = _free_share(work, state, whole[:1], line)
    if share is None:
        return None
    stop_z = work.ctx.rough_z(line.start.z + share * (line.end.z - line.start.z))
    if (stop_z - line.start.z) * (line.end.z - line.start.z) <= 0:
        return None
    return replace(row, elements=(Line(line.start, Point(stop_z, line.start.r)),))


def _free_share(work: RowWork, state: State, before: list[Point], element: Element) -> float | None:
    """Return the share of an element that can be cut before the holder meets anything."""
    start, end = element.start, element.end

    def free(share: float) -> bool:
        way = end.minus(start).times(share)
        path = [*before, start.plus(way)]
        metal = state.remaining.difference(work.mover.removed(path))
        return work.mover.holder_free(path, metal) and work.mover.clear_of_obstacles(path)

    if not free(_LEAST_SHARE):
        return None
    good, bad = _LEAST_SHARE, 1.0
    while (bad - good) * start.distance(end) > _FINE_MM:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if free(middle) else (good, middle)
    return good


def _whole(
    work: RowWork, row: Row, state: State, means: Means, taper: TaperSetting | None, *, last: bool
) -> tuple[list[DraftPass], State]:
    """Return the one pass that follows all of `row`, if it takes anything and hits nothing."""
    entry = entry_of(work, row, state)
    if entry is None:
        return [], state
    way, cuts = entry
    here = way[-1] if way else state.position
    cuts = cuts + [cut_along(element) for element in run_out(work, row)]
    path = path_points(here, cuts, CHORD_FINE)
    swept = work.mover.removed(path)
    metal = clean(state.remaining.difference(swept))
    taken = _taken(work, row, state.remaining, metal)
    length = sum(element.length for element in row.elements)
    shifted = not last and row.direction != "turn"
    if taken < (_WORTH_MM if shifted else NOTHING_MM) * length:
        return [], state
    if not work.mover.holder_free(path, metal) or not work.mover.clear_of_obstacles(path):
        return [], state
    back = way_back(work, row, cuts[-1].move.to, metal)
    if back is None:
        return [], state
    moves = [*shown_clear(work, way, state.remaining), *cuts, *(position(p) for p in back)]
    thick = _thickness(state.remaining, swept, metal, row)
    made = _draft(work, row, state, tuple(moves), (means, taper), thick, last=last)
    if work.ctx.axis_r is not None and element_kind(row.elements[0]) == "turn":
        taken_here = state.remaining.intersection(swept)
        met = depth_met(taken_here, row.elements[0].start.r, _CORNER_MM)
        made = replace(made, depth=max(made.depth, met))
    return [made], State(metal, made.end, work.shape.tool.number)


def _taken(work: RowWork, row: Row, before: BaseGeometry, after: BaseGeometry) -> float:
    """Return the area that a cut takes off its own surface.

    What a flank takes off a collar beside a cylinder is no reason to go along it.
    """
    areas = [before, after]
    if row.direction == "turn":
        places = [p.z for e in row.elements for p in (e.start, e.end)]
        beside = 2 * work.shape.nose_radius + SHORT_MM
        low, high = min(places) - beside, max(places) + beside
        areas = [shapely.clip_by_rect(a, low, -1.0, high, 1e4) for a in areas]
    first, second = (0.0 if a.is_empty else part_area(work.ctx.part, a) for a in areas)
    return first - second


def _draft(
    work: RowWork,
    row: Row,
    state: State,
    moves: tuple[DraftMove, ...],
    way: tuple[Means, TaperSetting | None],
    thick: float,
    *,
    last: bool,
) -> DraftPass:
    means, taper = way
    section = work.section_of(row)
    begin, end = row.elements[0].start, row.elements[-1].end
    ends = [p.r for e in row.elements for p in (e.start, e.end)]
    turned = row.direction == "turn" and section is not None and section.kind == "cylinder"
    run = sum(e.length for e in row.elements if element_kind(e) == "turn")
    # A cylinder shorter than this is the foot of a shoulder, which is faced.
    level = row.direction == "turn" and run > SHORT_MM + Z_ALLOWANCE_MM
    depth = depth_taken(state.remaining, min(ends), begin.z, end.z) if level else thick
    return DraftPass(
        tool=work.shape.tool.number,
        start=state.position,
        moves=moves,
        surface=work.label(row, section),
        section=section.number if section else None,
        direction=row.direction,
        depth=depth,
        speed_diameter=2 * max(*ends, min(ends) + depth),
        power_until=_power_until(work, row, means, turned=turned),
        last_on_surface=last,
        size=_size(section) if turned and last else None,
        measure=(
            measure_stop(work.ctx, section, state.remaining, _reached(work, row))
            if turned and last
            else None
        ),
        taper=taper,
        means=means,
    )


def _power_until(work: RowWork, row: Row, means: Means, *, turned: bool) -> float | None:
    """Return where the power feed goes out: before a shoulder the hand takes over."""
    room = work.ctx.shop.clearances.power_until
    if turned:
        return row.elements[-1].end.z + room
    first = row.elements[0]
    walled = len(row.elements) > 1 and means in ("set-over", "taper attachment")
    if row.direction != "taper" or not walled:
        return None
    return first.end.z + math.copysign(room, first.start.z - first.end.z)


def _reached(work: RowWork, row: Row) -> tuple[float, float]:
    """Return how far along z a cylinder is cut; a corner's radius at its ends does not count."""
    level = [p.z for e in row.elements if element_kind(e) == "turn" for p in (e.start, e.end)]
    room = 2 * work.shape.nose_radius + NOTHING_MM
    section = work.section_of(row)
    low, high = min(level), max(level)
    if section is None:
        return low, high
    # The reference may stand a nose's radius beside what is cut.
    back, front = section.back.z, section.front.z
    return (back if low < back + room else low), (front if high > front - room else high)


def _size(section: SectionInfo | None) -> PathSize | None:
    if section is None or section.diameter is None:
        return None
    size = section.diameter
    return PathSize(size.aim, size.lower, size.upper)


def _thickness(before: BaseGeometry, swept: BaseGeometry, after: BaseGeometry, row: Row) -> float:
    """Return the greatest thickness of what a cut along a taper or arc takes, off the surface.

    A shoulder behind it is faced with the same cut and does not count.
    """
    end = row.elements[0].end
    low, bottom, high, top = swept.bounds
    corners = shapely.get_coordinates(
        shapely.clip_by_rect(before, low, bottom, high, top).intersection(swept)
    )
    if len(row.elements) > 1:
        corners = corners[np.hypot(corners[:, 0] - end.z, corners[:, 1] - end.r) > SHOULDER_MM]
    if not len(corners):
        return 0.0
    points, found = shapely.points(corners), 0.0
    for room in (_USUAL_MM, _DEEPEST_MM):
        near = shapely.clip_by_rect(after, low - room, bottom - room, high + room, top + room)
        found = float(shapely.distance(points, near).max())
        if found < room:
            break
    return found
