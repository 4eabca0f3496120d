"""Theoretical roughness of a round nose.

Values: calculated; Rt = r - sqrt(r^2 - f^2/4) and f^2/(8 r), Ra by integration of the scallops.
They are integrated once more here, numerically, with a library that the program does not use.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from turnsketch.cutting.roughness import feed_for_ra, ra_exact_um, ra_um, rt_parabola_um, rt_um

# feed, nose, Rt f2/8r, Rt exact, Ra f2/31.177r, Ra exact (micrometres)
ROWS = [
    (0.05, 0.4, 0.7812, 0.7820, 0.2005, 0.2006),
    (0.1, 0.2, 6.2500, 6.3508, 1.6038, 1.6243),
    (0.1, 0.4, 3.1250, 3.1373, 0.8019, 0.8044),
    (0.1, 0.8, 1.5625, 1.5640, 0.4009, 0.4013),
    (0.15, 0.4, 7.0312, 7.0942, 1.8042, 1.8171),
    (0.2, 0.4, 12.5000, 12.7017, 3.2075, 3.2486),
    (0.2, 0.8, 6.2500, 6.2746, 1.6038, 1.6088),
    (0.25, 0.8, 9.7656, 9.8260, 2.5059, 2.5182),
    (0.3, 0.4, 28.1250, 29.1901, 7.2169, 7.4320),
    (0.3, 0.8, 14.0625, 14.1883, 3.6084, 3.6342),
    (0.3, 1.2, 9.3750, 9.4119, 2.4056, 2.4132),
    (0.4, 1.2, 16.6667, 16.7840, 4.2767, 4.3007),
]


@pytest.mark.parametrize(("feed", "nose", "rt_short", "rt", "ra_short", "ra"), ROWS)
def test_table(
    feed: float, nose: float, rt_short: float, rt: float, ra_short: float, ra: float
) -> None:
    assert rt_parabola_um(feed, nose) == pytest.approx(rt_short, abs=6e-5)
    assert rt_um(feed, nose) == pytest.approx(rt, abs=6e-5)
    assert ra_um(feed, nose) == pytest.approx(ra_short, abs=6e-5)
    assert ra_exact_um(feed, nose) == pytest.approx(ra, abs=6e-5)


@pytest.mark.parametrize(("feed", "nose"), [(row[0], row[1]) for row in ROWS])
def test_ra_by_numeric_integration(feed: float, nose: float) -> None:
    half = feed / 2

    def height(x: float) -> float:
        return 1000 * (nose - math.sqrt(nose * nose - x * x))

    mean = quad(height, 0, half)[0] / half
    crossing = math.sqrt(nose**2 - (nose - mean / 1000) ** 2)
    deviation = quad(lambda x: abs(height(x) - mean), 0, half, points=[crossing])[0] / half
    assert ra_exact_um(feed, nose) == pytest.approx(deviation, rel=1e-6)


def test_ra_of_a_parabola_by_numeric_integration() -> None:
    # Ra = f^2 / (18 sqrt(3) r) = f^2 / (31.177 r); "f^2 / (32 r)" is that rounded, 2.6 % low.
    feed, nose = 0.2, 0.8
    mean = feed**2 / (24 * nose) * 1000
    crossing = feed / (2 * math.sqrt(3))
    deviation = quad(
        lambda x: abs(1000 * x * x / (2 * nose) - mean), 0, feed / 2, points=[crossing]
    )[0]
    assert ra_um(feed, nose) == pytest.approx(deviation / (feed / 2), rel=1e-9)
    assert 18 * math.sqrt(3) == pytest.approx(31.177, abs=1e-3)
    assert ra_um(feed, nose) / (1000 * feed**2 / (32 * nose)) == pytest.approx(1.026, abs=1e-3)


def test_the_short_form_fails_for_coarse_feed_on_a_small_nose() -> None:
    # Calculated: f 0.3, r 0.4: 28.1 against 29.2.
    assert rt_um(0.3, 0.4) - rt_parabola_um(0.3, 0.4) > 1.0


def test_feed_for_a_printed_roughness() -> None:
    # Calculated: Ra 1.6 with r 0.8 allows sqrt(31.177 * 0.8 * 0.0016) = 0.19976 mm.
    assert feed_for_ra(1.6, 0.8) == pytest.approx(0.19976, abs=1e-5)
