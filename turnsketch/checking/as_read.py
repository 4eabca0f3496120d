"""The moves of a pass as the replay plays them: exact, or as the readout shows them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from turnsketch.checking.sweep import Coordinates, arc_points, arc_sweep
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Move, MoveKind, Pass, Reading
from turnsketch.units import Units, to_mm

__all__ = ["Motion", "motions", "pass_ends", "read_point"]


@dataclass(frozen=True, slots=True)
class Motion:
    """One motion of the reference point: chords within the fine chord."""

    kind: MoveKind
    points: Coordinates
    straight: bool


def read_point(reading: Reading, units: Units) -> Point:
    """Return where the reference point stands at a reading: z, and r from the diameter."""
    return Point(to_mm(reading.z, units), to_mm(reading.x, units) / 2)


def pass_ends(cut: Pass, units: Units, as_read: bool) -> list[Point]:
    """Return the start of a pass and the end of each of its moves."""
    if not as_read:
        return [cut.start, *(move.to for move in cut.moves)]
    return [read_point(reading, units) for reading in (cut.start_reading, *cut.readings)]


def motions(cut: Pass, units: Units, as_read: bool) -> list[Motion]:
    """Return the motions of a pass, in order.

    As read, an arc runs between the two points that were read. Its centre moves by the mean of
    what its ends moved by, and its radius runs evenly from the distance of the one end to that of
    the other: each point of the arc then moves by no more than the ends did. (The circle of the
    printed radius through both ends would not do: near half a turn its centre runs away.) Where
    rounding turns a tiny arc around, so that it would go nearly all the way round, it is a line.
    """
    ends = pass_ends(cut, units, as_read)
    exact = [cut.start, *(move.to for move in cut.moves)]
    return [
        _motion(move, before, after, pair)
        for move, (before, after), pair in zip(
            cut.moves, pairwise(ends), pairwise(exact), strict=True
        )
    ]


def _motion(move: Move, start: Point, end: Point, exact: tuple[Point, Point]) -> Motion:
    if move.centre is None:
        return Motion(move.kind, np.array([start, end], dtype=float), True)
    turn = move.turn or "ccw"
    shift = start.minus(exact[0]).plus(end.minus(exact[1])).times(0.5)
    centre = move.centre.plus(shift)
    meant = arc_sweep(*exact, move.centre, turn)
    if abs(arc_sweep(start, end, centre, turn) - meant) > math.pi:
        return Motion(move.kind, np.array([start, end], dtype=float), True)
    points = arc_points(start, end, centre, turn)
    return Motion(move.kind, points, len(points) == 2)
