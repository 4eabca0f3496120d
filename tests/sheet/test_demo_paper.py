"""The paper of parts with bores, cones, threads and two setups, read as a beginner reads it."""

from __future__ import annotations

import csv
import io
from functools import cache
from itertools import pairwise

import msgspec
import pypdf
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import plan, sheet_input
from turnsketch.plan_records import Plan
from turnsketch.sheet.blocks import Grid, Heading, NewPage
from turnsketch.sheet.content import sheet_content, sheet_numbers
from turnsketch.sheet.csv_file import csv_text
from turnsketch.sheet.detail_content import details
from turnsketch.sheet.pages import sheet_blocks
from turnsketch.sheet.pdf import sheet_bytes
from turnsketch.sheet.records import SheetContent, SheetInput, SheetRow

but = msgspec.structs.replace

TWO_SETUPS = ("flanged_bush", "drill_arbor")
EVERY = (*TWO_SETUPS, "capstan_shaft", "filler_cap", "pole_handle")


@cache
def planned(name: str) -> Plan:
    return plan(load_demo(name))


@cache
def given(name: str) -> SheetInput:
    return sheet_input(planned(name))


@cache
def content(name: str) -> SheetContent:
    return sheet_content(given(name))


def rows(name: str, setup: int = 0) -> tuple[SheetRow, ...]:
    return content(name).setups[setup].rows


@pytest.mark.parametrize("name", EVERY)
def test_table_and_sheet_tell_the_same(name: str) -> None:
    numbers = sheet_numbers(given(name))
    lines = list(csv.DictReader(io.StringIO(csv_text(planned(name)))))
    printed = [
        (sheet.setup.number, row)
        for sheet in content(name).setups
        for row in sheet.rows
        if row.kind == "pass"
    ]
    assert len(lines) == len(printed)
    for line, (setup, row) in zip(lines, printed, strict=True):
        assert (line["setup"], line["pass"]) == (str(setup), row.number)
        assert (line["tool"], line["drive"]) == (str(row.tool), row.drive)
        end_x, end_z = (float(line[key]) for key in ("end_x_diameter_mm", "end_z_mm"))
        if line["direction"] == "face":
            assert row.text.cut_to == f"X {numbers.x(end_x)}"
        if line["direction"] == "plunge":
            to = float(row.text.cut_to.removeprefix("X ").replace("−", "-"))
            assert f"cut X{to:g} " in line["moves"]
        if line["direction"] in ("turn", "thread"):
            ways = (row.text.cut_to, *row.text.then)
            assert any(f"Z {numbers.z(end_z)}" in way for way in ways)
        if line["inside"] == "yes" and line["direction"] != "drill":
            assert "in = smaller X" in row.notes


@pytest.mark.parametrize("name", TWO_SETUPS)
def test_the_second_setups_zero_is_found_before_its_first_row(name: str) -> None:
    first = rows(name, 1)[0]
    assert first.kind == "setup"
    assert "Measure its whole length" in first.words
    assert "enter Z" in first.words
    # A part that is off its bar is not loosened: what stays in the chuck comes out.
    parted = any(s.operation == "part off" for s in planned(name).setups[0].passes)
    assert ("Take the rest of the bar out" in first.words) == parted


@pytest.mark.parametrize("name", EVERY)
def test_every_size_of_the_print_is_measured_under_one_name(name: str) -> None:
    sheet, part = content(name), given(name).part
    assert len(sheet.inspection) == len(part.inspection)
    for line in sheet.inspection:
        assert "section" not in line.what.replace("the section's", "")
        # A size that is reckoned from a standard is told to a micrometre and no finer.
        for word in line.text.replace("Ø", "").split():
            if word.replace(".", "").isdigit():
                assert len(word.partition(".")[2]) <= 3


def test_corners_that_stay_as_the_bar_are_not_measured() -> None:
    (line,) = [i for i in content("filler_cap").inspection if "hexagon, over corners" in i.what]
    assert line.reference
    assert (line.lower, line.upper) == ("", "")


def test_a_turning_hexagon_is_not_filed() -> None:
    (deburr,) = [row for row in rows("filler_cap") if row.kind == "deburr"]
    assert "spindle OFF" in deburr.words
    assert "Slowest speed" not in deburr.words
    (round_one,) = [row for row in rows("pole_handle") if row.kind == "deburr"]
    assert "Slowest speed" in round_one.words


def test_a_cone_is_tried_with_its_gauge_before_its_last_cut() -> None:
    (index,) = [i for i, row in enumerate(rows("drill_arbor", 1)) if row.kind == "fit"]
    fit, last = rows("drill_arbor", 1)[index : index + 2]
    cuts = [s for s in planned("drill_arbor").setups[1].passes if s.direction == "taper"]
    assert last.number == str(cuts[-1].number)
    # CALC: X 14.96 less 14.46, over the taper 0.04995 (Morse 2), and 2.5 where the line belongs.
    assert "12.5 mm from the cone's large end" in fit.words
    assert "smaller by e × 0.04995" in fit.words
    # The ring goes over the end that the centre stands in.
    assert "centre out" in fit.words
    assert fit.words.endswith("Centre in again.")
    assert "Morse 2 ring gauge and marking blue" in content("drill_arbor").instruments


