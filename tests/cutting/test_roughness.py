from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.cutting.roughness import (
    feed_for_ra,
    ra_exact_um,
    ra_um,
    real_ra_um,
    round_nose_holds,
    rt_parabola_um,
    rt_um,
)

NOSES = st.floats(0.1, 5.0)


@given(NOSES, st.floats(0.1, 12.5))
def test_the_feed_for_a_roughness_gives_it(nose: float, ra: float) -> None:
    assert ra_um(feed_for_ra(ra, nose), nose) == pytest.approx(ra)


@given(NOSES, st.floats(0.01, 0.4))
def test_short_forms_are_low_and_close_for_fine_feeds(nose: float, share: float) -> None:
    feed = share * nose
    assert rt_parabola_um(feed, nose) <= rt_um(feed, nose) <= 1.02 * rt_parabola_um(feed, nose)
    assert ra_um(feed, nose) <= ra_exact_um(feed, nose) * (1 + 1e-9)
    assert ra_exact_um(feed, nose) <= 1.02 * ra_um(feed, nose)


def test_pointed_tool() -> None:
    assert rt_um(0.1, 0.0, math.radians(45), math.radians(45)) == pytest.approx(50.0)
    assert ra_um(0.1, 0.0, math.radians(45), math.radians(45)) == pytest.approx(12.5)
    # Past square the leading edge leans back and the corner's own wall stands.
    assert rt_um(0.1, 0.0, math.radians(95), math.radians(5)) == pytest.approx(
        100 * math.tan(math.radians(5))
    )


def test_what_cannot_be_said_is_refused() -> None:
    with pytest.raises(ValueError, match="edge angles"):
        rt_um(0.1, 0.0)
    with pytest.raises(ValueError, match="wider than the nose"):
        rt_um(0.9, 0.4)
    with pytest.raises(ValueError, match="wider than the nose"):
        ra_exact_um(0.9, 0.4)


def test_where_the_round_nose_formula_holds() -> None:
    assert round_nose_holds(0.06, 0.4, math.radians(95), math.radians(5))
    assert not round_nose_holds(0.08, 0.4, math.radians(95), math.radians(5))


def test_real_surfaces_are_rougher() -> None:
    assert real_ra_um(0.8) == pytest.approx((0.96, 1.6))
