from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.readings.tapers import (
    half_angle_from_ratio,
    scale_reading_deg,
    set_over_by_rule,
    set_over_mm,
    taper_means,
    taper_settings,
)
from turnsketch.shop.records import Dial, Lathe, Readout, TopSlide

DIAL = Dial("mm", 2.5, 100)
BARE = Lathe("bare", 300.0, 600.0, Readout(), DIAL, DIAL)
FULL = Lathe(
    "full", 300.0, 600.0, Readout(), DIAL, DIAL, guided_moves="taper and arc",
    top_slide=TopSlide(60.0, DIAL), set_over_mm=12.0, taper_attachment_deg=10.0,
    taper_attachment_length_mm=250.0,
)  # fmt: skip
TENTH = half_angle_from_ratio(0.1)


def reasons(lathe: Lathe, half: float, length: float, between: float | None = None) -> str:
    found = taper_means(half, length, lathe, between_centres_mm=between)
    return "; ".join(f"{r.means}: {r.reason}" for r in found.refused)


def test_every_means_with_its_setting() -> None:
    found = {s.means: s for s in taper_settings(TENTH, 50.0, FULL, between_centres_mm=200.0)}
    assert list(found) == ["guided", "taper attachment", "top slide", "set-over"]
    assert found["top slide"].scale_deg == pytest.approx(2.862405, abs=1e-6)
    assert found["top slide"].travel == pytest.approx(50 / math.cos(TENTH))
    assert found["top slide"].rise_per_50 == pytest.approx(2.4969, abs=1e-4)
    assert found["taper attachment"].rise_per_50 == pytest.approx(2.5)
    assert found["set-over"].set_over == pytest.approx(9.9875, abs=1e-4)
    assert found["guided"].scale_deg is None
    assert not taper_means(TENTH, 50.0, FULL, between_centres_mm=200.0).refused


def test_a_falling_taper_sets_the_tailstock_the_other_way() -> None:
    found = taper_settings(TENTH, 50.0, FULL, between_centres_mm=200.0, rises_toward_chuck=False)
    assert found[-1].set_over == pytest.approx(-9.9875, abs=1e-4)


def test_a_bare_lathe_says_why_not() -> None:
    assert not taper_settings(TENTH, 50.0, BARE)
    text = reasons(BARE, TENTH, 50.0)
    for part in ("no guided moves", "no taper attachment", "no top slide", "cannot be set over"):
        assert part in text


@pytest.mark.parametrize(
    ("half_deg", "length", "between", "expected"),
    [
        (2.862, 60.0, 200.0, "60.07 mm of slide travel and the slide has 60"),
        (15.0, 50.0, 40.0, "half angle 15.00 degrees is over the attachment's 10"),
        (2.862, 251.0, 300.0, "251.00 mm long and the attachment guides 250"),
        (2.862, 50.0, None, "not held so"),
        (2.862, 50.0, 250.0, "need a set-over of 12.48 mm and the tailstock has 12"),
        (0.5, 50.0, 601.0, "longer than the 600 mm between centres"),
    ],
)
def test_limits_of_each_means(
    half_deg: float, length: float, between: float | None, expected: str
) -> None:
    assert expected in reasons(FULL, math.radians(half_deg), length, between)


def test_scale_with_its_zero_across() -> None:
    across = TopSlide(60.0, DIAL, scale_zero="across", greatest_angle_deg=60.0)
    lathe = msgspec.structs.replace(FULL, top_slide=across)
    by_slide = [s for s in taper_settings(math.radians(30), 20.0, lathe) if s.means == "top slide"]
    assert by_slide[0].scale_deg == pytest.approx(60.0)
    assert "would have to show 87.14" in reasons(lathe, TENTH, 20.0)


@given(st.floats(0.1, 80))
def test_the_two_scales_add_up_to_a_right_angle(degrees: float) -> None:
    half = math.radians(degrees)
    total = scale_reading_deg(half, "along") + scale_reading_deg(half, "across")
    assert total == pytest.approx(90.0)


@given(st.floats(0.001, 0.5), st.floats(50, 500))
def test_the_shop_rule_for_the_set_over_is_a_little_high(ratio: float, between: float) -> None:
    half = half_angle_from_ratio(ratio)
    exact, rule = set_over_mm(between, half), set_over_by_rule(between, ratio)
    assert exact < rule
    assert exact / math.cos(half) == pytest.approx(rule)


@pytest.mark.parametrize("half", [0.0, -0.1, math.pi / 2])
def test_a_taper_has_an_angle(half: float) -> None:
    with pytest.raises(ValueError, match="half angle"):
        taper_means(half, 10.0, FULL)
