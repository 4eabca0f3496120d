"""Crossings, feet and offsets of lines and circles, also at and near tangency."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from turnsketch.geometry.elements import Arc, Line, Point, Turn
from turnsketch.geometry.intersect import (
    circle_circle,
    crossings,
    distance,
    foot,
    fraction_at,
    line_circle,
    line_line,
    meetings,
    nearest,
    offset,
    r_extent,
    turn_between,
    z_extent,
)

coordinates = st.floats(-100.0, 100.0)
points = st.builds(Point, coordinates, coordinates)
radii = st.floats(0.1, 100.0)
turns = st.sampled_from(("cw", "ccw"))


def arc(start: float, end: float, radius: float = 5.0, turn: Turn = "ccw") -> Arc:
    """Return an arc about the origin between two angles in degrees."""
    ends = [
        Point(radius * math.cos(math.radians(a)), radius * math.sin(math.radians(a)))
        for a in (start, end)
    ]
    return Arc(ends[0], ends[1], Point(0.0, 0.0), turn)


def test_two_lines_cross_beyond_their_ends() -> None:
    a, b = Line(Point(0, 0), Point(1, 1)), Line(Point(10, 0), Point(10, 1))
    crossing = line_line(a, b)
    assert crossing is not None
    assert crossing.distance(Point(10.0, 10.0)) < 1e-12
    assert line_line(a, Line(Point(0, 1), Point(5, 6))) is None


@given(points, points, points, points)
def test_crossing_of_lines_lies_on_both(a: Point, b: Point, c: Point, d: Point) -> None:
    assume(min(a.distance(b), c.distance(d)) > 1.0)
    first, second = Line(a, b), Line(c, d)
    assume(abs(math.sin(turn_between(first.start_direction, second.start_direction))) > 1e-3)
    crossing = line_line(first, second)
    assert crossing is not None
    assert crossing.distance(foot(first, crossing)) < 1e-9
    assert crossing.distance(foot(second, crossing)) < 1e-7


@given(points, points, points, radii)
def test_line_and_circle_meet_on_both(a: Point, b: Point, centre: Point, radius: float) -> None:
    assume(a.distance(b) > 1.0)
    line = Line(a, b)
    found = line_circle(line, centre, radius)
    for point in found:
        assert abs(point.distance(centre) - radius) < 2e-9
        assert point.distance(foot(line, point)) < 1e-9
    away = foot(line, centre).distance(centre)
    if abs(away - radius) > 1e-6:
        assert len(found) == (2 if away < radius else 0)
    if len(found) == 2:
        assert fraction_at(line, found[0]) < fraction_at(line, found[1])


@given(points, radii, points, radii)
def test_two_circles_meet_on_both(a: Point, radius_a: float, b: Point, radius_b: float) -> None:
    apart = a.distance(b)
    assume(apart > 1e-3)
    found = circle_circle(a, radius_a, b, radius_b)
    for point in found:
        assert abs(point.distance(a) - radius_a) < 1e-8
        assert abs(point.distance(b) - radius_b) < 1e-8
    margin = min(radius_a + radius_b - apart, apart - abs(radius_a - radius_b))
    if abs(margin) > 1e-6:
        assert len(found) == (2 if margin > 0 else 0)
    if len(found) == 2:
        assert turn_between(b.minus(a), found[0].minus(a)) >= 0


@pytest.mark.parametrize("miss", [0.0, 5e-10, -5e-10])
def test_touching_within_a_nanometre_is_one_point(miss: float) -> None:
    tangent = Line(Point(-50.0, 12.5 + miss), Point(50.0, 12.5 + miss))
    assert line_circle(tangent, Point(0.0, 0.0), 12.5) == (Point(0.0, 12.5 + miss),)
    outside = circle_circle(Point(0, 0), 7.0, Point(10.0 + miss, 0), 3.0)
    assert len(outside) == 1
    assert outside[0].distance(Point(7.0, 0.0)) < 1e-9
    inside = circle_circle(Point(0, 0), 3.0, Point(4.0 + miss, 0), 7.0)
    assert len(inside) == 1
    assert inside[0].distance(Point(-3.0, 0.0)) < 1e-9
    assert (
        circle_circle(Point(0, 0), 7.0, Point(4.0 + miss, 0), 3.0)[0].distance(Point(7, 0)) < 1e-9
    )


def test_circles_about_one_centre_never_cross() -> None:
    assert circle_circle(Point(1, 2), 3.0, Point(1, 2), 3.0) == ()
    assert circle_circle(Point(1, 2), 3.0, Point(1, 2), 4.0) == ()


def test_crossings_take_lines_and_arcs_in_any_order() -> None:
    circle, line = arc(0, 90), Line(Point(-9, 3), Point(9, 3))
    assert crossings(circle, line) == crossings(line, circle)
    assert [p.z for p in crossings(line, circle)] == pytest.approx([-4.0, 4.0])
    assert len(crossings(circle, Arc(Point(9, 0), Point(5, 4), Point(5, 0), "ccw"))) == 2


def test_meetings_end_where_the_elements_end() -> None:
    line = Line(Point(-9, 3), Point(9, 3))
    assert meetings(arc(0, 90), line) == (Point(4.0, 3.0),)
    assert meetings(arc(0, 30), line) == ()
    assert meetings(arc(0, 90), Line(Point(5, 0), Point(9, 0))) == (Point(5.0, 0.0),)


def test_overlap_on_one_carrier_is_given_by_its_ends() -> None:
    first, second = Line(Point(0, 0), Point(0, 8)), Line(Point(0, 6), Point(0, 20))
    assert set(meetings(first, second)) == {Point(0, 8), Point(0, 6)}
    assert meetings(first, Line(Point(0, 9), Point(0, 20))) == ()
    shared = meetings(arc(0, 90), arc(60, 120))
    assert {round(math.degrees(math.atan2(p.r, p.z))) for p in shared} == {60, 90}


@given(points, st.floats(0, 360), st.floats(1, 359), turns)
def test_nearest_point_is_no_farther_than_any_other(
    point: Point, start: float, sweep: float, turn: Turn
) -> None:
    shape = arc(start, start + (sweep if turn == "ccw" else -sweep), turn=turn)
    best = distance(shape, point)
    assert nearest(shape, point).distance(point) == best
    assert all(best <= shape.at(i / 40).distance(point) + 1e-9 for i in range(41))


@given(points, points, points)
def test_nearest_point_of_a_line(a: Point, b: Point, point: Point) -> None:
    assume(a.distance(b) > 1e-3)
    line = Line(a, b)
    assert all(distance(line, point) <= line.at(i / 20).distance(point) + 1e-9 for i in range(21))


@given(st.floats(0, 360), st.floats(1, 359), turns, st.floats(0, 1))
def test_fraction_finds_the_point_that_at_gives(
    start: float, sweep: float, turn: Turn, fraction: float
) -> None:
    shape = arc(start, start + (sweep if turn == "ccw" else -sweep), turn=turn)
    assert fraction_at(shape, shape.at(fraction)) == pytest.approx(fraction, abs=1e-9)


def test_fraction_beyond_the_ends() -> None:
    quarter = arc(0, 90)
    assert fraction_at(quarter, arc(-9, 0).start) == pytest.approx(-0.1)
    assert fraction_at(quarter, arc(99, 0).start) == pytest.approx(1.1)
    assert fraction_at(Line(Point(0, 0), Point(0, 4)), Point(7, -1)) == -0.25


def test_foot_of_the_centre_itself_is_the_start() -> None:
    assert foot(arc(0, 90), Point(0.0, 0.0)) == arc(0, 90).start


def test_offset_goes_left_of_travel_and_has_an_end() -> None:
    toward_chuck = Line(Point(0, 5), Point(-9, 5))
    assert offset(toward_chuck, 1.0) == Line(Point(0, 4), Point(-9, 4))
    inner, outer = offset(arc(0, 90), 2.0), offset(arc(0, 90), -2.0)
    assert isinstance(inner, Arc)
    assert isinstance(outer, Arc)
    assert (inner.radius, outer.radius) == (3.0, 7.0)
    assert offset(arc(0, 90), 5.0) is None
    assert offset(arc(90, 0, turn="cw"), -5.0) is None


def test_extents_take_in_the_poles_of_an_arc() -> None:
    assert z_extent(arc(45, 135)) == pytest.approx((-5 / math.sqrt(2), 5 / math.sqrt(2)))
    assert r_extent(arc(45, 135)) == pytest.approx((5 / math.sqrt(2), 5.0))
    assert z_extent(arc(135, 225))[0] == -5.0
    assert r_extent(Line(Point(0, 4), Point(-3, 2))) == (2, 4)


def test_turn_is_positive_to_the_left() -> None:
    assert turn_between(Point(0, 1), Point(-1, 0)) == pytest.approx(math.pi / 2)
    assert turn_between(Point(-1, 0), Point(0, 1)) == pytest.approx(-math.pi / 2)
