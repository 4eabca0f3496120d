"""Findings about the blank."""

from __future__ import annotations

import pytest

from tests.findings.cases import (
    PIN,
    ROLLER,
    SHOP,
    but,
    codes,
    one,
    with_blank,
    with_holding,
    with_lathe,
)


def test_a_bar_thinner_than_the_part_is_a_stop_and_names_a_bar_that_will_do() -> None:
    found = one("blank-too-small", with_blank(PIN, diameter="28"))
    assert found.severity == "stop"
    assert found.z == pytest.approx(-58)
    assert "Ø30.00 mm" in found.message
    assert "Ø30 mm, bright" in found.remedy
    assert "blank-too-small" not in codes(with_blank(PIN, diameter="30"))


def test_without_a_thicker_bar_the_remedy_gives_the_size() -> None:
    found = one("blank-too-small", with_blank(PIN, diameter="28"), but(SHOP, bars=()))
    assert "the rack has none" in found.remedy


def test_a_blank_that_cannot_hold_part_and_grip_is_a_stop() -> None:
    found = one("blank-too-short", with_blank(PIN, length="60"))
    assert found.severity == "stop"
    # front 1 + part 66 + blade 3 + clearance 2 + least grip 15 = 87
    assert "27.00 mm too short" in found.message
    assert "27.00 mm longer" in found.remedy
    assert found.z == pytest.approx(-66)


def test_a_blank_short_by_less_than_the_blade_is_a_caution() -> None:
    assert one("blank-too-short", with_blank(PIN, length="85")).severity == "caution"
    assert "blank-too-short" not in codes(with_blank(PIN, length="87"))


def test_one_cause_is_told_once() -> None:
    assert "no-pass" not in codes(with_blank(PIN, length="60"))


def test_the_grip_that_is_left_is_said_with_the_length() -> None:
    assert (
        "longer, and grip 15.00 mm" in one("blank-too-short", with_blank(PIN, length="85")).remedy
    )
    held = with_holding(with_blank(PIN, length="85"), grip="15")
    assert "grip" not in one("blank-too-short", held).remedy


def test_a_first_cut_in_the_black_skin_is_a_caution() -> None:
    black = with_blank(PIN, diameter="30.5", skin="black")
    found = one("black-skin", black)
    assert found.severity == "caution"
    assert "0.25 mm" in found.message
    assert found.pass_number is not None
    assert "black-skin" not in codes(with_blank(PIN, diameter="30.5"))
    assert "black-skin" not in codes(with_blank(PIN, diameter="32", skin="black"))


def test_a_blank_that_does_not_turn_over_the_bed_is_a_stop() -> None:
    found = one("swing", ROLLER, with_lathe("Boathouse", swing_mm=30))
    assert found.severity == "stop"
    assert "1.181 in" in found.message
    assert "swing" not in codes(ROLLER)
