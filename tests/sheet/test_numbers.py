from __future__ import annotations

import math

import pytest

from turnsketch.sheet.numbers import Numbers, decimals_of
from turnsketch.shop.records import Readout

MM = Numbers.of("mm", Readout())
INCH = Numbers.of("inch", Readout())


@pytest.mark.parametrize(
    ("step", "decimals"), [(0.01, 2), (0.005, 3), (0.001, 3), (0.0005, 4), (0.0002, 4), (1.0, 0)]
)
def test_decimals_of_a_step(step: float, decimals: int) -> None:
    assert decimals_of(step) == decimals


def test_readings_have_the_decimals_of_the_display() -> None:
    assert MM.x(25.8) == "25.80"
    assert MM.z(-57.8) == "−57.800"
    assert INCH.x(1.25) == "1.2500"
    assert INCH.z(-2.0) == "−2.0000"


def test_no_negative_zero() -> None:
    assert MM.z(-0.0) == "0.000"
    assert MM.x(-0.0004) == "0.00"
    assert MM.z_place(-0.0) == "Z 0"


def test_places_in_air_are_short_and_signed() -> None:
    assert MM.z_place(2.0) == "Z+2"
    assert MM.z_place(-55.0) == "Z−55"
    assert MM.z_place(-22.125) == "Z−22.125"
    assert MM.x_place(28.0) == "X 28"
    assert INCH.x_place(1.25) == "X 1.25"
    assert INCH.z_place(0.1) == "Z+0.1"


def test_depth_shows_the_third_decimal_when_it_counts() -> None:
    assert MM.depth(1.25) == "1.25"
    assert MM.depth(0.205) == "0.205"
    assert INCH.depth(1.27) == "0.050"
    assert INCH.depth(0.127) == "0.0050"


def test_angles_are_degrees() -> None:
    assert MM.angle(math.radians(15)) == "15°"
    assert MM.angle(math.atan(0.05)) == "2.862°"
