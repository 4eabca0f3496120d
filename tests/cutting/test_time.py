from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from turnsketch.cutting.time import (
    HAND_FEED_MM_MIN,
    HANDLING_MIN,
    POSITIONING_MM_MIN,
    cut_minutes,
    move_minutes,
    pass_minutes,
)
from turnsketch.geometry.elements import Arc, Element, Line, Point, Turn
from turnsketch.plan_records import Move

V, LIMIT, FEED = 120.0, 1800.0, 0.15
LIMIT_RADIUS = 1000 * V / (2 * math.pi * LIMIT)


def by_quadrature(element: Element) -> float:
    """Integrate ds / (f n) numerically, told where the integrand has its kinks."""

    def slowness(fraction: float) -> float:
        radius = max(abs(element.at(fraction).r), 1e-12)
        return element.length / (FEED * min(LIMIT, 1000 * V / (2 * math.pi * radius)))

    pieces = 64
    return sum(
        float(quad(slowness, i / pieces, (i + 1) / pieces, limit=200)[0]) for i in range(pieces)
    )


PLACES = st.builds(Point, st.floats(-40, 40), st.floats(-5, 60))


@settings(max_examples=40, deadline=None)
@given(PLACES, PLACES)
def test_line_under_constant_surface_speed(start: Point, end: Point) -> None:
    line = Line(start, end)
    exact = cut_minutes(line, LIMIT, FEED, surface_m_min=V)
    assert exact == pytest.approx(by_quadrature(line), rel=1e-6, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(
    PLACES,
    st.floats(0.5, 40),
    st.floats(-3.1, 3.1),
    st.floats(0.05, 6.0),
    st.sampled_from(["cw", "ccw"]),
)
def test_arc_under_constant_surface_speed(
    centre: Point, radius: float, first: float, sweep: float, turn: Turn
) -> None:
    def at(angle: float) -> Point:
        return Point(centre.z + radius * math.cos(angle), centre.r + radius * math.sin(angle))

    last = first + (sweep if turn == "ccw" else -sweep)
    arc = Arc(at(first), at(last), centre, turn)
    exact = cut_minutes(arc, LIMIT, FEED, surface_m_min=V)
    assert exact == pytest.approx(by_quadrature(arc), rel=1e-5)


def test_below_the_limit_radius_it_goes_at_the_limit() -> None:
    radius = LIMIT_RADIUS * 0.9
    line = Line(Point(0.0, radius), Point(0.0, -radius))
    assert cut_minutes(line, LIMIT, FEED, surface_m_min=V) == pytest.approx(
        2 * radius / (FEED * LIMIT)
    )


def test_along_a_cylinder_both_modes_agree() -> None:
    line = Line(Point(2.0, 20.0), Point(-50.0, 20.0))
    rpm = 1000 * V / (2 * math.pi * 20)
    assert cut_minutes(line, 3000.0, FEED, surface_m_min=V) == pytest.approx(52 / (FEED * rpm))


@given(st.floats(-30, 30), st.floats(-1, 31))
def test_a_move_cut_in_two_takes_the_same_time(middle_z: float, middle_r: float) -> None:
    start, end = Point(-31.0, 31.0), Point(31.0, -2.0)
    share = (middle_z - start.z) / (end.z - start.z)
    middle = Line(start, end).at(share)
    parts = [Line(start, middle), Line(middle, end)]
    total = sum(cut_minutes(p, LIMIT, FEED, surface_m_min=V) for p in parts)
    assert total == pytest.approx(cut_minutes(Line(start, end), LIMIT, FEED, surface_m_min=V))


def test_kinds_of_move() -> None:
    start, end = Point(2.0, 13.0), Point(-58.0, 13.0)
    assert move_minutes(start, Move("cut", end), 1000.0, 0.2) == pytest.approx(60 / 200)
    assert move_minutes(start, Move("cut", end), 1000.0, None) == 60 / HAND_FEED_MM_MIN
    assert move_minutes(start, Move("position", end), 1000.0, 0.2) == 60 / POSITIONING_MM_MIN
    thread = Move("thread", end, pitch=1.75)
    assert move_minutes(start, thread, 100.0, 0.2) == pytest.approx(60 / 175)
    arc = Move("cut", Point(-12.0, 12.0), centre=Point(-12.0, 0.0), turn="ccw")
    assert move_minutes(Point(0.0, 0.0), arc, 1000.0, 0.1) == pytest.approx(6 * math.pi / 100)


def test_a_pass_adds_up() -> None:
    start = Point(2.0, 13.0)
    moves = [
        Move("cut", Point(-58.0, 13.0)),
        Move("position", Point(-58.0, 14.0)),
        Move("position", Point(2.0, 14.0)),
    ]
    time = pass_minutes(start, moves, 1000.0, 0.2)
    assert time.cutting == pytest.approx(0.3)
    assert time.positioning == pytest.approx(61 / POSITIONING_MM_MIN)
    assert time.moving == time.cutting + time.positioning
    assert time.total == time.moving + HANDLING_MIN
    assert pass_minutes(start, [], 1000.0, 0.2).moving == 0.0
