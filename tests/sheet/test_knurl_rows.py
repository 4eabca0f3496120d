"""A knurl on paper: the row before it, the limits over it, and what is not set on it."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.document.sheets import plan, sheet_input
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.picture.knurls import knurl_strokes
from turnsketch.plan_records import Plan
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.records import SheetContent

but = msgspec.structs.replace

SECTIONS = (
    Section("cylinder", "neck", diameter="16", length="15"),
    Section("cylinder", "grip", diameter="24", length="30", knurl="RGE 1.0"),
    Section("cylinder", "collar", diameter="28", length="8"),
)
JOB = Job(
    PartRecord("Handle", SECTIONS, material="brass", inside_corners="R0.8"),
    Blank("30", "90"),
    "Slipway 1",
    (Setup(Holding("Three-jaw 160", "25")),),
)


@pytest.fixture(scope="module")
def made() -> Plan:
    return plan(JOB)


@pytest.fixture(scope="module")
def sheet(made: Plan) -> SheetContent:
    return sheet_content(sheet_input(made))


def test_a_row_says_how_the_wheels_are_pressed_in(sheet: SheetContent) -> None:
    rows = sheet.setups[0].rows
    (index,) = [i for i, row in enumerate(rows) if row.kind == "knurl"]
    words = rows[index].words
    for said in ("not cut", "oil", "Touch Ø23.33", "points are sharp", "X 23.00", "Fingers"):
        assert said in words
    there, back = rows[index + 1], rows[index + 2]
    assert (there.what, back.what) == ("knurl", "knurl")
    assert there.drive == "power"
    assert there.after == ()
    assert back.after == ("23.800", "24.200")
    assert back.notes == ("wheels stay in",)
    assert rows[index - 1].kind == "tool"


def test_power_ends_before_the_shoulder(sheet: SheetContent) -> None:
    first = next(row for row in sheet.setups[0].rows if row.what == "knurl")
    assert first.text.cut_to == "Z −44.500"
    assert first.text.power_until == "Z−42.5"


def test_no_tool_is_set_on_the_knurl_and_no_trial_cut_is_taken(sheet: SheetContent) -> None:
    text = msgspec.json.encode(msgspec.to_builtins(sheet)).decode()
    assert "left by pass 8" not in text
    assert "left by pass 9" not in text
    assert "T90 in pass" not in text


def test_the_tool_line_tells_the_wheels(sheet: SheetContent) -> None:
    (line,) = [t for t in sheet.setups[0].tools if t.tool.number == 90]
    assert line.nose == "wheels RGE 1.0, 8 wide, Ø20"


def test_inspection_has_blank_and_knurl(sheet: SheetContent) -> None:
    whats = [line.what for line in sheet.inspection]
    assert "grip, Ø turned before the knurl" in whats
    assert "grip, Ø over the knurl" in whats


def test_pictures_hint_at_it_from_its_operation_on(made: Plan) -> None:
    setup = made.setups[0]
    number = next(o.number for o in setup.operations if o.kind == "knurl")
    assert not list(knurl_strokes(setup, 2.0, number - 1))
    strokes = list(knurl_strokes(setup, 2.0, number))
    assert len(strokes) > 10
    places = [p for stroke in strokes for p in stroke.points]
    assert min(p.z for p in places) == pytest.approx(-45.0)
    assert max(p.z for p in places) == pytest.approx(-15.0)
    assert max(abs(p.r) for p in places) == pytest.approx(23.33 / 2)
