"""Surface speeds by purpose, and the guide feeds of drills."""

from __future__ import annotations

import pytest

from turnsketch.cutting.surface import CAUTIOUS_M_MIN, PURPOSES, drilling_feed_mm, surface_speed
from turnsketch.job import OperationKind
from turnsketch.shop.files import demo_shop

STEEL = next(m for m in demo_shop().materials if m.name == "mild steel")


def test_every_operation_has_a_purpose() -> None:
    kinds = OperationKind.__args__  # type: ignore[attr-defined]
    assert set(PURPOSES) == set(kinds)


def test_a_reamer_runs_at_a_third_to_a_half_of_the_drilling_speed() -> None:
    # Common practice.
    drill = surface_speed(STEEL, "HSS", "drill")
    ream = surface_speed(STEEL, "HSS", "ream")
    assert 1 / 3 <= ream / drill <= 1 / 2


def test_drills_in_mild_steel_run_as_handbooks_have_it() -> None:
    # From memory: 18 to 30 m/min for high-speed steel in mild steel.
    assert 18 <= surface_speed(STEEL, "HSS", "drill") <= 30


def test_bars_run_slower_than_tools_outside() -> None:
    for inside, outside in (("bore", "rough"), ("finish bore", "finish")):
        slow = surface_speed(STEEL, "carbide", inside)  # type: ignore[arg-type]
        assert slow < surface_speed(STEEL, "carbide", outside)  # type: ignore[arg-type]


def test_a_countersink_is_the_slowest_on_its_diameter() -> None:
    drill, sink = (surface_speed(STEEL, "HSS", p) for p in ("drill", "countersink"))
    assert sink == pytest.approx(drill / 3)


def test_without_a_material_nothing_is_faster_than_cautious() -> None:
    assert all(surface_speed(None, "HSS", p) <= CAUTIOUS_M_MIN for p in PURPOSES.values())


@pytest.mark.parametrize(
    ("inches", "low", "high"),
    # From memory: usual feeds of twist drills, inch a turn.
    [(1 / 8, 0.001, 0.002), (1 / 4, 0.002, 0.004), (1 / 2, 0.004, 0.007), (1.0, 0.007, 0.015)],
)
def test_feeds_of_drills(inches: float, low: float, high: float) -> None:
    feed = drilling_feed_mm(25.4 * inches)
    assert 25.4 * low - 0.005 <= feed <= 25.4 * high + 0.005
    assert drilling_feed_mm(25.4 * inches, reamer=True) == pytest.approx(2 * feed, abs=0.011)
