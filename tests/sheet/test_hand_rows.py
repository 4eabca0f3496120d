"""What a trainee at the lathe must find in the rows: where X begins, angles, holding, lands."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pypdf
import pytest

from turnsketch.cli_tables import plan_lines
from turnsketch.document.demo import load_demo
from turnsketch.document.files import load
from turnsketch.document.sheets import plan, sheet_input
from turnsketch.geometry.elements import Point
from turnsketch.picture.details import _beside
from turnsketch.sheet.content import sheet_content, sheet_numbers
from turnsketch.sheet.csv_file import csv_text
from turnsketch.sheet.lands import LEAST_LAND_MM, touch_place
from turnsketch.sheet.moves_text import row_texts
from turnsketch.sheet.pdf import sheet_bytes
from turnsketch.sheet.records import SheetInput, SheetRow
from turnsketch.sheet.tool_setting import tool_lines

CONE_SHAFT = {
    "format": "turnsketch-job", "version": 1, "units": "mm", "title": "Cone shaft",
    "part": {
        "name": "Cone shaft", "material": "mild steel", "inside_corners": "R0.8",
        "sections": [
            {"kind": "cylinder", "name": "end", "diameter": "15.8", "length": "20",
             "front_corner": "2x30°"},
            {"kind": "cylinder", "name": "seat", "diameter": "20 h7", "length": "25 ±0.05",
             "roughness": "Ra 1.6", "back_corner": "R2"},
            {"kind": "taper", "name": "cone", "front_diameter": "28", "length": "15",
             "angle": "10°"},
            {"kind": "cylinder", "name": "collar", "diameter": "36 ±0.05", "length": "10"},
        ],
    },
    "blank": {"diameter": "40", "length": "110", "front": "1", "skin": "bright"},
    "lathe": "Slipway 1",
    "setups": [{"name": "One holding", "holding": {"device": "Three-jaw 160", "grip": "25"}}],
}  # fmt: skip

LONG_BAR = {
    "format": "turnsketch-job", "version": 1, "units": "mm", "title": "Long bar",
    "part": {
        "name": "Long bar", "material": "brass", "inside_corners": "R0.8",
        "sections": [
            {"kind": "cylinder", "name": "tip", "diameter": "16", "length": "40",
             "front_corner": "1x45°"},
            {"kind": "cylinder", "name": "middle", "diameter": "20 h7", "length": "40"},
            {"kind": "cylinder", "name": "flange", "diameter": "28", "length": "15"},
        ],
    },
    "blank": {"diameter": "30", "length": "160", "front": "1", "skin": "bright"},
    "lathe": "Slipway 1",
    "setups": [
        {"name": "First", "holding": {"device": "Three-jaw 160", "grip": "100"}, "sections": [1]},
        {"name": "Second", "holding": {"device": "Three-jaw 160"}, "pull_out": "60",
         "sections": [2, 3]},
    ],
}  # fmt: skip


def planned(record: dict[str, Any], folder: Path) -> SheetInput:
    path = folder / "job.json"
    path.write_text(json.dumps(record), encoding="utf-8")
    found = load(path)
    return sheet_input(plan(getattr(found, "job", found)))


@pytest.fixture(scope="module")
def cone(tmp_path_factory: pytest.TempPathFactory) -> SheetInput:
    return planned(CONE_SHAFT, tmp_path_factory.mktemp("cone"))


@pytest.fixture(scope="module")
def bar(tmp_path_factory: pytest.TempPathFactory) -> SheetInput:
    return planned(LONG_BAR, tmp_path_factory.mktemp("bar"))


def rows_of(given: SheetInput, setup: int = 0) -> tuple[SheetRow, ...]:
    return sheet_content(given).setups[setup].rows


def last_taper(given: SheetInput) -> Any:
    return [s for s in given.plan.setups[0].passes if s.taper and s.surface.startswith("cone")][-1]


def test_a_taper_behind_a_shoulder_prints_where_it_begins(cone: SheetInput) -> None:
    step = last_taper(cone)
    row = next(r for r in rows_of(cone) if r.number == str(step.number))
    assert (row.text.setting, row.text.start) == ("27.87", "Z−45\nfaces from\nX 28.87")
    assert row.text.cut_to.startswith("slide to\n8t 63.1d")
    assert row.text.motions <= 4
    assert row.wheel_from == "from X 28.37"
    # CALC: 0.50 on diameter is a tenth of a turn of 5 mm: 10 divisions of 0.05.
    assert row.wheel == "in 0t 10d"


def test_table_and_csv_show_the_start_of_the_taper(cone: SheetInput) -> None:
    step = last_taper(cone)
    line = next(x for x in plan_lines(cone.plan, str) if x.startswith(f"{step.number} "))
    assert "27.870" in line
    assert "38.000" not in line
    rows = csv.DictReader(io.StringIO(csv_text(cone.plan), newline=""))
    found = next(r for r in rows if r["pass"] == str(step.number))
    assert (found["start_x_diameter_mm"], found["start_z_mm"]) == ("27.87", "-45")


def test_after_the_slide_x_is_told_by_the_readout(cone: SheetInput) -> None:
    row = next(r for r in rows_of(cone) if r.number == str(last_taper(cone).number))
    assert row.text.then == ("face out until it shows 38", "slide back to 0")
    step, numbers = last_taper(cone), sheet_numbers(cone)
    seen = row_texts(step, numbers, fresh_tool=False, slide="1t", slide_seen=True)
    assert any("face out to X 38" in text.then for text in seen)


def test_each_angle_of_the_slide_has_a_row(cone: SheetInput) -> None:
    rows = rows_of(cone)
    swivels = [i for i, row in enumerate(rows) if row.kind == "swivel"]
    words = [rows[i].words for i in swivels]
    assert [w.split(" to ")[1].split(" ")[0].rstrip(",") for w in words] == [
        "30°", "10°", "5°44'", "0°",
    ]  # fmt: skip
    # CALC: 50 sin 10° = 8.682.
    assert "check 8.682 on 50" in words[1]
    assert "Touch T2 again and enter: X on Ø15.80" in words[1]
    # The fine feed stands at its own tool, behind the last row at another angle.
    fine = rows[swivels[2] :]
    assert fine[1].kind == "tool"
    assert fine[1].tool == 9
    assert "touch it again and enter (X on Ø36.00" in fine[1].words
    stop = next(r for r in rows[swivels[1] :] if r.kind == "measure")
    assert "Touch T2 on it and enter" in stop.words


def test_a_falling_taper_never_brings_x_nearer() -> None:
    # The readout stands at the taper's start, above its end: a smaller X out would be inward.
    from turnsketch.plan_records import Reading
    from turnsketch.sheet.motions import Motion
    from turnsketch.sheet.numbers import Numbers
    from turnsketch.sheet.slide_rows import _slide_phrase
    from turnsketch.shop.records import Readout

    numbers = Numbers.of("mm", Readout())
    main = Motion(True, "XZ", Reading(33, -45), Reading(28, -60))
    out = Motion(False, "X", Reading(28, -60), Reading(31, -60))
    assert _slide_phrase(out, main, numbers, seen=False) == "X out until it shows 36"


def test_a_bar_pulled_out_is_the_first_row(bar: SheetInput) -> None:
    assert all(row.kind != "setup" for row in rows_of(bar))
    row = rows_of(bar, 1)[0]
    assert row.kind == "setup"
    assert "pull the bar out 60, clamp" in row.words
    assert "stick-out 119, grip 40" in row.words


def test_only_edges_of_the_setup_are_broken(bar: SheetInput) -> None:
    # The shoulder at Z-40 has bar behind it until the second holding.
    assert all(row.kind != "deburr" for row in rows_of(bar))
    (line,) = [row.words for row in rows_of(bar, 1) if row.kind == "deburr"]
    assert "at Z −40, −80:" in line


@pytest.mark.parametrize("name", ["knob", "post_cap", "stepped_pin"])
def test_only_a_land_that_can_be_spanned_is_touched(name: str) -> None:
    found = load_demo(name)
    given = sheet_input(plan(getattr(found, "job", found)))
    setup, numbers = given.plan.setups[0], sheet_numbers(given)
    for line in tool_lines(given, setup, numbers):
        if "left by pass" not in line.set_x:
            continue
        step = setup.passes[int(line.set_x.rsplit(" ", 1)[1]) - 1]
        here, ways = step.start, []
        for move in step.moves:
            if move.kind == "cut" and abs(move.to.r - here.r) < 1e-9:
                # In front of the raw face there is air.
                ways.append(abs(min(here.z, setup.raw_front_z) - move.to.z))
            here = move.to
        assert max(ways) >= LEAST_LAND_MM


def test_without_a_land_a_trial_cut_is_asked_for(pin: SheetInput) -> None:
    setup, numbers = pin.plan.setups[0], sheet_numbers(pin)
    assert touch_place(pin, setup, 0, numbers) == "the bar, Ø32"
    black = msgspec.structs.replace(pin.job.blank, skin="black")
    given = replace(pin, job=msgspec.structs.replace(pin.job, blank=black))
    assert touch_place(given, setup, 0, numbers) == ""
    assert touch_place(given, setup, 2, numbers) == "Ø30.80 left by pass 2"


def test_surfaces_name_the_pass_of_the_cylinder(cone: SheetInput) -> None:
    (line,) = [f for f in sheet_content(cone).finish if f.surface.startswith("seat")]
    step = cone.plan.setups[0].passes[int(line.passes) - 1]
    assert step.direction == "turn"
    assert line.feed != "hand"


def test_a_length_with_its_own_tolerance_is_measured(cone: SheetInput) -> None:
    content = sheet_content(cone)
    (row,) = [r for r in content.setups[0].rows if r.number == "L"]
    assert "depth micrometer: 25 ±0.05 on the print, 24.950 to 25.050" in row.words
    assert "depth micrometer" in content.instruments


def test_pages_have_no_orphans(cone: SheetInput) -> None:
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(cone)))
    pages = [page.extract_text() for page in reader.pages]
    for text in pages:
        # Title block, foot, and something between them.
        assert len(text.split()) > 60, text
        if "by the top slide" in text:
            assert "Set the scale to" in text
    assert "If it came out too thin" in next(t for t in pages if "Planned by" in t)


def test_labels_stand_beside_the_way() -> None:
    way = (Point(0.0, -5.0), Point(-10.0, -8.0))
    assert _beside(way[0], way)[0] == "start"
    anchor, (aside, below) = _beside(way[1], way)
    assert anchor == "end"
    assert aside < 0
    assert below < -3


def test_the_change_point_is_an_easy_figure_and_not_nearer(pin: SheetInput) -> None:
    from turnsketch.sheet.change_rows import _away

    numbers = sheet_numbers(pin)
    assert (_away(119.2, numbers), _away(60.0, numbers)) == (120.0, 60.0)
    inch = replace(numbers, units="inch")
    assert (_away(4.7245, inch), _away(2.4245, inch)) == (4.8, 2.5)


def test_no_pip_only_where_a_cut_reaches_the_axis(pin: SheetInput, cone: SheetInput) -> None:
    lines = {t.tool.number: t.height for t in sheet_content(cone).setups[0].tools}
    assert "no pip" in lines[1]
    assert "no pip" not in lines[9]
    assert not any("Dog" in line for line in sheet_content(pin).setups[0].preflight)
    setup = pin.job.setups[0]
    holding = msgspec.structs.replace(setup.holding, kind="between centres", centre=True)
    job = msgspec.structs.replace(
        pin.job, setups=(msgspec.structs.replace(setup, holding=holding),)
    )
    lines_of = " ".join(sheet_content(replace(pin, job=job)).setups[0].preflight)
    for words in ("Dog and driver", "driver's slot", "nothing loose", "guard on"):
        assert words in lines_of
