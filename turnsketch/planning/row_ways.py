"""Ways of a finishing row: how the tool comes onto it, runs out of it and goes back."""

from __future__ import annotations

import bisect
import math

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Element, Line, Point
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftMove, cut
from turnsketch.planning.rough_depth import Z_ALLOWANCE_MM
from turnsketch.planning.row_clear import LEG_ROOM_MM, leg_is_clear
from turnsketch.planning.row_work import NOTHING_MM, RowWork
from turnsketch.planning.rows import Row, element_kind

__all__ = ["entry_of", "run_out", "way_back", "way_to_measure"]

_DOWN_MM = 0.25
"""On its way down onto a surface the tool is let down in the air in whole steps of this."""

_HIGHER = 4
"""So many of these steps higher it may stop to keep off a corner beside it."""

_THROUGH_MM = 10.0
"""A level row is begun from the front, through what stands there, if it starts no deeper."""

_Entry = tuple[tuple[Point, ...], list[DraftMove]]


def run_out(work: RowWork, row: Row) -> tuple[Element, ...]:
    """Return the row's elements, a shoulder faced out beyond its corner into the air."""
    last = row.elements[-1]
    if element_kind(last) == "out":
        out = work.ctx.out_radius(last.end.r)
        near_hole = last.end.r > work.ctx.held.radius - 1.0
        if work.ctx.axis_r is not None and near_hole and not _hole_below(work, last):
            out = last.end.r  # a bore's bottom, faced as far as the bar lets it
        return (*row.elements[:-1], Line(last.start, Point(last.end.z, out)))
    return row.elements


def _hole_below(work: RowWork, last: Element) -> bool:
    """Return whether a bore's bottom is faced up to a hole that goes on below it."""
    at_bottom = abs(last.end.z + work.ctx.part.total_length) < NOTHING_MM
    return at_bottom and work.ctx.held.behind < last.end.r + work.shape.nose_radius + NOTHING_MM


def entry_of(work: RowWork, row: Row, state: State) -> _Entry | None:
    """Return the way to the row's first cut and the cuts that lead onto its start."""
    first = row.elements[0]
    start, direction = first.start, first.start_direction
    room = work.ctx.shop.clearances.approach
    if direction.r > 0.7 and start.r <= work.shape.nose_radius:
        # An arc that begins on the axis: come from the front, not from beyond the axis.
        front = Point(max(start.z + room, work.ctx.return_z), start.r)
        if work.mover.free([front, Point(start.z + 0.005, start.r)], state.remaining):
            way = work.mover.route(state.position, front, state.remaining)
            if way is not None:
                return way, [cut(start, "aim")]
    reach = work.ctx.return_z - start.z
    level = element_kind(first) == "turn" and 0 < reach < 4 * room
    for distance in (reach if level else room, room, 0.5):
        ahead = start.minus(direction.times(distance))
        if work.mover.free([ahead, start.minus(direction.times(0.005))], state.remaining):
            way = work.mover.route(state.position, ahead, state.remaining)
            if way is not None:
                lead = [] if isinstance(first, Line) else [cut(start, "aim")]
                return way, lead
    return (
        _entry_through(work, row, state)
        or _entry_past_shoulder(work, row, state)
        or _entry_from_above(work, start, state)
    )


def _entry_through(work: RowWork, row: Row, state: State) -> _Entry | None:
    """Return the way to the front of a level row that may cut what stands before its start."""
    start = row.elements[0].start
    front = Point(work.ctx.return_z, start.r)
    reach = front.z - start.z
    near = 0 < reach <= _THROUGH_MM
    if element_kind(row.elements[0]) != "turn" or not near:
        return None
    if not work.mover.free([front, start], work.solid):
        return None
    way = work.mover.route(state.position, front, state.remaining)
    return None if way is None else (way, [])


def _entry_past_shoulder(work: RowWork, row: Row, state: State) -> _Entry | None:
    """Return the way to shortly before a level row that begins in a shoulder not faced yet.

    What roughing left on the shoulder is cut through along Z, rather than plunged into.
    """
    first = row.elements[0]
    start, room = first.start, work.ctx.shop.clearances.approach
    if element_kind(first) != "turn" or work.ctx.axis_r is not None:
        return None
    ahead = start.minus(first.start_direction.times(room))
    air = start.minus(first.start_direction.times(2 * Z_ALLOWANCE_MM + LEG_ROOM_MM))
    if not work.mover.free([ahead, air], state.remaining):
        return None
    if not work.mover.free([ahead, start], work.solid):
        return None
    way = work.mover.route(state.position, ahead, state.remaining)
    return None if way is None else (way, [])


def _entry_from_above(work: RowWork, start: Point, state: State) -> _Entry | None:
    """Return a way down onto `start`: in the air as far as it goes, the rest a cut in X.

    What stands there is made to rounded figures, and the way itself is rounded: a flank that would
    slide down along a corner keeps off it a little higher, and the rest is cut. Beside a wall there
    is no such place; the figure of Z is then taken on its clear side.
    """
    count = math.floor((work.ctx.clear_r - start.r) / _DOWN_MM + 1e-9) + 1
    tops = [Point(start.z, start.r + _DOWN_MM * step) for step in range(max(0, count))]

    def in_the_air(top: Point, beside: float = 0.0) -> bool:
        down = LEG_ROOM_MM if top.r > start.r else 0.0
        low, high = Point(top.z + beside, top.r - down), Point(top.z + beside, work.ctx.clear_r)
        return work.mover.free([low, high], state.remaining)

    def off_corners(top: Point) -> bool:
        return all(in_the_air(top, beside) for beside in (-LEG_ROOM_MM, LEG_ROOM_MM))

    first = bisect.bisect_left(tops, True, key=in_the_air)
    higher = next((top for top in tops[first : first + _HIGHER + 1] if off_corners(top)), None)
    for top in [higher, *tops[first:]] if higher else tops[first:]:
        way = work.mover.route(state.position, top, state.remaining)
        if way is not None:
            return way, [cut(start, "aim")] if top.r > start.r else []
    return None


def way_back(work: RowWork, row: Row, here: Point, metal: BaseGeometry) -> tuple[Point, ...] | None:
    """Return the withdrawal; a shoulder faced out into the air needs no further way out.

    Where what stands at a cylinder's end leans over the tool, it goes back as it came.
    """
    ctx = work.ctx
    faced = element_kind(row.elements[-1]) == "out"
    home = Point(ctx.return_z, ctx.clear_r)
    for out in (*((here.r,) if faced else ()), ctx.out_radius(here.r), ctx.clear_r):
        way = (Point(here.z, max(out, here.r)), Point(ctx.return_z, max(out, here.r)))
        if work.mover.free([here, *way], metal) and leg_is_clear(work, *way, metal):
            return way if way[0] != here else way[1:]
    found = work.mover.route(here, home, metal)
    begin = row.elements[0].start
    if found is None and element_kind(row.elements[-1]) == "turn":
        along = (Point(begin.z, here.r), Point(begin.z, ctx.clear_r), home)
        found = along if work.mover.free([here, *along], metal) else None
    return found


def way_to_measure(
    work: RowWork, row: Row, here: Point, metal: BaseGeometry
) -> tuple[Point, ...] | None:
    """Return the way back along Z alone; where a centre stands in it, out in X first."""
    home = Point(work.ctx.measure_z, here.r)
    if work.mover.free([here, home], metal):
        return (home,)
    return way_back(work, row, here, metal) if work.ctx.held.centre_in else None
