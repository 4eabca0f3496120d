"""Where a threading tool runs along the axis: start, end, and the room behind the thread."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point
from turnsketch.part.thread_reliefs import run_out_length
from turnsketch.planning.thread_work import Work

__all__ = ["Run", "run_of", "slide_shift"]

_START_PITCHES: Final = (3.0, 2.0)
"""In front of the thread the carriage starts so many pitches away, at least: the slack has to be
out before the tool cuts (common practice)."""

_MOST_RUN_PITCHES: Final = 8.0

_AIM_PITCHES: Final = 1.5
"""The run aims at so many pitches behind the thread's end at most."""

_CLEAR_MM: Final = 0.1
"""What the tool keeps from a shoulder at the end of its run."""

_HALVINGS: Final = 40

_PROBE_MM: Final = 0.05

_PROBE_PITCHES: Final = 0.75

_END_SHARES: Final = (0.3, 0.4, 0.5)
"""Of the room behind the thread, where the run may end: the rest is left to the hand. Less than
the first, and the last turn would not be full."""


@dataclass(frozen=True)
class Run:
    """Where one thread's tool goes along the axis."""

    start_z: float
    end_z: float
    start_room: float
    free: float
    relief: bool
    last_z: float
    fed_in: bool = False
    """It starts in metal behind the part, into which the tip is fed in each pass."""

    @property
    def hand_room(self) -> float:
        """The room that a hand has from where the run is to end, to where it must stand."""
        return abs(self.end_z - self.last_z) if self.free > 0 else self.free


def run_of(work: Work, metal: BaseGeometry) -> Run | None:
    """Return the run along the thread; None where the tool does not get into it."""
    if work.thread.left_hand:
        return _run_out_to_the_front(work, metal)
    pitch, place = work.thread.pitch, work.place
    start = _start(work, place.front_z)
    if start is None:
        return None
    farthest = _farthest(work, start, place.back_z - _MOST_RUN_PITCHES * pitch)
    relief = _is_relief(work, metal)
    # What the top slide goes along the axis comes on top of the carriage's way.
    slide = slide_shift(work)
    free = place.back_z - farthest - slide
    if not relief:
        free = min(free, run_out_length(pitch))
    last = max(place.back_z - free, farthest + slide)
    if free <= 0:
        end = work.ctx.rough_z(last)
        return Run(start, end, start - place.front_z, free, relief, last)
    end = _end(work, metal, free)
    return Run(start, end, start - place.front_z, free, relief, last)


def _end(work: Work, metal: BaseGeometry, free: float) -> float:
    """Return where the run aims to end: soon behind the thread, for the hand needs the rest.

    In a relief the tip is in the air there, unless most of the room would be gone by then: it is
    then drawn out of its own groove, where the slope of the relief begins.
    """
    back, deep, out = work.place.back_z, work.r_of(work.full_x), work.out_r
    ends = []
    for share in _END_SHARES:
        aim = back - min(share * free, 2 * share * _AIM_PITCHES * work.thread.pitch)
        easy = work.ctx.rough_z(aim)
        ends.append(easy if easy <= back else aim)
    in_air = (z for z in ends if work.mover.free([Point(z, deep), Point(z, out)], metal))
    return next(in_air, ends[0])


def _run_out_to_the_front(work: Work, metal: BaseGeometry) -> Run | None:
    """Return the run of a left-hand thread: from its relief forward, out past its front end."""
    pitch, place = work.thread.pitch, work.place
    fed_in = not _is_relief(work, metal)
    if fed_in and not work.behind:
        return None
    farthest = _farthest(work, place.back_z + pitch, place.back_z - _MOST_RUN_PITCHES * pitch)
    room = min(place.back_z - farthest, _START_PITCHES[0] * pitch)
    deep = work.r_of(work.full_x)
    start = place.back_z - room
    if fed_in:
        start = work.ctx.rough_z(start)
        room = place.back_z - start
    if room <= 0 or (fed_in and room < pitch):
        return None
    way_in = [Point(start, deep), Point(start, work.out_r)]
    if not work.mover.free(way_in, work.solid if fed_in else metal):
        return None
    ahead = _farthest(work, place.front_z, place.front_z + _MOST_RUN_PITCHES * pitch)
    free = ahead - place.front_z
    end = place.front_z + min(free / 2, _START_PITCHES[1] * pitch)
    return Run(start, end, room, free, True, ahead, fed_in)


def _start(work: Work, front: float) -> float | None:
    """Return where the carriage starts: three pitches in front, on an easy figure, if it can."""
    wanted = work.ctx.rough_z(front + _START_PITCHES[0] * work.thread.pitch)
    deep, out = work.r_of(work.full_x), work.out_r
    for share in (1.0, 0.8, 0.65, 0.5, 0.35, 0.2, 0.0):
        z = front + share * (wanted - front)
        path = [Point(z, out), Point(z, deep)]
        if work.mover.free(path, work.solid):
            return z
    return None


def _farthest(work: Work, start: float, goal: float) -> float:
    """Return how far from `start` toward `goal` the tip at full depth gets.

    It keeps a little from what must stand. Jaws and centre stop it too.
    """
    deep = work.r_of(work.full_x)
    way = 1.0 if goal > start else -1.0

    def free(z: float) -> bool:
        path = [Point(start, deep), Point(z + way * _CLEAR_MM, deep)]
        return work.mover.free(path, work.solid) and work.mover.holder_free(path, work.solid)

    if free(goal):
        return goal
    low, high = start, goal
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if free(middle) else (low, middle)
    return low


def _is_relief(work: Work, metal: BaseGeometry) -> bool:
    """Return whether the metal behind the thread's end has been cut away already."""
    z = work.place.back_z - _PROBE_PITCHES * work.thread.pitch
    surface, deep = work.info.front.r, work.r_of(work.full_x)
    r = surface - min(_PROBE_MM, (surface - deep) / 2)
    return not metal.covers(shapely.Point(z, r))


def slide_shift(work: Work) -> float:
    """Return how far the top slide goes along the axis down to full depth."""
    angle = work.slide_angle
    return 0.0 if angle is None else abs(work.blank - work.full_x) / 2 * math.tan(angle)
