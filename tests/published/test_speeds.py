"""Spindle speeds and cutting times. The source stands beside each check."""

from __future__ import annotations

import math

import pytest

from turnsketch.cutting.speed import spindle_speed, wanted_rpm
from turnsketch.cutting.time import cut_minutes
from turnsketch.geometry.elements import Line, Point
from turnsketch.shop.records import Dial, Lathe, Readout

FOOT, INCH = 304.8, 25.4


@pytest.mark.parametrize(
    ("surface_m_min", "diameter", "rpm"),
    # Calculated from n = 1000 v / (pi d).
    [
        (100, 50, 636.620),
        (30, 25.4, 375.957),
        (200, 80, 795.775),
        (120, 12, 3183.099),
        (25, 40, 198.944),
    ],
)
def test_metric(surface_m_min: float, diameter: float, rpm: float) -> None:
    assert wanted_rpm(surface_m_min, diameter) == pytest.approx(rpm, abs=1e-3)


@pytest.mark.parametrize(
    ("feet_min", "inches", "rpm"),
    # Calculated from N = 12 V / (pi D).
    [(90, 2, 171.887), (60, 4, 57.296), (200, 0.75, 1018.592), (100, 0.5, 763.944)],
)
def test_inch(feet_min: float, inches: float, rpm: float) -> None:
    assert wanted_rpm(feet_min * FOOT / 1000, inches * INCH) == pytest.approx(rpm, abs=1e-3)


@pytest.mark.parametrize(("feet_min", "inches", "shop_rule"), [(90, 2, 180), (60, 4, 60)])
def test_shop_rule_is_a_little_high(feet_min: float, inches: float, shop_rule: float) -> None:
    # N = 4 V / D, US Army and laboratory handbooks (read): 4.7 % over the formula, 12/pi = 3.82.
    exact = wanted_rpm(feet_min * FOOT / 1000, inches * INCH)
    assert shop_rule == 4 * feet_min / inches
    assert shop_rule / exact == pytest.approx(math.pi / 3)


def test_gear_step_a_little_over() -> None:
    # Common practice, worked: 100 m/min at 32 mm wants 995; take 1000, not 710.
    dial = Dial("mm", 5.0, 100)
    lathe = Lathe(
        "geared", 300.0, 600.0, Readout(), dial, dial, speeds_rpm=(500.0, 710.0, 1000.0, 1400.0)
    )
    speed = spindle_speed(100.0, 32.0, lathe)
    assert round(speed.wanted_rpm) == 995
    assert speed.rpm == 1000.0


def test_turning_time() -> None:
    # Calculated from t = L / (f n).
    line = Line(Point(0.0, 20.0), Point(-100.0, 20.0))
    assert cut_minutes(line, 600.0, 0.25) == pytest.approx(0.666667, abs=1e-6)


@pytest.mark.parametrize(
    ("to_diameter", "limit", "minutes"),
    # Calculated: t = pi (r1^2 - r2^2) / (1000 v f), and below the limit radius (rc - r2) / (f n).
    [(0, 1e9, 0.261799), (0, 2000, 0.276720), (20, 2000, 0.251720)],
)
def test_facing_time_at_constant_surface_speed(
    to_diameter: float, limit: float, minutes: float
) -> None:
    face = Line(Point(0.0, 50.0), Point(0.0, to_diameter / 2))
    got = cut_minutes(face, limit, 0.2, surface_m_min=150.0)
    assert got == pytest.approx(minutes, abs=1e-6)


def test_limit_diameter() -> None:
    # Calculated: 1000 * 150 / (pi * 2000) = 23.8732 mm. Inside it the time is (way) / (f n).
    inside = Line(Point(0.0, 23.8732 / 2), Point(0.0, 0.0))
    got = cut_minutes(inside, 2000.0, 0.2, surface_m_min=150.0)
    assert got == pytest.approx(23.8732 / 2 / (0.2 * 2000))
