"""Chamfers and rounds on one corner: line with line, line with arc, arc with arc."""

from __future__ import annotations

import math
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.geometry.intersect import turn_between
from turnsketch.part.corners import cut_corner, greatest_size
from turnsketch.part.outline_records import CornerSpec

FACE = Line(Point(0, 0), Point(0, 10))
CYLINDER = Line(Point(0, 10), Point(-30, 10))
SHOULDER = Line(Point(-30, 10), Point(-30, 20))
BALL = Arc(Point(0, 0), Point(-24, 12), Point(-15, 0), "ccw")
NECK = Line(Point(-24, 12), Point(-60, 12))
WAIST = Arc(Point(-24, 12), Point(-48, 12), Point(-36, 21), "ccw")


def spec(kind: Literal["round", "chamfer"], size: float, degrees: float = 45.0) -> CornerSpec:
    return CornerSpec(0, 1, kind, size, math.radians(degrees), kind)


def joins_smoothly(before: Element, shape: Element, after: Element) -> bool:
    kinks = (
        turn_between(before.end_direction, shape.start_direction),
        turn_between(shape.end_direction, after.start_direction),
    )
    return max(map(abs, kinks)) < 1e-9


def test_convex_round_between_face_and_cylinder() -> None:
    cut = cut_corner(FACE, CYLINDER, spec("round", 3.0))
    assert cut is not None
    assert cut.shape == Arc(Point(0, 7), Point(-3, 10), Point(-3, 7), "ccw")
    assert (cut.from_before, cut.from_after) == pytest.approx((3.0, 3.0), abs=1e-12)


def test_reflex_round_between_cylinder_and_shoulder() -> None:
    cut = cut_corner(CYLINDER, SHOULDER, spec("round", 3.0))
    assert cut is not None
    assert cut.shape == Arc(Point(-27, 10), Point(-30, 13), Point(-27, 13), "cw")


@given(st.integers(-80, 80).filter(lambda n: abs(n) > 2), st.floats(0.1, 3.0))
def test_round_takes_the_tangent_of_half_the_turn(degrees: int, radius: float) -> None:
    angle = math.radians(degrees)
    taper = Line(Point(-30, 100), Point(-30 - 60 * math.cos(angle), 100 - 60 * math.sin(angle)))
    cylinder = Line(Point(0, 100), Point(-30, 100))
    cut = cut_corner(cylinder, taper, spec("round", radius))
    assert cut is not None
    expected = radius * math.tan(abs(angle) / 2)
    assert cut.from_before == pytest.approx(expected, abs=1e-9)
    assert cut.from_after == pytest.approx(expected, abs=1e-9)
    assert isinstance(cut.shape, Arc)
    assert cut.shape.turn == ("ccw" if degrees > 0 else "cw")


def trimmed(before: Element, shape: Element, after: Element) -> tuple[Element, Element]:
    first = (
        Line(before.start, shape.start)
        if isinstance(before, Line)
        else Arc(before.start, shape.start, before.centre, before.turn)
    )
    last = (
        Line(shape.end, after.end)
        if isinstance(after, Line)
        else Arc(shape.end, after.end, after.centre, after.turn)
    )
    return first, last


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (FACE, CYLINDER),
        (CYLINDER, SHOULDER),
        (BALL, NECK),
        (NECK.reverse(), BALL.reverse()),
        (BALL, WAIST),
        (WAIST.reverse(), BALL.reverse()),
        (BALL, Arc(Point(-24, 12), Point(-48, 12), Point(-36, 21), "cw")),
        (Arc(Point(0, 12), Point(-24, 12), Point(-12, 21), "cw"), NECK),
        (NECK, Arc(Point(-60, 12), Point(-80, 12), Point(-70, 30), "cw")),
    ],
)
@pytest.mark.parametrize("radius", [0.1, 0.5, 2.0])
def test_rounds_touch_both_neighbours(before: Element, after: Element, radius: float) -> None:
    cut = cut_corner(before, after, spec("round", radius))
    assert cut is not None
    shape = cut.shape
    assert isinstance(shape, Arc)
    assert shape.radius == pytest.approx(radius, abs=1e-9)
    assert shape.end.distance(shape.centre) == pytest.approx(radius, abs=1e-9)
    first, last = trimmed(before, shape, after)
    assert joins_smoothly(first, shape, last)
    assert first.length == pytest.approx(before.length - cut.from_before, abs=1e-9)
    assert last.length == pytest.approx(after.length - cut.from_after, abs=1e-9)


def test_chamfer_leg_is_axial_and_angle_is_to_the_axis() -> None:
    cut = cut_corner(FACE, CYLINDER, spec("chamfer", 2.0, 30.0))
    assert cut is not None
    rise = 2.0 * math.tan(math.radians(30))
    assert cut.shape.start.distance(Point(0.0, 10.0 - rise)) < 1e-12
    assert cut.shape.end.distance(Point(-2.0, 10.0)) < 1e-12


def test_chamfer_in_an_inside_corner() -> None:
    cut = cut_corner(CYLINDER, SHOULDER, spec("chamfer", 2.0, 60.0))
    assert cut is not None
    assert cut.shape.start.distance(Point(-28.0, 10.0)) < 1e-12
    assert cut.shape.end.distance(Point(-30.0, 10.0 + 2.0 * math.tan(math.radians(60)))) < 1e-12


def test_chamfer_beside_an_arc_keeps_leg_and_angle() -> None:
    cut = cut_corner(NECK.reverse(), BALL.reverse(), spec("chamfer", 1.0, 15.0))
    assert cut is not None
    way = cut.shape.end.minus(cut.shape.start)
    assert abs(way.z) == pytest.approx(1.0, abs=1e-12)
    assert abs(way.r) == pytest.approx(math.tan(math.radians(15)), abs=1e-12)
    assert cut.shape.end.distance(Point(-15, 0)) == pytest.approx(15.0, abs=1e-12)


def test_chamfer_whose_slope_is_not_between_its_neighbours_is_none() -> None:
    taper = Line(Point(-30, 10), Point(-60, 25))
    assert cut_corner(CYLINDER, taper, spec("chamfer", 1.0, 45.0)) is None
    assert cut_corner(CYLINDER, taper, spec("chamfer", 1.0, 10.0)) is not None


def test_no_corner_no_cut() -> None:
    assert cut_corner(CYLINDER, Line(Point(-30, 10), Point(-40, 10)), spec("round", 1.0)) is None
    assert cut_corner(CYLINDER, CYLINDER.reverse(), spec("round", 1.0)) is None
    assert cut_corner(FACE, CYLINDER, spec("round", 0.0)) is None


def test_what_takes_more_than_a_whole_neighbour_is_none() -> None:
    assert cut_corner(FACE, CYLINDER, spec("round", 10.01)) is None
    assert cut_corner(FACE, CYLINDER, spec("round", 10.0)) is not None
    assert cut_corner(FACE, CYLINDER, spec("chamfer", 10.01)) is None


def test_greatest_size_fills_the_room() -> None:
    size, cut = greatest_size(FACE, CYLINDER, spec("round", 50.0), 4.0, 30.0)
    assert size == pytest.approx(4.0, abs=1e-8)
    assert cut is not None
    assert cut.from_before == pytest.approx(4.0, abs=1e-8)
    nothing, no_cut = greatest_size(CYLINDER, CYLINDER.reverse(), spec("round", 5.0), 9, 9)
    assert (nothing, no_cut) == (0.0, None)
