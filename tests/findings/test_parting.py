"""Findings about parting off."""

from __future__ import annotations

import pytest

from tests.findings.cases import (
    PIN,
    SHAFT,
    SHOP,
    but,
    codes,
    one,
    planned,
    view_of,
    with_blank,
    with_holding,
    with_pass,
    with_tool,
    without,
)
from turnsketch.findings.parting import not_parted
from turnsketch.geometry.elements import Point


def test_a_blade_that_does_not_reach_the_axis_is_one_stop() -> None:
    lower = tuple(
        tuple(Point(p.z, p.r - 8.0) for p in ring)
        for ring in next(t for t in SHOP_TOOLS if t.number == 7).holder
    )
    short = with_tool(7, reach_mm=14.0, holder=lower)
    found = one("blade-too-short", PIN, short)
    assert found.severity == "stop"
    # the bar stands at Ø30 there: 15.0 and the corner's 0.1
    assert "15.10 mm" in found.message or "15.45 mm" in found.message
    assert "14.00 mm" in found.message
    assert found.z == pytest.approx(-69)
    assert "holder-touches-metal" not in codes(PIN, short)
    assert "blade-too-short" not in codes(PIN)


SHOP_TOOLS = with_tool(7).tools


def test_parting_with_the_centre_in_is_a_stop() -> None:
    centred = without(with_blank(with_holding(SHAFT, centre=True), front="0"), "face", "rough")
    found = one("parting-on-centre", centred)
    assert found.severity == "stop"
    assert found.pass_number == planned(centred).setups[0].passes[-1].number
    assert "parting-on-centre" not in codes(without(centred, "part off"))


def test_parting_further_out_than_one_diameter_is_a_caution() -> None:
    # the blade's left side at Z-69, the jaws one diameter of 32 behind it: 1 + 69 + 32 + 25
    assert "parting-far-out" not in codes(with_blank(PIN, length="127"))
    found = one("parting-far-out", with_blank(PIN, length="130"))
    assert found.severity == "caution"
    assert "35.00 mm from the jaws" in found.message
    assert "3.00 mm more" in found.remedy
    assert found.z == pytest.approx(-69)


def test_a_long_piece_that_comes_off_free_is_a_caution() -> None:
    # 66 mm of Ø32 are two diameters; with a limit of two it is too long
    assert "long-part-falls" not in codes(PIN)
    limits = but(SHOP.limits, unsupported_ratio=2.0)
    found = one("long-part-falls", PIN, but(SHOP, limits=limits))
    assert found.severity == "caution"
    assert "a piece 66.00 mm long, 2.1 times its diameter" in found.message
    assert found.remedy.startswith("leave out parting off: saw it off")


def test_a_part_that_still_hangs_on_the_bar_is_a_stop() -> None:
    made = planned(PIN)
    last = made.setups[0].passes[-1]
    moves = tuple(but(m, to=Point(m.to.z, max(m.to.r, 5.0))) for m in last.moves)
    (found,) = not_parted(view_of(PIN, with_pass(made, but(last, moves=moves))))
    assert (found.code, found.severity) == ("not-parted", "stop")
    assert found.pass_number == last.number
    assert not list(not_parted(view_of(PIN)))


def test_without_parting_off_the_back_is_told() -> None:
    found = one("back-not-made", without(PIN, "part off"))
    assert found.severity == "note"
    assert found.z == pytest.approx(-66)
    assert "back-not-made" not in codes(PIN)
