"""Plunges that clear a groove, then its two walls and its bottom."""

from __future__ import annotations

import math
from collections.abc import Sequence

from turnsketch.geometry.elements import Element, Point
from turnsketch.planning.draft import XMode, cut
from turnsketch.planning.groove_levels import along_levels
from turnsketch.planning.groove_work import Cuts, GrooveWork

__all__ = ["rough_plunges", "walls_and_bottom"]

_LEAVE_MM = 0.1
"""Left on walls and bottom by the plunges before (common practice: 0.1 to 0.2)."""

_ROUGHED_MM = 0.6
"""A groove that is wider than the tool by less is made from wall to wall without plunges first."""

_OVERLAP = 0.85
"""Plunges stand so many blade widths apart: the ridge between them goes with the next."""

_PAST_MM = 0.05
"""A cut along the bottom stops so far before the allowance on the other wall."""

_OFF_MM = 0.3
"""So far a blade goes off a wall along the bottom before it comes out."""

_ONE_PLACE = 0.02
"""Walls that stand no farther apart than the tool is wide and this are made by one plunge."""


def rough_plunges(work: GrooveWork) -> None:
    """Make the plunges that leave a little on walls and bottom."""
    space = work.space
    span = space.high - space.low
    if not work.plunges or work.nosed or span < _ROUGHED_MM:
        return
    first, last = space.enter_high - _LEAVE_MM, space.enter_low + _LEAVE_MM
    step = _OVERLAP * work.flat if work.flat > 0 else 0.9 * work.shape.nose_radius
    count = max(1, math.ceil((first - last) / max(step, 0.1) - 1e-9))
    floor = space.bottom + _LEAVE_MM
    for z in dict.fromkeys(_even(first, last, count)):
        _plunge(work, z, work.ctx.easy_radius(floor, floor + 0.05, floor), last=False)


def walls_and_bottom(work: GrooveWork, slant: Sequence[Element] = ()) -> None:
    """Cut down both walls to the bottom and along it, or straight down where it just fits.

    Parameters
    ----------
    slant : sequence of Line or Arc
        What is followed on the way down, by a tool that does not plunge.
    """
    space = work.space
    if space.high - space.low < _ONE_PLACE:
        _plunge(work, (space.low + space.high) / 2, space.bottom, last=True)
    elif not work.plunges or work.nosed:
        along_levels(work, slant)
    elif space.high - space.low < _ROUGHED_MM:
        _plunge(work, space.enter_high, space.bottom, last=True)
        off = () if work.flat >= space.high - space.low else (space.high,)
        _plunge(work, space.enter_low, space.bottom, then=off, last=True)
    else:
        short = space.enter_low + _LEAVE_MM + _PAST_MM
        _plunge(work, space.enter_high, space.bottom, then=(short,), last=True)
        off_wall = space.enter_low + _LEAVE_MM + _PAST_MM + _OFF_MM
        back = min(off_wall, space.enter_high)
        _plunge(work, space.enter_low, space.bottom, then=(back,), last=True)


def _plunge(
    work: GrooveWork, z: float, r: float, *, then: Sequence[float] = (), last: bool = False
) -> None:
    """Add the plunges at `z` down to `r`, level by level; the last one goes on along Z."""
    metal_top = work.metal_over(z, r)
    if metal_top - r < 1e-4 and not then:
        return
    most = work.greatest_depth()
    levels = [r]
    while metal_top - levels[-1] > most + 1e-6:
        levels.append(work.ctx.easy_radius(levels[-1] + 0.9 * most, levels[-1] + most))
    for level in reversed(levels):
        final = level == r
        goals = [Point(z, level), *(Point(way, level) for way in then if final)]
        mode: XMode = "aim" if last and final else "keep metal"
        moves = [cut(goal, mode) for goal in goals]
        depth = min(most, metal_top - level)
        work.add(Cuts(moves, goals[0], last=last and final, depth=depth))
        metal_top = level


def _even(first: float, last: float, count: int) -> list[float]:
    return [first + (last - first) * i / count for i in range(count + 1)]
