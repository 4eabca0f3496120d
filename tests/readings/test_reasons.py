from __future__ import annotations

import math

import pytest

from turnsketch.cutting.speed import spindle_speed
from turnsketch.plan_records import TaperSetting
from turnsketch.readings.reasons import (
    nose_shift_reason,
    roughness_reason,
    rounding_reason,
    speed_reason,
    taper_reason,
    time_reason,
)
from turnsketch.shop.records import Dial, Lathe, Readout

DIAL = Dial("mm", 5.0, 100, "diameter")
LATHE = Lathe("bench", 300.0, 600.0, Readout(), DIAL, DIAL, speeds_rpm=(710.0, 1000.0, 1400.0))


def test_speed() -> None:
    speed = spindle_speed(100.0, 32.0, LATHE)
    text = speed_reason(speed, 100.0, 32.0, geared=True).text
    assert "n = 1000 v / (pi d)" in text
    assert "n = 995 rpm" in text
    assert "taken = 1000 rpm" in text
    assert "limited by = surface speed" in text


@pytest.mark.parametrize(
    ("angle", "axial", "diameter"),
    # TRADE 6, calculated (r 0.4): 15, 30, 45, 60 degrees, axial shift and shift on diameter.
    [
        (15, "0.347", "0.186"),
        (30, "0.293", "0.338"),
        (45, "0.234", "0.469"),
        (60, "0.169", "0.586"),
    ],
)
def test_nose_shift_on_a_rising_surface(angle: float, axial: str, diameter: str) -> None:
    values = dict(nose_shift_reason(math.radians(angle), 0.4).values)
    assert values["axial"] == f"{axial} mm"
    assert values["on diameter"] == f"{diameter} mm"


@pytest.mark.parametrize(("angle", "gouge"), [(15, "0.117"), (30, "0.254"), (45, "0.400")])
def test_nose_shift_on_a_falling_surface(angle: float, gouge: str) -> None:
    reason = nose_shift_reason(math.radians(angle), 0.4, rising=False)
    assert dict(reason.values)["gouge"] == f"{gouge} mm"


def test_tapers_rounding_time_roughness() -> None:
    slide = TaperSetting("top slide", 0.0499583957, 50.06, scale_deg=2.862405, rise_per_50=2.4969)
    assert "scale = 2.86 deg" in taper_reason(slide).text
    over = TaperSetting("set-over", 0.0499583957, 50.06, set_over=12.4844, rise_per_50=2.5)
    assert "L = 250 mm between centres" in taper_reason(over, 250.0).text
    assert "S = 12.484 mm" in taper_reason(over, 250.0).text
    guided = TaperSetting("guided", 0.0499583957, 50.06, rise_per_50=2.5)
    assert "rise on 50 mm = 2.500 mm" in taper_reason(guided).text
    text = rounding_reason(25.7931, 25.8, 0.01, "up").text
    assert "leaves metal" in text
    assert "shown = 25.80" in text
    assert (
        "inside the limits" in rounding_reason(24.9935, 24.99, 0.01, "nearest", finishing=True).text
    )
    assert "t = 0.67 min" in time_reason(100.0, 0.25, 600.0, 0.6667).text
    assert "Ra = 0.80 µm" in roughness_reason(0.1, 0.4, 0.802).text
