"""Lines and arcs: lengths, sweeps, directions, chords and the moves of whole elements."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.geometry.elements import (
    Arc,
    Element,
    Line,
    Point,
    Turn,
    chain_chords,
    mirrored_in_z,
    moved,
    reversed_chain,
)

angles = st.floats(-math.pi, math.pi)
turns = st.sampled_from(("cw", "ccw"))


def arc(start_angle: float, sweep: float, radius: float = 10.0, turn: Turn = "ccw") -> Arc:
    """Return an arc about (5, 20) by start angle and unsigned sweep."""
    sign = 1.0 if turn == "ccw" else -1.0
    ends = [
        Point(5 + radius * math.cos(a), 20 + radius * math.sin(a))
        for a in (start_angle, start_angle + sign * sweep)
    ]
    return Arc(ends[0], ends[1], Point(5.0, 20.0), turn)


def test_line_has_length_direction_and_points_between() -> None:
    line = Line(Point(0.0, 3.0), Point(-8.0, 9.0))
    assert line.length == 10.0
    assert line.start_direction == Point(-0.8, 0.6) == line.end_direction
    assert line.at(0.5) == Point(-4.0, 6.0)
    assert line.reverse() == Line(Point(-8.0, 9.0), Point(0.0, 3.0))


@given(angles, st.floats(0.01, 6.27), turns)
def test_arc_sweep_is_signed_and_survives_reversal(start: float, sweep: float, turn: Turn) -> None:
    shape = arc(start, sweep, turn=turn)
    assert shape.sweep == pytest.approx(sweep if turn == "ccw" else -sweep, abs=1e-9)
    assert shape.length == pytest.approx(10.0 * sweep, abs=1e-8)
    assert shape.reverse().sweep == pytest.approx(-shape.sweep, abs=1e-9)


@given(angles, st.floats(0.01, 6.27), turns)
def test_arc_directions_are_the_limits_of_its_chords(
    start: float, sweep: float, turn: Turn
) -> None:
    shape = arc(start, sweep, turn=turn)
    step = Line(shape.start, shape.at(1e-6)).start_direction
    last = Line(shape.at(1 - 1e-6), shape.end).start_direction
    assert step.distance(shape.start_direction) < 1e-4
    assert last.distance(shape.end_direction) < 1e-4


@given(angles, st.floats(0.01, 6.27), turns, st.sampled_from((1e-2, 1e-3, 1e-4)))
def test_chords_stay_within_their_tolerance_at_mid_chord(
    start: float, sweep: float, turn: Turn, chord: float
) -> None:
    shape = arc(start, sweep, turn=turn)
    points = shape.chords(chord)
    assert (points[0], points[-1]) == (shape.start, shape.end)
    for a, b in pairwise(points):
        middle = Point((a.z + b.z) / 2, (a.r + b.r) / 2)
        assert 0.0 <= shape.radius - middle.distance(shape.centre) + 1e-9 <= chord + 2e-9


def test_chain_chords_gives_no_vertex_twice() -> None:
    chain: list[Element] = [Line(Point(0, 0), Point(0, 5)), Line(Point(0, 5), Point(-9, 5))]
    assert chain_chords(chain, 0.1) == [Point(0, 0), Point(0, 5), Point(-9, 5)]


@given(angles, st.floats(0.01, 6.27), turns)
def test_moving_and_mirroring_keep_the_shape(start: float, sweep: float, turn: Turn) -> None:
    shape = arc(start, sweep, turn=turn)
    shifted = moved(shape, Point(-3.0, 4.0))
    assert isinstance(shifted, Arc)
    assert shifted.centre == Point(2.0, 24.0)
    assert shifted.length == pytest.approx(shape.length, rel=1e-9)
    flipped = mirrored_in_z(shape)
    assert isinstance(flipped, Arc)
    assert flipped.turn != shape.turn
    assert flipped.sweep == pytest.approx(-shape.sweep, abs=1e-9)
    assert mirrored_in_z(flipped) == shape


def test_mirrored_line_and_reversed_chain() -> None:
    first, second = Line(Point(0, 0), Point(0, 5)), Line(Point(0, 5), Point(-9, 5))
    assert mirrored_in_z(second) == Line(Point(0, 5), Point(9, 5))
    assert reversed_chain([first, second]) == (second.reverse(), first.reverse())
