"""Bores, drills and reamers on paper: the flanged bush whole, and a bush that is bored."""

from __future__ import annotations

import csv
import io

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import sheet_input
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import plan
from turnsketch.plan_records import Plan
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.csv_file import csv_text
from turnsketch.sheet.records import SheetContent, SheetRow, ToolLine

Rows = tuple[SheetRow, ...]


def bored_job(units: str = "mm") -> Job:
    bore = Bore(
        (
            Section("cylinder", name="seat", diameter="30 H7", length="12"),
            Section("cylinder", diameter="24 H7"),
        ),
        through=True,
    )
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="44", length="40"),),
        material="mild steel",
        inside_corners="R0.8",
        bore=bore,
    )
    setups = (Setup(Holding("Three-jaw 160", grip="25")),)
    return Job(part, Blank("50", "80"), "Slipway 1", setups, title=units)


@pytest.fixture(scope="module")
def bush_plan() -> Plan:
    return plan(load_demo("flanged_bush"))


@pytest.fixture(scope="module")
def bush(bush_plan: Plan) -> SheetContent:
    return sheet_content(sheet_input(bush_plan))


@pytest.fixture(scope="module")
def bored() -> SheetContent:
    return sheet_content(sheet_input(plan(bored_job())))


def row(content: SheetContent, what: str, setup: int = 0) -> SheetRow:
    return next(r for r in content.setups[setup].rows if r.kind == "pass" and r.what == what)


def put_in(content: SheetContent, tool: int, setup: int = 0) -> str:
    found = [r for r in content.setups[setup].rows if r.kind == "tool" and r.tool == tool]
    return found[0].words


def tool(content: SheetContent, number: int, setup: int = 0) -> ToolLine:
    return next(t for t in content.setups[setup].tools if t.tool.number == number)


def test_the_bush_plans_without_a_stop(bush: SheetContent) -> None:
    assert bush.stops == ()
    assert len(bush.setups) == 2


def test_a_drills_row_counts_the_quill_from_its_touch(bush: SheetContent) -> None:
    drill = row(bush, "drill")
    assert drill.text.setting == "on rim: 0"
    assert drill.text.cut_to.startswith("quill\n")
    assert drill.depth == ""
    assert drill.drive == "hand"


def test_full_diameter_and_point_are_told_apart(bush: SheetContent) -> None:
    words = put_in(bush, 49)
    # Computed: 1 beyond the overrun of 4.175 for the blade of 1/8 in; the point of Ø19.7 at 118° is
    # 5.92 long.
    assert "the full diameter then stands at Z −45.18, the point at Z −51.09" in words
    assert "about 0.28 mm a turn" in words
    assert "clear the chips at" not in words


def test_pecks_are_read_on_the_quill(bush: SheetContent) -> None:
    words = put_in(bush, 42)
    assert "Draw it right out and clear the chips at 20.4, 27.2" in words
    assert row(bush, "drill").text.then == ("draw out\nfor chips",)


def test_a_reamer_is_told_how_it_is_used_and_tried(bush: SheetContent) -> None:
    words = put_in(bush, 62)
    assert "Never turn it backwards" in words
    assert "plug gauge 20.000 to 20.021" in words
    assert row(bush, "ream").after == ("20.000", "20.021")
    assert "plug gauge 20.000 to 20.021" in bush.instruments


def test_tools_in_the_tailstock_are_set_by_the_quill(bush: SheetContent) -> None:
    for number in (42, 49, 62, 63):
        line = tool(bush, number)
        assert line.set_x == "in the tailstock, on the axis"
        assert (line.enter_x, line.enter_z) == ("nothing", "by the quill")
        assert line.hand == ""
        assert line.touch is None
    assert tool(bush, 49).nose == "Ø19.7, point 118°"
    assert tool(bush, 62).nose.startswith("Ø20.01")


def test_a_bar_is_set_in_the_hole_that_is_there(bush: SheetContent, bored: SheetContent) -> None:
    line = tool(bush, 22, setup=1)
    assert line.set_x == "touch the wall of the hole, Ø20.01 that is there"
    assert line.enter_x == "the hole as measured"
    assert "Ø19.7 drilled by pass" in tool(bored, 22).set_x


def test_tools_outside_are_never_set_on_a_hole(bush: SheetContent) -> None:
    for setup in bush.setups:
        assert not [t for t in setup.tools if "Ø0.00" in t.set_x]
    assert "Ø48.00 turned before" in tool(bush, 1, setup=1).set_x


def test_every_row_of_a_bore_says_that_the_wheel_reverses(bored: SheetContent) -> None:
    rows = [r for r in bored.setups[0].rows if r.kind == "pass" and "bore" in r.what]
    assert rows
    assert all("in = smaller X" in r.notes for r in rows)
    outside = [r for r in bored.setups[0].rows if r.kind == "pass" and r.what == "rough"]
    assert not [r for r in outside if "in = smaller X" in r.notes]


