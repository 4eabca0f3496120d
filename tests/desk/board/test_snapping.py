"""The pointer snaps to levels, to round sizes and to the angles of prints."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.desk.board.lens import Lens
from turnsketch.desk.board.snapping import PRINT_ANGLES_DEG, angle_snapped, round_step, snapped
from turnsketch.geometry.elements import Point
from turnsketch.units import INCH_MM


def test_levels_draw_the_pointer_and_round_sizes_hold_it_elsewhere() -> None:
    near = snapped(Point(-21.7, 8.03), [0.0, -22.0], [6.0, 12.5], reach=0.5, step=1.0)
    assert near.at == Point(-22.0, 8.0)
    assert (near.z_level, near.r_level) == (True, False)
    assert snapped(Point(-5.2, 12.4), [], [12.5], 0.5, 1.0).at == Point(-5.0, 12.5)


@given(st.floats(-200, 0), st.floats(0, 80), st.sampled_from([0.1, 0.5, 1.0, 0.254]))
def test_free_places_go_by_the_step_on_length_and_diameter(z: float, r: float, step: float) -> None:
    at = snapped(Point(z, r), [], [], 0.3, step).at
    for value in (at.z, 2 * at.r):
        assert math.isclose(value / step, round(value / step), abs_tol=1e-6)
    assert abs(at.z - z) <= step / 2 + 1e-9
    assert abs(at.r - r) <= step / 4 + 1e-9


@pytest.mark.parametrize("angle", PRINT_ANGLES_DEG)
@pytest.mark.parametrize("way", [1, -1])
def test_print_angles(angle: int, way: int) -> None:
    rise = 10.0 * math.tan(math.radians(angle + 0.8)) * way
    found = angle_snapped(Point(-5.0, 30.0), Point(-15.0, 30.0 + rise), reach=1.0)
    assert found is not None
    assert found[1] == angle
    assert found[0].r == pytest.approx(30.0 + way * 10.0 * math.tan(math.radians(angle)))


def test_between_the_angles_and_in_front_nothing_snaps() -> None:
    start = Point(-5.0, 10.0)
    assert angle_snapped(start, Point(-15.0, 10.0 + 10 * math.tan(math.radians(22))), 1.0) is None
    assert angle_snapped(start, Point(-4.0, 11.0), 1.0) is None
    far = Point(-105.0, 10.0 + 100 * math.tan(math.radians(33)))
    assert angle_snapped(start, far, 1.0) is None


def test_steps_are_round_in_the_units_of_the_job() -> None:
    assert round_step(0.12, "mm") == 0.5
    assert round_step(0.12, "inch") == pytest.approx(0.02 * INCH_MM)


@given(st.floats(0.3, 300), st.floats(-900, 900), st.floats(-900, 900), st.booleans())
def test_the_lens_goes_there_and_back(scale: float, x: float, y: float, turned: bool) -> None:
    lens = Lens(scale, 431.0, 287.0, turned)
    at = lens.point(x, y)
    assert lens.x(at.z) == pytest.approx(x, abs=1e-6)
    assert lens.y(at.r) == pytest.approx(y, abs=1e-6)
