"""Findings about grip, stick-out and jaws."""

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
    with_blank,
    with_holding,
    with_section,
    without,
)
from turnsketch.findings.words import passes_text
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord, Section


def test_over_three_diameters_without_support_is_a_caution() -> None:
    # 3 x 32 = 96 stands out at 121 long with 25 of grip
    assert "stick-out" not in codes(with_blank(PIN, length="121"))
    found = one("stick-out", with_blank(PIN, length="122"))
    assert found.severity == "caution"
    assert "3.0 times" in found.message
    assert "common practice" in found.message
    assert "grip 1.00 mm more" in found.remedy
    assert found.z == pytest.approx(1)


def test_gripping_more_is_not_proposed_where_something_is_cut() -> None:
    longer = with_blank(with_section(PIN, 2, length="80"), length="146")
    found = one("stick-out", longer)
    assert "grip" not in found.remedy
    assert "centre" in found.remedy


def test_over_ten_diameters_on_a_centre_is_a_caution() -> None:
    # Only the ratio is of interest: nothing is cut.
    centred = without(with_holding(SHAFT, centre=True), "face", "rough", "finish", "part off")
    assert "stick-out" not in codes(with_blank(centred, length="300"))
    found = one("stick-out", with_blank(centred, length="310"))
    assert found.severity == "caution"
    assert "on a centre; over 10" in found.message
    assert found.remedy.startswith("set a steady rest")


@pytest.mark.parametrize(
    ("steady", "stretch", "remedy"),
    [
        ("60", "between the jaws and the steady rest; over 10", "or take light cuts"),
        ("380", "beyond the steady rest; over 3", "or support the front end with a centre"),
    ],
)
def test_a_long_stretch_beside_a_steady_rest_asks_for_it_elsewhere(
    steady: str, stretch: str, remedy: str
) -> None:
    long = with_blank(SHAFT, length="440", diameter="32", skin="bright")
    found = one("stick-out", with_holding(long, centre=False, steady=steady))
    assert stretch in found.message
    assert found.remedy == f"move the steady rest toward that stretch, {remedy}"


def test_an_uncut_free_end_that_is_long_is_not_told_of_a_centres_error() -> None:
    long = with_blank(with_section(PIN, 2, length="400"), length="480")
    # Only parted off, beside the jaws.
    found = one("stick-out", without(long, "face", "rough", "finish", "chamfer"))
    assert "with a free end; over 10" in found.message
    assert found.remedy.startswith("support the front end")


def test_less_grip_than_the_shop_asks_for_is_a_stop() -> None:
    found = one("grip-short", with_holding(with_blank(PIN, length="91"), grip="14"))
    assert found.severity == "stop"
    assert "14.00 mm" in found.message
    assert "1.00 mm further" in found.remedy
    assert found.z == pytest.approx(-76)
    assert "grip-short" not in codes(with_holding(with_blank(PIN, length="92"), grip="15"))


def test_a_grip_longer_than_the_jaws_of_a_bar_that_does_not_enter_the_bore_is_a_caution() -> None:
    thick = with_holding(with_blank(PIN, diameter="42", length="117"), grip="40")
    found = one("grip-long", thick)
    assert found.severity == "caution"
    assert "32.00 mm" in found.remedy
    thin = with_holding(with_blank(PIN, diameter="36", length="117"), grip="40")
    assert "grip-long" not in codes(thin)


def test_a_part_that_reaches_into_the_jaws_is_a_stop() -> None:
    found = one("jaws-in-the-cut", with_blank(PIN, length="90"))
    assert found.severity == "stop"
    assert "2.00 mm into the jaws" in found.message
    # the blade's 3 and the clearance of 2 must fit as well
    assert "grip 18.00 mm" in found.remedy
    assert found.z == pytest.approx(-66)


@pytest.mark.parametrize("length", ["75", "80", "85", "86", "87", "90", "91.5"])
def test_a_part_in_the_jaws_is_a_stop_however_short_the_blank(length: str) -> None:
    found = one("jaws-in-the-cut", with_blank(PIN, length=length))
    assert found.severity == "stop"
    assert f"the part reaches {92 - float(length):.2f} mm into the jaws" in found.message


def test_a_blank_too_short_for_the_least_grip_says_both_ways_out() -> None:
    found = one("jaws-in-the-cut", with_blank(PIN, length="85"))
    assert (
        found.remedy == "cut the blank 12.00 mm longer, or 2.00 mm longer with a grip of 15.00 mm"
    )
    least = with_holding(with_blank(PIN, length="80"), grip="15")
    assert one("jaws-in-the-cut", least).remedy == "cut the blank 7.00 mm longer"


@pytest.mark.parametrize("length", ["60", "75", "85", "90", "95", "98"])
def test_every_pass_beyond_the_line_is_named(length: str) -> None:
    made = planned(with_blank(PIN, length=length))
    (setup,) = made.setups
    beyond = [
        p.number
        for p in setup.passes
        if min((m.to.z for m in p.moves if m.kind != "position"), default=0.0)
        < setup.never_beyond_z - 1e-6
    ]
    told = [f.message for f in made.findings if f.code == "near-the-jaws"]
    assert len(told) == bool(beyond)
    assert all(message.startswith(passes_text(beyond)) for message in told)


def test_no_room_for_the_blade_is_a_caution_and_without_parting_none() -> None:
    job = with_blank(PIN, length="95")
    assert one("jaws-in-the-cut", job).severity == "caution"
    assert "blade" in one("jaws-in-the-cut", job).message
    assert "jaws-in-the-cut" not in codes(without(job, "part off"))
    assert "jaws-in-the-cut" not in codes(with_blank(PIN, length="97"))


def test_a_cut_beyond_the_line_is_a_caution() -> None:
    found = one("near-the-jaws", with_blank(PIN, length="98"))
    assert found.severity == "caution"
    # never beyond Z-67, the blade's left side stands at Z-69
    assert "Z-67.00" in found.message
    assert found.z is not None
    assert found.z < -67
    assert "near-the-jaws" not in codes(PIN)


def test_the_blades_left_side_counts_whichever_side_reads() -> None:
    right = but(
        SHOP,
        tools=tuple(but(t, reference="right") if t.number == 7 else t for t in SHOP.tools),
        clearances=but(SHOP.clearances, never_beyond_jaws=9.0),
    )
    left = but(SHOP, clearances=but(SHOP.clearances, never_beyond_jaws=9.0))
    places = [one("near-the-jaws", PIN, shop).z for shop in (left, right)]
    assert places[0] == pytest.approx(places[1])


def test_a_thin_end_that_stands_behind_the_jaws_goes_into_the_bore() -> None:
    """The flange in front is thicker than the bore, but it is not what stands in it."""
    sections = (
        Section("cylinder", diameter="30", length="18"),
        Section("cylinder", diameter="40", length="26"),
        Section("cylinder", diameter="56", length="10", back_corner="1x45°"),
    )
    part = PartRecord("bush", sections, material="mild steel")
    first = Setup(Holding("Three-jaw 160", "32"))
    second = Setup(Holding("Three-jaw 160", "43", soft_jaws=True), turned=True)
    job = Job(part, Blank("60", "98"), "Slipway 1", (first, second))
    assert "grip-long" not in codes(job)
    thick = but(sections[0], diameter="41")
    assert "grip-long" in codes(but(job, part=but(part, sections=(thick, *sections[1:]))))
