"""Feeding a tool along Z under a shoulder, from the bottom up.

On a lathe that follows slopes it is one cut along the bottom and up the form. With two handwheels
every cut is a pass of its own: X stands, Z is fed under the shoulder and back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from turnsketch.geometry.elements import Arc, Element, Point
from turnsketch.planning.draft import cut, cut_along, position
from turnsketch.planning.groove_slants import guides
from turnsketch.planning.groove_work import Cuts, GrooveWork
from turnsketch.planning.steps_pass import cusp_limit
from turnsketch.readings.step_cusps import arc_step_angle, straight_step

__all__ = ["hidden_flanks", "under_shoulder"]

_WORDS = "under the shoulder: X stands, feed in Z"
_NOTHING_MM2 = 1e-4
_SAME_MM = 1e-3
_OFF_MM = 0.5
"""X is set so far in front of the shoulder at least, where the bottom is as wide."""


def hidden_flanks(work: GrooveWork) -> list[tuple[Element, ...]]:
    """Return the flanks that run on into an overhang: the tool comes to them from below."""
    space = work.space
    ends = [p for run in space.overhangs for e in run for p in (e.start, e.end)]
    return [
        run
        for run in space.flanks
        if any(p.distance(q) < 1e-6 for p in (run[0].start, run[-1].end) for q in ends)
    ]


def under_shoulder(work: GrooveWork) -> None:
    """Make what lies under a shoulder."""
    space = work.space
    if not space.overhangs:
        return
    run = [e for part in (*hidden_flanks(work), *space.overhangs) for e in part]
    upward = [
        element if element.end.r > element.start.r else element.reverse()
        for element in sorted(run, key=lambda e: min(e.start.r, e.end.r))
    ]
    front = upward[0].start.z > (space.low + space.high) / 2
    clear = _in_front(work, front)
    foot = Point(space.high if front else space.low, space.bottom)
    if not (guides(work, run) and _followed(work, upward, foot, clear)):
        wall = space.enter_high if front else space.enter_low
        places = [foot, *_stations(work, upward)]
        _fed(work, [p for p in places if abs(p.z - wall) > _SAME_MM], clear, wall)


def _in_front(work: GrooveWork, front: bool) -> float:
    """Return z in front of the shoulder, over what is cut of the bottom: an easy reading."""
    space, ctx = work.space, work.ctx
    if front:
        return max(space.enter_low, ctx.rough_z_back(space.enter_high - _OFF_MM))
    return min(space.enter_high, ctx.rough_z(space.enter_low + _OFF_MM))


def _followed(work: GrooveWork, upward: Sequence[Element], foot: Point, clear: float) -> bool:
    """Add the one cut along the bottom and up under the shoulder; False where it does not go."""
    here = Point(clear, work.space.bottom)
    start, end = upward[0].start, upward[-1].end
    foot = start if start.distance(foot) < 1e-3 else foot
    moves = [cut(here, "aim")]
    moves += [cut(foot, "aim")] if foot.distance(here) > 1e-3 else []
    moves += [cut(start)] if start.distance(foot) > 1e-9 else []
    moves += [cut_along(element) for element in upward]
    moves += [position(Point(clear, end.r))] if abs(end.z - clear) > 1e-6 else []
    depth = max(abs(p.z - clear) for p in (foot, *(e.start for e in upward)))
    cuts = Cuts(moves, here, True, depth, means="guided", direction="arc")
    if work.clear(cuts):
        work.add(cuts)
        return True
    return False


def _fed(work: GrooveWork, ends: Sequence[Point], clear: float, wall: float) -> None:
    """Add a pass for each place: X is set in front of the shoulder, Z fed under it and back.

    Parameters
    ----------
    clear, wall : float
        z at which X is set, and where the shoulder stands.
    """
    cutting = [end for end in ends if _cuts(work, Point(clear, end.r), end)]
    for index, end in enumerate(cutting):
        level = Point(clear, end.r)
        on_bottom = abs(end.r - work.space.bottom) < 1e-6
        here = cut(level, "aim") if on_bottom else position(level)
        moves = [here, cut(end), position(level)]
        work.add(
            Cuts(
                moves,
                level,
                True,
                abs(end.z - wall),
                notes=(_WORDS,),
                sized=on_bottom,
                enters=index == 0,
                leaves=index + 1 == len(cutting),
            )
        )


def _cuts(work: GrooveWork, level: Point, end: Point) -> bool:
    """Return whether feeding to a place takes anything that is worth it."""
    if end.distance(level) < 1e-3:
        return False
    taken = work.state.remaining.intersection(work.mover.removed([level, end]))
    return bool(taken.area >= _NOTHING_MM2)


def _stations(work: GrooveWork, run: Sequence[Element]) -> list[Point]:
    """Return places along an overhang, close enough for the cusp, upward."""
    nose = max(work.shape.nose_radius, 0.05)
    limit = min(cusp_limit(work.ctx, work.operation, work.where), nose)
    step = straight_step(nose, limit)
    places: list[Point] = []
    for element in run:
        count = max(1, math.ceil(element.length / step))
        if isinstance(element, Arc):
            hollow = element.radius + nose
            angle = arc_step_angle(hollow, nose, limit, convex=False)
            count = max(1, math.ceil(abs(element.sweep) / angle))
        places += [element.at(i / count) for i in range(1, count + 1)]
    return places
