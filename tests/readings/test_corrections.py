from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.readings.corrections import (
    corrected_aim,
    present_reading,
    raw_face_zero,
    shift,
    tailstock_error,
    warm_growth_mm,
)

SIZES = st.floats(5, 300)
ERRORS = st.floats(-0.2, 0.2)


@given(SIZES, ERRORS, SIZES)
def test_both_ways_of_correcting_cut_the_same(expected: float, error: float, aim: float) -> None:
    measured = expected + error
    # The slide moves by the same way whether the readout is entered anew or the aim is shifted.
    entered = aim - present_reading(expected, measured, expected)
    shifted = corrected_aim(aim, measured, expected) - expected
    assert entered == pytest.approx(shifted, abs=1e-9)


def test_a_reading_left_where_it_cut_becomes_the_measured_size() -> None:
    assert present_reading(25.40, 25.43, 25.40) == pytest.approx(25.43)
    assert present_reading(30.00, 25.43, 25.40) == pytest.approx(30.03)
    assert shift(25.43, 25.40) == pytest.approx(0.03)
    assert corrected_aim(24.99, 25.43, 25.40) == pytest.approx(24.96)


def test_raw_face_of_the_second_end() -> None:
    # Worked from common practice: 35.62 measured, 35.00 on the print: enter Z +0.62.
    assert raw_face_zero(35.62, 35.00) == pytest.approx(0.62)


def test_heat_and_tailstock() -> None:
    # Worked from common practice: 25 mm steel 20 K warm reads 0.006 large;
    # a bar grows 0.055 on 160 at 30 K.
    assert warm_growth_mm(25.0, 20.0, 11.5) == pytest.approx(0.006, abs=5e-4)
    assert warm_growth_mm(160.0, 30.0, 11.5) == pytest.approx(0.055, abs=5e-4)
    assert tailstock_error(20.06, 20.00) == pytest.approx(0.03)
