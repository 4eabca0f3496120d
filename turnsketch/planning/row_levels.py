"""Cylinders and faces: what stands too high is cut level by level, fine sizes twice at last."""

from __future__ import annotations

import math
from dataclasses import replace

from turnsketch.geometry.elements import Line, Point
from turnsketch.geometry.minkowski import clean
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftPass, cut, position
from turnsketch.planning.levels import levels
from turnsketch.planning.means import Means
from turnsketch.planning.measure import wants_two_cuts
from turnsketch.planning.rough_depth import Z_ALLOWANCE_MM, depth_taken
from turnsketch.planning.row_clear import shown_clear
from turnsketch.planning.row_cut import cut_row
from turnsketch.planning.row_ways import entry_of, way_to_measure
from turnsketch.planning.row_work import DEEP, LAST_MM, SHORT_MM, RowWork
from turnsketch.planning.rows import Row, element_kind

__all__ = ["turned"]

_SAME_MM = 0.011
"""A cut deeper than the setting by less than this (an easy figure of X) is not split."""


def turned(work: RowWork, row: Row, state: State, means: Means) -> tuple[list[DraftPass], State]:
    """Return the last cut of a cylinder or face; fine tolerances get two equal ones.

    What stands higher than the tool takes in one cut is taken before, level by level.
    """
    lowered = _lowered(work, row, state, means)
    if lowered is None:
        return [], state
    made, state, most = lowered
    if row.direction == "turn" and wants_two_cuts(work.section_of(row)):
        first = _first_of_two(work, row, state)
        if first is not None:
            made, state = [*made, first[0]], first[1]
    last, state = cut_row(work, row, state, means, None, last=True)
    return made + [replace(one, depth=min(one.depth, most)) for one in last], state


def _lowered(
    work: RowWork, row: Row, state: State, means: Means
) -> tuple[list[DraftPass], State, float] | None:
    """Return the cuts before the last one along a cylinder, and what they leave for it.

    None when one of them cannot be made: then the next would be too deep.
    """
    radii = _levels(work, row, state)
    if radii is None:
        return None
    made: list[DraftPass] = []
    above = math.inf
    for radius in radii:
        lifted = _at_level(work, row, radius, SHORT_MM + Z_ALLOWANCE_MM)
        if lifted is None:
            continue
        found, state = cut_row(work, lifted, state, means, None, last=False)
        if not found:
            return None
        # What a cut before could not take beside its ends is a corner, not a depth.
        most = above - radius
        made += [replace(one, depth=min(one.depth, most)) for one in found]
        above = radius
    return made, state, above - row.lowest


def _levels(work: RowWork, row: Row, state: State) -> list[float] | None:
    """Return the radii of the cuts before the last one along a cylinder; None: too many."""
    level = next((e for e in row.elements if element_kind(e) == "turn"), None)
    if level is None:
        return []
    greatest = work.greatest_depth()
    lifted = _at_level(work, row, level.start.r, SHORT_MM + Z_ALLOWANCE_MM)
    spans = [level, *(lifted.elements if lifted is not None else ())]
    height = max(depth_taken(state.remaining, level.start.r, s.start.z, s.end.z) for s in spans)
    if height <= greatest + _SAME_MM:
        return []
    if height > DEEP * greatest and level.length > SHORT_MM + Z_ALLOWANCE_MM:
        return None
    floor = level.start.r + min(LAST_MM, greatest)
    return levels(level.start.r + height, [floor], greatest, work.ctx.easy_radius)


def _at_level(work: RowWork, row: Row, radius: float, short: float) -> Row | None:
    """Return the cylinder of a row at another radius, `short` of the shoulder behind it.

    None where nothing of a very short one is left.
    """
    level = next(e for e in row.elements if element_kind(e) == "turn")
    stop = level.end.z
    if row.elements[-1] is not level:
        back = level.end.z > level.start.z
        stop = work.ctx.rough_z_back(stop - short) if back else work.ctx.rough_z(stop + short)
    if (stop - level.start.z) * (level.end.z - level.start.z) <= 0:
        return None
    line = Line(Point(level.start.z, radius), Point(stop, radius))
    return replace(row, elements=(line,))


def _first_of_two(work: RowWork, row: Row, state: State) -> tuple[DraftPass, State] | None:
    """Return the first of two equal last cuts; the tool goes back along Z alone.

    None when half of what stands is thinner than the tool takes, or there is no way back.
    """
    level = next(e for e in row.elements if element_kind(e) == "turn")
    depth = depth_taken(state.remaining, level.start.r, level.start.z, level.end.z)
    radius = work.ctx.easy_radius(level.start.r + 0.47 * depth, level.start.r + 0.53 * depth)
    if min(radius - level.start.r, depth / 2) < work.shape.tool.thinnest_cut_mm - 0.011:
        return None
    lifted = _at_level(work, row, radius, SHORT_MM)
    if lifted is None:
        return None
    line = lifted.elements[0]
    stop = line.end.z
    entry = entry_of(work, lifted, state)
    if entry is None or entry[1]:
        return None
    way = entry[0]
    path = [way[-1] if way else state.position, line.end]
    metal = clean(state.remaining.difference(work.mover.removed(path)))
    back = way_to_measure(work, lifted, line.end, metal)
    if back is None or not work.mover.holder_free(path, metal):
        return None
    moves = [*shown_clear(work, way, state.remaining), cut(line.end, z_mode="keep metal")]
    moves += [position(p) for p in back]
    section = work.section_of(row)
    made = DraftPass(
        tool=work.shape.tool.number,
        start=state.position,
        moves=tuple(moves),
        surface=work.label(row, section),
        section=section.number if section else None,
        direction="turn",
        depth=depth_taken(state.remaining, radius, level.start.z, stop),
        speed_diameter=2 * max(p.r for e in row.elements for p in (e.start, e.end)),
        power_until=stop + work.ctx.shop.clearances.power_until,
        keep_x=len(back) == 1,
        notes=("first of two equal cuts",),
    )
    return made, State(metal, back[-1], work.shape.tool.number)
