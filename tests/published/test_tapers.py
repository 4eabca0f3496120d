"""Settings of tapers. The source stands beside each check."""

from __future__ import annotations

import math

import pytest

from turnsketch.readings.tapers import (
    half_angle_from_per_foot,
    half_angle_from_ratio,
    rise_over,
    scale_reading_deg,
    set_over_by_rule,
    set_over_mm,
)


@pytest.mark.parametrize(
    ("ratio", "half_deg"),
    # Calculated from C = 2 tan(half angle); that the ratios belong to ISO 1119 is from memory.
    [
        (1 / 3, 9.462322),
        (1 / 5, 5.710593),
        (1 / 10, 2.862405),
        (1 / 12, 2.385944),
        (1 / 20, 1.432096),
        (1 / 30, 0.954841),
        (1 / 50, 0.572939),
        (7 / 24, 8.297145),
        (2.0, 45.0),
        (1 / 0.866025, 30.0),
    ],
)
def test_slide_setting(ratio: float, half_deg: float) -> None:
    assert math.degrees(half_angle_from_ratio(ratio)) == pytest.approx(half_deg, abs=2e-5)


def test_ratio_as_a_drawing_rule() -> None:
    # ISO 3040, example (read): a taper 1:40 has a half angle of 0.716 degrees.
    assert math.degrees(half_angle_from_ratio(1 / 40)) == pytest.approx(0.716, abs=5e-4)


@pytest.mark.parametrize(
    ("per_foot", "half_deg"),
    # Morse tapers 0 to 6: taper per foot read on two independent pages; angles calculated.
    [
        (0.6246, 1.4908),
        (0.59858, 1.4287),
        (0.59941, 1.4307),
        (0.60235, 1.4377),
        (0.62326, 1.4876),
        (0.63151, 1.5073),
        (0.62565, 1.4933),
    ],
)
def test_taper_per_foot(per_foot: float, half_deg: float) -> None:
    got = math.degrees(half_angle_from_per_foot(per_foot))
    assert got == pytest.approx(half_deg, abs=1e-4)


def test_set_over_of_a_whole_length_taper() -> None:
    # Navy engineman manual 14345 (read): 12 in long, 3 in to 2 in: 1/2 in.
    assert set_over_by_rule(12, (3 - 2) / 12) == pytest.approx(0.5)
    assert set_over_mm(12, half_angle_from_ratio(1 / 12)) == pytest.approx(0.5, abs=5e-4)


def test_set_over_by_taper_per_foot() -> None:
    # The same manual (read): 6 in long at 1 in a foot: 1/4 in.
    assert set_over_by_rule(6, 1 / 12) == pytest.approx(0.25)
    assert set_over_mm(6, half_angle_from_per_foot(1)) == pytest.approx(0.25, abs=3e-4)


def test_set_over_uses_the_length_between_centres() -> None:
    # Rose, Modern Machine-Shop Practice, 19th century (read): 36 in long at 1 in a foot needs
    # 1 1/2 in, whatever the taper's own length.
    assert set_over_by_rule(36, 1 / 12) == pytest.approx(1.5)
    assert set_over_mm(36, half_angle_from_per_foot(1)) == pytest.approx(1.5, abs=2e-3)


def test_cone_40_to_32() -> None:
    # Calculated: 1:10, half 2.862405; on 250 mm between centres 12.5, exactly 12.4844.
    half = half_angle_from_ratio((40 - 32) / 80)
    assert math.degrees(half) == pytest.approx(2.862405, abs=1e-6)
    assert set_over_by_rule(250, 0.1) == pytest.approx(12.5)
    assert set_over_mm(250, half) == pytest.approx(12.4844, abs=5e-5)


def test_lathe_centre() -> None:
    # US Army subcourse OD1645 (read): a 60 degree centre, slide at 30.
    assert scale_reading_deg(math.radians(60) / 2, "along") == pytest.approx(30.0)


def test_scale_with_zero_crosswise() -> None:
    # Jones, Turning and Boring, 1914 (read): included 90 is set at 45; 30 degrees to the axis
    # reads 60 on a slide whose zero is crosswise.
    assert scale_reading_deg(math.radians(90) / 2, "across") == pytest.approx(45.0)
    assert scale_reading_deg(math.radians(30), "across") == pytest.approx(60.0)


def test_indicator_on_the_slide() -> None:
    # Worked: 50 mm of slide travel at 1:10 moves the indicator 2.497 mm.
    assert rise_over(half_angle_from_ratio(0.1), "top slide") == pytest.approx(2.497, abs=5e-4)
    # Calculated: 50 mm of carriage travel gives 50 * C / 2.
    assert rise_over(half_angle_from_ratio(0.1), "guided") == pytest.approx(2.5)


def test_fine_feed_by_the_top_slide() -> None:
    # Worked: at 5 deg 44' a slide travel of 0.10 is 0.01 on radius, 0.02 on diameter.
    assert 2 * rise_over(math.radians(5 + 44 / 60), "top slide", 0.1) == pytest.approx(
        0.02, abs=5e-5
    )
