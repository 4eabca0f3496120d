"""Findings about spindle speeds."""

from __future__ import annotations

from tests.findings.cases import (
    KNOB,
    PIN,
    SHOP,
    but,
    codes,
    one,
    planned,
    with_operation,
    with_part,
)

SLOW = but(SHOP, limits=but(SHOP.limits, greatest_rpm=300.0))


def test_a_limit_that_holds_much_back_is_one_note_with_its_name() -> None:
    found = one("speed-limited", PIN, SLOW)
    assert found.severity == "note"
    assert "trainee limit" in found.message
    assert "250 rpm" in found.message
    assert found.message.startswith("passes ")
    assert found.pass_number is not None


def test_the_last_passes_at_a_balls_pole_are_no_note() -> None:
    held = [p for p in planned(KNOB).setups[0].passes if p.speed_limited_by == "trainee limit"]
    assert held
    assert "speed-limited" not in codes(KNOB)
    assert "speed-limited" not in codes(PIN)


def test_a_chucks_mark_and_a_lathes_top_are_named() -> None:
    marked = tuple(but(c, greatest_rpm=200.0) for c in SHOP.chucks)
    assert "chuck's mark" in one("speed-limited", PIN, but(SHOP, chucks=marked)).message
    slow = tuple(but(m, speeds_rpm=(45, 90, 180)) for m in SHOP.lathes if m.name == "Slipway 1")
    assert "lathe's top speed" in one("speed-limited", PIN, but(SHOP, lathes=slow)).message


def test_a_speed_that_the_job_asks_for_and_does_not_get_is_always_told() -> None:
    found = one("speed-limited", with_operation(KNOB, "part off", rpm=2000.0))
    assert "1800 rpm" in found.message
    assert "2000" in found.message


def test_a_speed_of_the_jobs_own_far_over_the_surface_speed_is_a_caution() -> None:
    found = one("speed-high", with_operation(PIN, "part off", rpm=1000.0))
    assert found.severity == "caution"
    assert "the shop file has 15 for HSS in mild steel" in found.message
    assert "lower speed" in found.remedy
    assert "speed-high" not in codes(with_operation(PIN, "part off", rpm=125.0))
    assert "speed-high" not in codes(PIN)


def test_a_lathe_that_turns_no_slower_is_a_caution() -> None:
    fast = tuple(but(m, speeds_rpm=(1400,)) for m in SHOP.lathes if m.name == "Slipway 1")
    found = next(f for f in planned(PIN, but(SHOP, lathes=fast)).findings if f.code == "speed-high")
    assert "slower" in found.remedy


def test_a_job_without_material_is_one_caution() -> None:
    found = one("no-material", with_part(PIN, material=""))
    assert found.severity == "caution"
    assert "20 m/min" in found.message
    assert "no-material" not in codes(PIN)


def test_a_material_without_a_speed_for_the_tool_is_one_caution() -> None:
    steel = tuple(
        but(m, speeds=tuple(s for s in m.speeds if s.tool_material != "HSS"))
        for m in SHOP.materials
    )
    shop = but(SHOP, materials=steel)
    found = one("no-surface-speed", PIN, shop)
    assert found.severity == "caution"
    assert "HSS in mild steel" in found.message
    own = with_operation(with_operation(PIN, "part off", rpm=125.0), "chamfer", surface_speed=15.0)
    assert "no-surface-speed" not in codes(own, shop)
