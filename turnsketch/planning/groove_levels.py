"""A groove cleared level by level along Z, by a tool that cuts sideways as well as down.

It comes down straight in X, or follows the slant in front of the groove down to each level where
the lathe can. From level to level it stays in the groove.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from turnsketch.geometry.elements import Element, Line, Point
from turnsketch.planning.draft import DraftMove, XMode, cut, position
from turnsketch.planning.groove_paths import begin_above, led_in, split_at
from turnsketch.planning.groove_work import Cuts, GrooveWork
from turnsketch.planning.means import Means

__all__ = ["along_levels"]

_LEAVE_MM = 0.1
"""Left on the wall at a level's end; the last level goes up to it."""

_BELOW_MM = 1e-3
"""Above the surface a level is as long as the groove is wide so far below it."""

_SAME_MM = 1e-6
_NEAR_MM = 0.05
_EASY_MM = 0.05
"""A level is put so much higher at most, for an easier reading."""


def along_levels(work: GrooveWork, slant: Sequence[Element] = ()) -> None:
    """Add the cuts along Z, level by level, the last on the bottom.

    It begins where the tool comes down: on a slant, or away from a shoulder that hangs over. An
    upright wall of the groove's own is faced out at the end; else it goes back the way it came: a
    shoulder may still have its allowance.

    Parameters
    ----------
    slant : sequence of Line or Arc
        Slants and rounds that are followed down to each level, surface to bottom; none: the tool
        comes down in X.
    """
    space = work.space
    hangs_in_front = space.high - space.enter_high > space.enter_low - space.low
    start, end = space.enter_high if work.plunges else space.high, space.low
    if hangs_in_front:
        start, end = space.enter_low if work.plunges else space.low, space.high
    if slant:
        start = slant[-1].end.z
    # What a fillet of roughing leaves at the wall goes with the rest.
    places = (start, (start + end) / 2)
    high = max(work.metal_over(z, space.bottom) for z in places) - space.bottom
    count = max(1, math.ceil(high / work.greatest_depth() - 1e-6))
    heights = [high * index / count for index in range(count - 1, 0, -1)]
    levels = [_level(work, space.bottom + height, start > end) for height in heights]
    stretches = [s for s in levels if s is not None and (not slant or s[0].r < slant[0].start.r)]
    stretches.append((Point(start, space.bottom), Point(end, space.bottom)))
    _add_levels(work, stretches, tuple(slant), max(high / count, 0.0))


def _add_levels(
    work: GrooveWork,
    stretches: Sequence[tuple[Point, Point]],
    slant: tuple[Element, ...],
    depth: float,
) -> None:
    above = begin_above(work, slant[0]) if slant else None
    for index, (begin, stop) in enumerate(stretches):
        last = index + 1 == len(stretches)
        mode: XMode = "aim" if last else "keep metal"
        part, slant = split_at(slant, begin.r)
        moves: list[DraftMove] = [cut(begin, mode)]
        first = begin
        if part:
            begin = part[-1].end
            first = above if index == 0 and above is not None else part[0].start
            lead = first if index == 0 else None
            moves = led_in(work, lead, part)
        moves.append(cut(stop, mode))
        # On to where the next level begins; in X, what is cut leaves room for it.
        back = begin if last or slant else Point(stretches[index + 1][0].z, begin.r)
        means: Means = "guided" if part else "wheels"
        enters = index == 0
        faced = Cuts(
            (*moves, cut(Point(stop.z, work.out))), first, last, depth, means=means, enters=enters
        )
        if last and _upright(work, stop) and work.clear(faced):
            work.add(faced)
            return
        moves.append(position(back))
        work.add(Cuts(moves, first, last, depth, means=means, enters=enters, leaves=last))


def _upright(work: GrooveWork, stop: Point) -> bool:
    """Return whether the bottom's cut ends at an upright wall of the groove's own."""
    ends = work.groove.elements[0], work.groove.elements[-1]
    wall = min(ends, key=lambda e: abs(e.start.z - stop.z))
    runs = [p for run in work.space.flanks for e in run for p in (e.start, e.end)]
    rounded = any(p.distance(stop) < _NEAR_MM for p in runs)
    return not rounded and isinstance(wall, Line) and abs(wall.start.z - wall.end.z) < _SAME_MM


def _level(work: GrooveWork, r: float, toward_chuck: bool) -> tuple[Point, Point] | None:
    """Return the way along Z on a level, a little off the wall at its end; None: it is short."""
    r = work.ctx.easy_radius(r, r + _EASY_MM, r)
    surface = min(e.r for e in (work.groove.elements[0].start, work.groove.elements[-1].end))
    room = work.space.level(min(r, surface - _BELOW_MM))
    if room is None:
        return None
    low, high = room
    start, end = (high, low + _LEAVE_MM) if toward_chuck else (low, high - _LEAVE_MM)
    if abs(start - end) < _LEAVE_MM or (start > end) != toward_chuck:
        return None
    return Point(start, r), Point(end, r)