def test_a_slide_that_is_back_leaves_no_wheel_to_turn() -> None:
    taper = {s.number for s in planned("drill_arbor").setups[1].passes if s.taper}
    assert not [r for r in rows("drill_arbor", 1) if r.kind == "more" and r.pass_number in taper]


def test_the_carriage_is_unlocked_before_it_moves() -> None:
    table = rows("flanged_bush", 1)
    (locked,) = [i for i, row in enumerate(table) if "carriage LOCKED" in row.notes]
    assert table[locked + 1].text.then[0] == "UNLOCK, then"
    assert "UNLOCK the carriage first" not in table[locked + 2].notes


def test_no_trial_cut_spoils_a_finished_cone() -> None:
    tool = next(t for t in content("drill_arbor").setups[1].tools if t.tool.number == 6)
    assert tool.set_x == "touch Ø26.00 turned before (narrow: measure it by caliper)"


def test_a_short_cut_is_not_worth_the_lever() -> None:
    short = [r for r in rows("drill_arbor", 1) if r.what == "rough" and r.text.cut_to == "Z −0.900"]
    assert [(r.drive, r.text.power_until) for r in short] == [("hand", "")]


@pytest.mark.parametrize("name", EVERY)
def test_the_lever_goes_out_at_an_easy_figure(name: str) -> None:
    figures = [row.text.power_until for sheet in content(name).setups for row in sheet.rows]
    assert any(figures)
    assert all(len(figure.partition(".")[2]) <= 1 for figure in figures)


def test_half_nuts_open_in_the_relief_before_the_tool_goes_out() -> None:
    thread = next(row for row in rows("capstan_shaft") if row.what == "thread")
    assert thread.text.then == ("open half-nuts", "X out 18")
    blind = next(row for row in rows("filler_cap") if row.what == "thread")
    assert blind.text.then == ("X in 17.5 WHILE IT RUNS", "open half-nuts")
    gearbox = next(row for row in rows("filler_cap") if row.kind == "gearbox")
    assert "off the wall, to smaller X, while it runs" in gearbox.words


def test_stairs_in_a_bore_are_not_filed_while_it_turns() -> None:
    made = given("rope_roller")
    numbers = sheet_numbers(made)
    outside = made.plan.setups[0]
    inside = but(outside, passes=tuple(but(p, inside=True) for p in outside.passes))
    for setup, way, after in (
        (outside, "turn X in", "lies on it without light"),
        (inside, "feed X out", "no file in a turning hole"),
    ):
        words = [w for d in details(made, setup, numbers) if d.steps for w in d.words]
        assert any(way in w for w in words)
        assert any(after in w for w in words)


def test_no_micrometer_is_named_twice() -> None:
    named = [name for name in content("capstan_shaft").instruments if name.startswith("micrometer")]
    assert named == ["micrometer 0-25 mm and 25-50 mm"]


def test_a_corner_of_the_metal_that_stays_is_one_place() -> None:
    places = [line.place.removeprefix("Z ") for line in content("capstan_shaft").left_over]
    assert any(" to " not in place for place in places)
    for place in places:
        low, _, high = place.partition(" to ")
        assert low != high


@pytest.mark.parametrize("name", TWO_SETUPS)
def test_pictures_stand_behind_the_levers_where_they_fit(name: str) -> None:
    blocks = sheet_blocks(given(name), content(name), 279.0, 165.0)
    found = [
        (before, block)
        for before, block in pairwise(blocks)
        if isinstance(block, Heading) and block.text == "The job in pictures"
    ]
    assert len(found) == 2
    for before, block in found:
        assert not isinstance(before, NewPage)
        # More than a page can hold would open an empty page before it.
        assert block.need <= 165.0 - 12.0


def test_cautions_stand_on_one_page_and_before_the_tools() -> None:
    blocks = sheet_blocks(given("flanged_bush"), content("flanged_bush"), 279.0, 165.0)
    titles = [b.text for b in blocks if isinstance(b, Heading)]
    assert titles.index("Cautions") < next(i for i, t in enumerate(titles) if "Tools" in t)
    at = next(i for i, b in enumerate(blocks) if isinstance(b, Heading) and b.text == "Cautions")
    grid = blocks[at + 1]
    assert isinstance(grid, Grid)
    assert all(row.with_next for row in grid.rows[:-1])


def test_no_page_is_empty() -> None:
    pages = pypdf.PdfReader(io.BytesIO(sheet_bytes(given("flanged_bush")))).pages
    # Title block and foot have about 40 words.
    assert min(len(page.extract_text().split()) for page in pages) > 60
