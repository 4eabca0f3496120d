from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.cutting.feed import clamp_feed
from turnsketch.cutting.speed import (
    chosen_speed,
    constant_surface_speed,
    greatest_rpm,
    spindle_speed,
    wanted_rpm,
    worth_changing,
)
from turnsketch.errors import InputError
from turnsketch.shop.records import Dial, Lathe, Readout

STEPS = (45.0, 63.0, 90.0, 125.0, 180.0, 250.0, 355.0, 500.0, 710.0, 1000.0, 1400.0, 2000.0)


def lathe(
    steps: tuple[float, ...] = STEPS,
    span: tuple[float, float] | None = None,
    constant: bool = False,
) -> Lathe:
    dial = Dial("mm", 5.0, 100, "diameter")
    return Lathe(
        "test lathe", 300.0, 600.0, Readout(), dial, dial,
        speeds_rpm=steps, speed_range_rpm=span, constant_surface_speed=constant,
    )  # fmt: skip


FREE = lathe((), (50.0, 2500.0))


def test_takes_the_step_a_little_over_the_wanted_speed() -> None:
    speed = spindle_speed(100.0, 32.0, lathe())
    assert speed.rpm == 1000.0
    assert speed.limited_by == "surface speed"
    assert speed.surface_m_min_at_diameter == pytest.approx(100.53, abs=0.01)


@pytest.mark.parametrize(
    ("limits", "rpm", "why"),
    [
        ([(1000.0, "chuck's mark")], 1000.0, "surface speed"),
        ([(999.0, "chuck's mark")], 710.0, "chuck's mark"),
        ([(1200.0, "chuck's mark"), (600.0, "trainee limit")], 500.0, "trainee limit"),
    ],
)
def test_hard_limits_bind_and_are_named(
    limits: list[tuple[float, str]], rpm: float, why: str
) -> None:
    speed = spindle_speed(100.0, 32.0, lathe(), limits)
    assert (speed.rpm, speed.limited_by) == (rpm, why)


def test_a_limit_that_changes_nothing_is_not_blamed() -> None:
    # 720 wanted: 710 is taken, and 1000 would not have been, limit or not.
    surface = 720 * math.pi * 32 / 1000
    assert spindle_speed(surface, 32.0, lathe(), [(800.0, "chuck's mark")]).limited_by == (
        "surface speed"
    )


def test_the_lathe_binds_at_both_ends() -> None:
    fast = spindle_speed(200.0, 8.0, lathe())
    assert (fast.rpm, fast.limited_by) == (2000.0, "lathe")
    slow = spindle_speed(10.0, 400.0, lathe())
    assert (slow.rpm, slow.limited_by) == (45.0, "lathe's slowest speed")
    axis = spindle_speed(100.0, 0.0, lathe(), [(1500.0, "trainee limit")])
    assert (axis.rpm, axis.limited_by, axis.wanted_rpm) == (1400.0, "trainee limit", math.inf)


def test_a_range_gives_the_wanted_speed_itself() -> None:
    assert spindle_speed(100.0, 32.0, FREE).rpm == pytest.approx(994.718, abs=1e-3)
    assert spindle_speed(100.0, 32.0, FREE, [(900.0, "chuck's mark")]).rpm == 900.0
    slow = spindle_speed(10.0, 400.0, FREE)
    assert (slow.rpm, slow.limited_by) == (50.0, "lathe's slowest speed")


def test_a_chosen_speed_is_never_passed() -> None:
    assert chosen_speed(950.0, 32.0, lathe()).rpm == 710.0
    assert chosen_speed(1000.0, 32.0, lathe()).rpm == 1000.0
    assert chosen_speed(950.0, 32.0, FREE).limited_by == "job"


def test_even_the_slowest_is_too_fast() -> None:
    with pytest.raises(InputError, match="slowest speed of test lathe, 45 rpm"):
        spindle_speed(100.0, 32.0, lathe(), [(40.0, "faceplate's mark")])


def test_no_speeds_at_all() -> None:
    with pytest.raises(InputError, match="has no speeds"):
        spindle_speed(100.0, 32.0, lathe(()))


def test_constant_surface_speed_carries_its_limit() -> None:
    machine = lathe((), (50.0, 2500.0), constant=True)
    speed = constant_surface_speed(100.0, 32.0, machine, [(2000.0, "chuck's mark")])
    assert (speed.rpm, speed.limited_by, speed.constant_m_min) == (2000.0, "surface speed", 100.0)
    small = constant_surface_speed(100.0, 5.0, machine, [(2000.0, "chuck's mark")])
    assert small.limited_by == "chuck's mark"
    assert small.surface_m_min_at_diameter == pytest.approx(math.pi * 5 * 2000 / 1000)
    with pytest.raises(InputError, match="cannot keep a surface speed"):
        constant_surface_speed(100.0, 32.0, lathe())


@given(
    st.floats(5, 400),
    st.floats(2, 300),
    st.lists(st.tuples(st.floats(100, 3000), st.sampled_from(["chuck", "trainee"])), max_size=3),
    st.booleans(),
)
def test_no_speed_passes_a_limit_and_no_better_one_is_missed(
    surface: float, diameter: float, limits: list[tuple[float, str]], geared: bool
) -> None:
    machine = lathe() if geared else FREE
    speed = spindle_speed(surface, diameter, machine, limits)
    top, _ = greatest_rpm(machine, limits)
    wanted = wanted_rpm(surface, diameter)
    assert speed.rpm <= top
    if speed.limited_by != "lathe's slowest speed":
        assert speed.rpm <= 1.1 * wanted
    better = [s for s in STEPS if speed.rpm < s <= min(top, 1.1 * wanted)] if geared else []
    assert not better
    assert speed.limited_by in {"surface speed", "lathe", "lathe's slowest speed"} | {
        name for _, name in limits
    }


def test_changing_within_an_operation_pays_over_a_quarter() -> None:
    assert not worth_changing(1000.0, 1250.0)
    assert worth_changing(1000.0, 1400.0)


@pytest.mark.parametrize(
    ("wish", "feed", "why"),
    [
        (0.2, 0.2, ""),
        (0.01, 0.03, "lathe's finest feed"),
        (0.8, 0.5, "lathe's coarsest feed"),
    ],
)
def test_feed_range(wish: float, feed: float, why: str) -> None:
    got = clamp_feed(wish, lathe())
    assert (got.mm_per_rev, got.limited_by) == (feed, why)
