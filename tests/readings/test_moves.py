from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Move, Reading
from turnsketch.readings.moves import Rounder, read_moves
from turnsketch.rounding import SNAP
from turnsketch.shop.records import Readout
from turnsketch.units import Units

MM = Rounder(0.01, 0.005, "mm")
INCH = Rounder(0.0005, 0.0005, "inch")
POINTS = st.builds(Point, st.floats(-500, 500), st.floats(-10, 200))
ROUNDERS = st.sampled_from([MM, INCH, Rounder(0.02, 0.01, "mm"), Rounder(0.0002, 0.001, "inch")])


def step_mm(rounder: Rounder) -> tuple[float, float]:
    unit = 25.4 if rounder.units == "inch" else 1.0
    return rounder.x_step * unit / 2, rounder.z_step * unit


@given(POINTS, ROUNDERS)
def test_readings_reproduce_the_move_within_half_a_step(point: Point, rounder: Rounder) -> None:
    back = rounder.to_point(rounder.read(point))
    radial, axial = step_mm(rounder)
    assert abs(back.r - point.r) <= radial * 0.50001
    assert abs(back.z - point.z) <= axial * 0.50001


@given(POINTS, ROUNDERS)
def test_exact_readings_are_exact(point: Point, rounder: Rounder) -> None:
    back = rounder.to_point(rounder.exact(point))
    assert back.distance(point) < 1e-7


@given(POINTS, ROUNDERS, st.booleans(), st.booleans())
def test_keeping_metal(point: Point, rounder: Rounder, outside: bool, chuck: bool) -> None:
    back = rounder.to_point(
        rounder.read_keep_metal(point, outside=outside, metal_toward_chuck=chuck)
    )
    radial, axial = step_mm(rounder)
    out = back.r - point.r if outside else point.r - back.r
    front = back.z - point.z if chuck else point.z - back.z
    snap = 25.4 * SNAP
    assert -snap <= out <= radial + snap
    assert -snap <= front <= axial + snap


@given(POINTS, ROUNDERS)
def test_reading_a_reading_changes_nothing(point: Point, rounder: Rounder) -> None:
    shown = rounder.read(point)
    assert rounder.read(rounder.to_point(shown)) == shown
    assert rounder.read_keep_metal(rounder.to_point(shown)) == shown


@pytest.mark.parametrize(("units", "x"), [("mm", 0.01), ("inch", 0.0005)])
def test_the_readout_gives_the_steps(units: Units, x: float) -> None:
    assert Rounder.of(Readout(), units).x_step == x


def test_inch_readings() -> None:
    assert INCH.read(Point(-25.4, 12.7)) == Reading(1.0, -1.0)
    assert INCH.x_text(1.0) == "1.0000"
    assert MM.x_text(25.8) == "25.80"
    assert MM.z_text(-57.8) == "-57.800"


def test_figures_for_diameters() -> None:
    assert MM.rough_x(25.76, 0.1) == 25.8
    assert MM.finish_x(24.9935, 24.987, 25.0) == 24.99
    assert MM.x_steps_inside(24.987, 25.0) == 1
    # The same seat on an inch readout: 0.9837 to 0.9843 in steps of 0.0005 holds 0.9840 alone.
    assert INCH.finish_x(24.9935, 24.987, 25.0) == 0.984
    assert INCH.rough_x(25.7, 0.5) == 1.02


def test_one_reading_per_move() -> None:
    moves = [Move("cut", Point(-57.803, 12.8961)), Move("position", Point(2.0, 14.0))]
    assert read_moves(MM, moves, [("up", "up"), ("nearest", "nearest")]) == (
        Reading(25.8, -57.8),
        Reading(28.0, 2.0),
    )
    assert read_moves(MM, moves)[0] == Reading(25.79, -57.805)
    with pytest.raises(ValueError, match="zip"):
        read_moves(MM, moves, [("up", "up")])
