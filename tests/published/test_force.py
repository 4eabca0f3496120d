"""Cutting force, power and removal rate. The source stands beside each check."""

from __future__ import annotations

import math

import pytest

from turnsketch.cutting.force import cut_load, removal_rate_cm3_min, specific_force
from turnsketch.cutting.speed import surface_speed_m_min
from turnsketch.shop.records import Material

INCH_CM = 2.54


@pytest.mark.parametrize(
    ("kc11", "mc", "at_01", "at_063"),
    # Constants and both kc columns: German Wikipedia, "Spezifische Schnittkraft" (read); the
    # columns are the article's own, given to three figures.
    [
        (780, 0.18, 1180, 850),
        (1780, 0.17, 2630, 1930),
        (2110, 0.17, 3120, 2280),
        (2100, 0.26, 3820, 2370),
        (2500, 0.26, 4550, 2820),
    ],
)
def test_kienzle_formula(kc11: float, mc: float, at_01: float, at_063: float) -> None:
    assert specific_force(kc11, mc, 0.1) == pytest.approx(at_01, rel=4e-3)
    assert specific_force(kc11, mc, 0.63) == pytest.approx(at_063, rel=4e-3)


@pytest.mark.parametrize(
    ("kc11", "mc", "depth", "feed", "kappa", "speed", "h", "b", "kc", "force", "power"),
    # Calculated from those constants with h = f sin k, b = a / sin k, Fc = kc b h, Pc = Fc v.
    [
        (2110, 0.17, 3, 0.3, 75, 120, 0.28978, 3.10583, 2604.54, 2344.09, 4.68818),
        (1780, 0.17, 2, 0.2, 90, 150, 0.2, 2.0, 2340.16, 936.06, 2.34016),
        (2500, 0.26, 2.5, 0.25, 95, 140, 0.24905, 2.50955, 3588.44, 2242.78, 5.23315),
        (780, 0.18, 1, 0.1, 90, 200, 0.1, 1.0, 1180.58, 118.06, 0.39353),
        (2100, 0.26, 4, 0.4, 45, 100, 0.28284, 5.65685, 2916.20, 4665.92, 7.77654),
    ],
)
def test_worked_loads(
    kc11: float, mc: float, depth: float, feed: float, kappa: float, speed: float,
    h: float, b: float, kc: float, force: float, power: float,
) -> None:  # fmt: skip
    work = Material("work", "steel", (), kc11, mc, 210.0, 7850.0)
    load = cut_load(work, depth, feed, math.radians(kappa), speed)
    assert load.chip_thickness_mm == pytest.approx(h, abs=1e-5)
    assert load.chip_width_mm == pytest.approx(b, abs=1e-5)
    assert load.specific_n_mm2 == pytest.approx(kc, abs=6e-3)
    assert load.force_n == pytest.approx(force, abs=6e-3)
    assert load.power_kw == pytest.approx(power, abs=6e-6)


def test_removal_rate() -> None:
    # Calculated from Q = a f v: 3 mm, 0.3 mm, 120 m/min: 108 cm3 a minute.
    assert removal_rate_cm3_min(3.0, 0.3, 120.0) == pytest.approx(108.0)


@pytest.mark.parametrize(
    ("feet_min", "depth_in", "feed_in", "cubic_inches"),
    # Navy manual 14076 (inputs read, results calculated from 12 V d f): trading speed for feed.
    [(80, 0.25, 0.020, 4.8), (60, 0.25, 0.040, 7.2)],
)
def test_removal_rate_in_inches(
    feet_min: float, depth_in: float, feed_in: float, cubic_inches: float
) -> None:
    got = removal_rate_cm3_min(depth_in * 25.4, feed_in * 25.4, feet_min * 0.3048)
    assert got / INCH_CM**3 == pytest.approx(cubic_inches)


def test_surface_speed_of_a_titanium_bar() -> None:
    # Homework page after a textbook problem (answers read): 75 mm at 400 rpm is 94.25 m/min;
    # a stainless bar of 12.5 mm (question read, calculated) 15.71 m/min.
    assert surface_speed_m_min(400.0, 75.0) == pytest.approx(94.248, abs=1e-3)
    assert surface_speed_m_min(400.0, 12.5) == pytest.approx(15.708, abs=1e-3)
