"""Findings about feed, roughness and power."""

from __future__ import annotations

from tests.findings.cases import (
    PIN,
    ROLLER,
    SHAFT,
    SHOP,
    but,
    codes,
    one,
    planned,
    with_lathe,
    with_operation,
    with_part,
    with_section,
    with_tool,
)


def test_a_feed_coarser_than_the_lathe_has_is_a_caution() -> None:
    found = one("feed-range", with_operation(PIN, "rough", feed="0.7"))
    assert found.severity == "caution"
    assert "operation 2 (rough) asks for 0.700 mm" in found.message
    assert "0.600 mm" in found.message
    assert "passes" in found.message
    assert "feed-range" not in codes(with_operation(PIN, "rough", feed="0.3"))
    assert "feed-range" not in codes(PIN)


def test_a_tools_own_feed_that_the_lathe_has_not_is_told() -> None:
    finer = one("feed-range", PIN, with_tool(2, finish_feed_mm=0.01))
    assert finer.severity == "caution"
    assert "T2 is used at 0.010 mm" in finer.message
    coarser = one("feed-range", PIN, with_tool(1, rough_feed_mm=0.8))
    assert coarser.severity == "note"


def test_an_inch_feed_is_told_in_inches() -> None:
    found = one("feed-range", with_operation(ROLLER, "rough", tool=1, feed=".030"))
    assert "0.0300 in" in found.message
    assert "mm" not in found.message


def test_a_feed_too_coarse_for_the_print_is_a_caution() -> None:
    # 0.2² / (31.18 x 0.4) = 3.2 µm against Ra 1.6
    found = one("roughness", with_operation(PIN, "finish", feed="0.15"))
    assert found.severity == "caution"
    assert "seat Ø25 h6" in found.message
    assert "Ra 1.8 µm in theory" in found.message
    assert "Ra 1.6" in found.message
    assert "feed 0.128 mm a turn or finer" in found.remedy
    assert "roughness" not in codes(PIN)


def test_what_the_proposed_feed_is_enough_for_is_free() -> None:
    assert "roughness" not in codes(with_operation(PIN, "finish", feed="0.128"))


def test_a_feed_that_only_theory_allows_is_a_note() -> None:
    found = one("roughness", with_operation(PIN, "finish", feed="0.14"))
    assert found.severity == "note"


def test_surfaces_with_the_same_feed_are_told_together() -> None:
    found = [
        f
        for f in planned(with_operation(PIN, "finish", feed="0.25")).findings
        if f.code == "roughness"
    ]
    assert len(found) == 2  # Ra 1.6 on the seat, Ra 3.2 on end and head
    assert any("end Ø12 and head Ø30" in f.message for f in found)


def test_what_no_feed_of_the_lathe_gives_asks_for_a_larger_nose() -> None:
    fine = with_section(PIN, 2, roughness="Ra 0.05")
    assert "larger nose" in one("roughness", fine).remedy


def test_the_front_face_counts_too() -> None:
    job = with_operation(with_part(PIN, roughness="Ra 0.8"), "finish", feed="0.05")
    assert "front face" in one("roughness", job).message


def test_cuts_over_the_lathes_power_are_one_caution() -> None:
    weak = with_lathe("Slipway 1", power_kw=0.5)
    found = one("power", with_operation(PIN, "rough", depth="2"), weak)
    assert found.severity == "caution"
    assert found.message.startswith("passes ")
    assert "Slipway 1 gives 0.38 (0.5 kW, efficiency 0.75)" in found.message
    assert "depth of" in found.remedy
    assert "power" not in codes(PIN)
    assert "power" not in codes(SHAFT)


def test_roughing_without_a_depth_of_the_users_stays_within_the_power() -> None:
    weak = with_lathe("Slipway 1", power_kw=1.1)
    assert "power" not in codes(PIN, weak)
    assert "power" in codes(with_operation(PIN, "rough", depth="2"), weak)


def test_a_wide_blade_in_a_weak_lathe_is_too_much_power() -> None:
    weak = with_lathe("Slipway 1", power_kw=0.06)
    found = [f for f in planned(PIN, weak).findings if f.code == "power"]
    assert len(found) == 2  # turning, and parting with its own remedy
    assert any("turn slower" in f.remedy for f in found)


def test_without_a_material_no_power_is_reckoned() -> None:
    shop = but(SHOP, lathes=with_lathe("Slipway 1", power_kw=0.05).lathes)
    assert "power" not in codes(with_part(PIN, material=""), shop)
