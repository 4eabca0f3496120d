"""Readings are exact decimal multiples, and rounding errs on the stated side."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.rounding import (
    SNAP,
    RoundMode,
    decimals_of,
    easy_figure,
    figure_text,
    opposite,
    rough_figure,
    round_step,
    round_x_finish,
    round_x_keep_metal,
    round_z_keep_metal,
    steps_inside,
)
from turnsketch.units import Units

STEPS = st.sampled_from([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.5, 0.0001, 0.0002, 0.0005])
VALUES = st.floats(-500, 500, allow_nan=False)
MODES: list[RoundMode] = ["nearest", "up", "down"]


@given(VALUES, STEPS, st.sampled_from(MODES))
def test_a_rounded_value_is_an_exact_decimal_multiple_and_stays(
    value: float, step: float, mode: RoundMode
) -> None:
    shown = round_step(value, step, mode)
    assert Decimal(repr(shown)) % Decimal(repr(step)) == 0
    assert len(repr(abs(shown)).replace(".", "").lstrip("0")) <= 8
    assert round_step(shown, step, mode) == shown
    assert repr(shown) != "-0.0"


@given(VALUES, STEPS)
def test_sides(value: float, step: float) -> None:
    snap = min(SNAP, step / 100) * 1.001
    up, down = round_step(value, step, "up"), round_step(value, step, "down")
    assert value - snap <= up <= value + step + snap
    assert value - step - snap <= down <= value + snap
    assert abs(round_step(value, step) - value) <= step * (0.5 + 2e-6)


@given(VALUES, STEPS, st.sampled_from(MODES), st.floats(-1e-10, 1e-10))
def test_noise_on_a_step_changes_nothing(
    value: float, step: float, mode: RoundMode, noise: float
) -> None:
    on_step = round_step(value, step)
    assert round_step(on_step + noise, step, mode) == on_step


def test_halves_go_up_in_spite_of_noise() -> None:
    assert round_step(0.125, 0.01) == round_step(0.125 - 1e-12, 0.01) == 0.13
    assert round_step(25.8 + 3e-15, 0.01, "up") == 25.8


@pytest.mark.parametrize("step", [0.0, -0.01, float("nan"), float("inf")])
def test_a_step_must_be_positive(step: float) -> None:
    with pytest.raises(ValueError, match="step"):
        round_step(1.0, step)


def test_a_value_must_be_finite() -> None:
    with pytest.raises(ValueError, match="cannot round"):
        round_step(float("nan"), 0.01)


def test_decimals_and_text() -> None:
    assert [decimals_of(s) for s in (0.0005, 0.00025, 0.01, 0.5, 1.0, 5.0, 10.0)] == [
        4, 5, 2, 1, 0, 0, 0,
    ]  # fmt: skip
    assert figure_text(25.8, 0.01) == "25.80"
    assert figure_text(-0.0, 0.01) == "0.00"
    assert figure_text(-0.001, 0.01) == "0.00"
    assert figure_text(-80.3, 0.005) == "-80.300"
    assert opposite("up") == "down"
    assert opposite("nearest") == "nearest"


def test_keep_metal_sides() -> None:
    assert round_x_keep_metal(25.791, 0.01) == 25.8
    assert round_x_keep_metal(25.799, 0.01, outside=False) == 25.79
    assert round_z_keep_metal(-57.803, 0.005) == -57.8
    assert round_z_keep_metal(-57.803, 0.005, metal_toward_chuck=False) == -57.805


def test_one_clear_step_in_25_h6() -> None:
    # Worked from common practice: "25 h6 at 0.01 on the diameter has one clear step: 24.99".
    assert steps_inside(24.987, 25.0, 0.01) == 1
    assert round_x_finish(24.9935, 24.987, 25.0, 0.01) == 24.99


@given(st.integers(-100_000, 100_000), st.integers(0, 400), st.floats(0, 1), STEPS, st.booleans())
def test_a_finishing_figure_never_leaves_the_limits(
    low: int, width: int, share: float, step: float, fine: bool
) -> None:
    grain = step / 7 if fine else step
    lower, upper = low * grain, (low + width) * grain
    aim = lower + share * (upper - lower)
    shown = round_x_finish(aim, lower, upper, step)
    inside = steps_inside(lower, upper, step)
    if shown is None:
        assert inside == 0
        return
    assert lower - 1e-9 <= shown <= upper + 1e-9
    if inside:
        assert lower < shown < upper
        assert abs(shown - aim) <= step * (1 + 1e-6)


def test_no_step_inside_gives_none_and_a_step_on_a_limit_is_the_last_resort() -> None:
    assert round_x_finish(24.995, 24.991, 24.999, 0.01) is None
    assert round_x_finish(24.994, 24.99, 24.998, 0.01) == 24.99
    assert round_x_finish(25.0, 25.0, 25.0, 0.01) == 25.0


@pytest.mark.parametrize(
    ("lower", "upper", "step", "units", "figure"),
    [
        (25.72, 26.1, 0.01, "mm", 26.0),
        (25.72, 25.95, 0.01, "mm", 25.8),
        (25.81, 25.89, 0.01, "mm", None),
        (25.8, 25.8, 0.01, "mm", 25.8),
        (1.013, 1.031, 0.0005, "inch", 1.02),
        (1.021, 1.0312, 0.0005, "inch", 1.025),
        (1.0211, 1.0244, 0.0005, "inch", None),
    ],
)
def test_easy_figures(
    lower: float, upper: float, step: float, units: Units, figure: float | None
) -> None:
    assert easy_figure(lower, upper, step, units) == figure


def test_easy_figures_can_be_shown_and_lie_near_the_wish() -> None:
    assert easy_figure(20.0, 30.0, 0.01, "mm", near=21.7) == 21.5
    # A readout with steps of 0.04 cannot show 25.5 or 25.9, but it can show 25.8 = 645 steps.
    assert easy_figure(25.45, 25.95, 0.04, "mm", near=25.9) == 25.8


@settings(max_examples=200)
@given(st.floats(5, 300), st.floats(0, 2), st.booleans())
def test_rough_figures_keep_metal_and_use_no_more_than_the_slack(
    diameter: float, slack: float, outside: bool
) -> None:
    shown = rough_figure(diameter, slack, 0.01, "mm", outside=outside)
    kept = shown - diameter if outside else diameter - shown
    assert -SNAP <= kept <= max(slack, 0.01) + 1e-5
