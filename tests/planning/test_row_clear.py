"""A finishing row's ways as the readout shows them: clear of the metal that stands beside."""

from __future__ import annotations

import pytest

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.pipeline import plan


def taper(front: str, back: str, length: str) -> Section:
    return Section("taper", front_diameter=front, back_diameter=back, length=length)


def cylinder(diameter: str, length: str | None, corner: str | None = None) -> Section:
    return Section("cylinder", diameter=diameter, length=length, front_corner=corner)


CASES = {
    "left hand beside a shoulder": (
        "Boathouse",
        (
            taper("52", "55", "10"),
            cylinder("36", "16"),
            cylinder("44", "18"),
            cylinder("52", "11"),
        ),
        (cylinder("27", None, "1x45°"),),
    ),
    "neutral on a taper beside a thick bar": (
        "Slipway 2",
        (taper("36", "39", "17"), taper("46", "44", "6")),
        (cylinder("25 H11", "4", "R1"), cylinder("17 H11", "5"), cylinder("15 H8", None)),
    ),
    "home along the bar's own diameter": (
        "Boathouse",
        (cylinder("52", "20", "0.5x45°"), cylinder("46", "14"), taper("52", "50", "9")),
        (cylinder("21 H7", "7"), cylinder("19", "11", "R0.5"), cylinder("15 H11", None)),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_no_way_through_the_air_meets_metal_as_read(case: str) -> None:
    lathe, outside, bore = CASES[case]
    part = PartRecord(
        "ferrule",
        outside,
        material="mild steel",
        bore=Bore(bore, through=True),
        inside_corners="R0.8",
    )
    length = sum(int(s.length or 0) for s in outside)
    job = Job(
        part,
        Blank("58", str(length + 45), "1"),
        lathe,
        (Setup(Holding("Three-jaw 160", "25")),),
    )
    made = plan(job)
    for as_read in (False, True):
        seen = [e for e in replay(made, as_read).events if e.kind != "gouge"]
        assert [e.what for e in seen] == []


SHAFTS = {
    "left hand down along the corner of a collar": (
        "Slipway 1",
        "aluminium",
        (
            cylinder("37", "21", "1x45°"),
            cylinder("36 h6", "11"),
            Section("cylinder", diameter="42", length="14", knurl="RAA 0.8"),
        ),
        (Groove("undercut F", 2, size="0.6x0.3"),),
        "44",
    ),
    "left hand down beside a vee groove": (
        "Slipway 1",
        "bronze",
        (
            cylinder("28", "11", "1x45°"),
            cylinder("18 h6", "17"),
            cylinder("22", "15"),
            cylinder("39 h9", "20"),
        ),
        (Groove("vee", 2, from_front="3", diameter="14", angle="90°"), Groove("undercut F", 3)),
        "43",
    ),
    "steps in and out over the ridge between two tapers": (
        "Slipway 2",
        "brass",
        (cylinder("30 h9", "24"), taper("31", "36", "11"), taper("32", "28", "22")),
        (),
        "38",
    ),
}


@pytest.mark.parametrize("case", SHAFTS)
def test_no_way_grazes_a_shaft_as_read(case: str) -> None:
    lathe, material, outside, grooves, bar = SHAFTS[case]
    part = PartRecord("shaft", outside, material=material, grooves=grooves, inside_corners="R0.8")
    length = sum(int(s.length or 0) for s in outside)
    setup = Setup(Holding("Three-jaw 160", "32"))
    made = plan(Job(part, Blank(bar, str(length + 39), "1"), lathe, (setup,)))
    for as_read in (False, True):
        seen = [e for e in replay(made, as_read).events if e.kind != "gouge"]
        assert [e.what for e in seen] == []


def test_down_along_a_wall_that_another_tool_made_is_a_cut() -> None:
    """In steps of the inch the wall stands a tenth of a thou nearer than the print has it."""
    outside = (
        Section("cylinder", diameter="1.417", length=".591", knurl="RAA 0.8"),
        Section("taper", front_diameter=".906", length=".354", angle="1:10"),
        cylinder("1.142", ".315"),
        taper("1.693", "1.575", ".748"),
    )
    part = PartRecord(
        "grip", outside, material="bronze", general_tolerance="decimals", inside_corners="R.031"
    )
    blank = Blank("2.008", "3.7188", ".039", skin="black")
    setup = Setup(Holding("Three-jaw 160", "1.25"))
    made = plan(Job(part, blank, "Slipway 2", (setup,), units="inch"))
    assert [e.what for e in replay(made, as_read=True).events if e.kind != "gouge"] == []