def test_the_wheel_goes_out_as_the_bore_grows(bored: SheetContent) -> None:
    rows = [r for r in bored.setups[0].rows if r.what == "bore" and r.wheel]
    assert rows
    for one in rows:
        last, now = float(one.wheel_from.removeprefix("from X ")), float(one.text.setting)
        assert one.wheel.startswith("out") == (now > last)
        # Slipway 1: 5.00 on diameter a turn, 100 divisions.
        turns, divisions = one.wheel.split()[1:]
        counted = 5.0 * int(turns.rstrip("t")) + 0.05 * float(divisions.rstrip("d"))
        assert counted == pytest.approx(abs(now - last), abs=1e-6)


def test_a_fine_bore_stops_to_be_measured_from_inside(bored: SheetContent) -> None:
    stops = [r for r in bored.setups[0].rows if r.number == "M" and "seat" in "".join(r.notes)]
    assert len(stops) == 1
    assert "bore gauge, set in a micrometer 25-50 mm" in stops[0].words
    assert float(stops[0].expected) < 30.0
    assert "present X" in stops[0].words


def test_the_last_chance_of_a_bore_is_up_to_its_upper_limit(bored: SheetContent) -> None:
    last = next(r for r in bored.setups[0].rows if r.what == "finish bore" and "30 H7" in r.surface
                and r.after)  # fmt: skip
    chance = next(n for n in last.notes if n.startswith("last chance"))
    spare = float(chance.removeprefix("last chance "))
    assert spare == pytest.approx(30.021 - float(last.text.setting), abs=1e-6)


def test_the_fine_feed_makes_a_bore_wider(bored: SheetContent) -> None:
    swivels = [r for r in bored.setups[0].rows if r.kind == "swivel" and "5°44'" in r.words]
    assert swivels
    assert all("X grows on its way to the chuck" in r.words for r in swivels)


def test_a_bore_that_came_out_too_wide_has_a_line(bored: SheetContent) -> None:
    line = next(r for r in bored.rescue if "30 H7" in r.surface)
    assert line.under == "over 30.021"
    # ISO 286-2, from memory: 30 H8 is +33, 30 H9 +52.
    assert "up to 30.033 it still is H8" in line.words
    assert "up to 30.052 it still is H9" in line.words


def test_sizes_of_bores_are_inspected_by_their_names(bush: SheetContent) -> None:
    rows = {line.what: line.text for line in bush.inspection}
    assert rows["bearing, diameter"] == "20 H7"
    assert rows["recess, diameter"] == "28 H11"
    assert rows["bearing, chamfer at its front end"] == "0.5x45°"
    surfaces = [line.surface for line in bush.finish]
    assert {"bore bearing Ø20 H7", "bore recess Ø28 H11"} <= set(surfaces)


def test_the_second_setup_takes_up_what_the_first_left(bush: SheetContent) -> None:
    facts = {fact.label: fact.value for fact in bush.setups[1].facts}
    assert facts["Blank"] == "from setup 1: Ø48 × 40.5 mm"
    stop = {fact.label: fact.value for fact in bush.setups[0].facts}["Carriage stop"]
    assert "T49" not in stop  # the drill's carriage does not move


def test_csv_has_the_quill_and_what_is_inside(bush_plan: Plan) -> None:
    lines = list(csv.DictReader(io.StringIO(csv_text(bush_plan))))
    drill = next(line for line in lines if line["operation"] == "drill")
    assert float(drill["quill_depth_mm"]) > 40
    assert drill["quill_pecks_mm"].startswith("20.4; 27.2")
    bores = [line for line in lines if line["operation"] == "bore"]
    assert bores
    assert {line["inside"] for line in bores} == {"yes"}
    turned = [line for line in lines if line["operation"] == "rough"]
    assert {line["inside"] for line in turned} == {"no"}


def test_inch_words_have_inch_figures() -> None:
    job = msgspec.structs.replace(bored_job(), units="inch")
    sections = (Section("cylinder", diameter="1.750", length="1.500"),)
    bore = Bore((Section("cylinder", diameter="1.000"),), through=True)
    part = msgspec.structs.replace(job.part, sections=sections, bore=bore, inside_corners="R.03",
                                   general_tolerance="decimals")  # fmt: skip
    holding = Holding("Three-jaw 160", grip="1")
    job = msgspec.structs.replace(
        job, part=part, blank=Blank("2", "3.2", front=".04"), setups=(Setup(holding),)
    )
    content = sheet_content(sheet_input(plan(job)))
    tools = [r.words for r in content.setups[0].rows if r.kind == "tool" and "tailstock" in r.words]
    assert any(" in a turn" in words for words in tools)
    drill = row(content, "drill")
    assert drill.surface.startswith("hole Ø.")
