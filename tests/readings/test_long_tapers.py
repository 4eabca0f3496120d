"""Cheaper ways of a long taper than a step table."""

from __future__ import annotations

import math

import msgspec
import pytest

from turnsketch.readings.long_tapers import long_taper
from turnsketch.shop.files import demo_shop

LATHE = demo_shop().lathes[0]
ALPHA = math.atan(1 / 40)
"""A taper 1:20."""


def test_between_centres_within_the_tailstocks_travel() -> None:
    ways = long_taper(ALPHA, 180.0, 240.0, LATHE)
    assert ways.set_over_mm == pytest.approx(240 / math.hypot(1, 40))  # CALC: L sin(alpha)
    assert ways.set_over_mm is not None
    assert ways.set_over_mm < LATHE.set_over_mm


def test_too_long_for_the_tailstock() -> None:
    assert long_taper(ALPHA, 180.0, 420.0, LATHE).set_over_mm is None, "10.5 mm of 10"
    none = msgspec.structs.replace(LATHE, set_over_mm=0.0)
    assert long_taper(ALPHA, 180.0, 240.0, none).set_over_mm is None


def test_stretches_of_the_top_slide() -> None:
    """CALC: 180 / cos(alpha) = 180.06, and the slide goes 90."""
    ways = long_taper(ALPHA, 180.0, 240.0, LATHE)
    assert ways.stretches == 3
    assert ways.scale_deg == pytest.approx(math.degrees(ALPHA))
    none = msgspec.structs.replace(LATHE, top_slide=None)
    assert long_taper(ALPHA, 180.0, 240.0, none).stretches is None
