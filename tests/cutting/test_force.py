from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.cutting.force import cut_load, greatest_depth_mm
from turnsketch.shop.records import Dial, Lathe, Material, Readout

STEEL = Material("steel", "steel", (), 1780.0, 0.17, 210.0, 7850.0)
DIAL = Dial("mm", 5.0, 100)
LATHE = Lathe("bench", 300.0, 600.0, Readout(), DIAL, DIAL, power_kw=1.5, efficiency=0.75)


@given(st.floats(0.05, 0.6), st.floats(0.5, 2.2), st.floats(20, 250))
def test_the_greatest_depth_takes_what_the_lathe_gives(
    feed: float, angle: float, speed: float
) -> None:
    depth = greatest_depth_mm(STEEL, LATHE, feed, angle, speed)
    assert cut_load(STEEL, depth, feed, angle, speed).power_kw == pytest.approx(1.125)


@given(st.floats(0.1, 5), st.floats(0.05, 0.6), st.floats(0.5, 2.2))
def test_force_grows_with_depth_and_less_than_with_feed(
    depth: float, feed: float, angle: float
) -> None:
    one = cut_load(STEEL, depth, feed, angle, 100.0)
    assert cut_load(STEEL, 2 * depth, feed, angle, 100.0).force_n == pytest.approx(2 * one.force_n)
    assert one.force_n < cut_load(STEEL, depth, 2 * feed, angle, 100.0).force_n < 2 * one.force_n
    assert one.chip_thickness_mm * one.chip_width_mm == pytest.approx(depth * feed)
    assert one.chip_thickness_mm == pytest.approx(feed * math.sin(angle))
