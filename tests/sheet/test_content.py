from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from typing import Any

import msgspec

from turnsketch.part.outline_records import InspectionRow, Size
from turnsketch.sheet.advice import preflight
from turnsketch.sheet.content import SheetInput, sheet_content
from turnsketch.sheet.records import SheetRow
from turnsketch.sheet.touching import face_touch
from turnsketch.shop.records import Readout


def rows_of(given: SheetInput) -> tuple[SheetRow, ...]:
    return sheet_content(given).setups[0].rows


def change(record: Any, **values: Any) -> Any:
    return msgspec.structs.replace(record, **values)


def test_content_imports_neither_pdf_nor_plot_library() -> None:
    code = (
        "import sys, turnsketch.sheet.content\n"
        "bad = {'reportlab', 'matplotlib'} & {name.split('.')[0] for name in sys.modules}\n"
        "sys.exit(bool(bad))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_every_pass_has_one_numbered_row(pin: SheetInput) -> None:
    numbers = [row.number for row in rows_of(pin) if row.kind == "pass"]
    assert numbers == [str(i) for i in range(1, 14)]


def test_a_measure_stop_stands_before_its_finish(pin: SheetInput) -> None:
    rows = rows_of(pin)
    index = next(i for i, row in enumerate(rows) if row.kind == "measure")
    assert rows[index].expected == "25.40"
    assert rows[index].places == ("Z −30", "Z −55")
    assert rows[index + 1].number == "9"
    assert "last chance 0.003" in rows[index + 1].notes
    assert rows[index + 1].after == ("24.987", "25.000")


def test_wheel_way_from_the_last_x(pin: SheetInput) -> None:
    row = next(row for row in rows_of(pin) if row.number == "4")
    # CALC: 28.20 - 25.80 = 2.40 on diameter, 0.05 a division, 48 divisions.
    assert (row.wheel, row.wheel_from) == ("in 0t 48d", "from X 28.20")
    first = next(row for row in rows_of(pin) if row.number == "2")
    assert first.wheel == ""


def test_tool_changes_and_their_touches(pin: SheetInput) -> None:
    content = sheet_content(pin)
    tools = [row.tool for row in content.setups[0].rows if row.kind == "tool"]
    assert tools == [1, 2, 3, 4, 5]
    lines = content.setups[0].tools
    assert lines[0].set_x == "touch the bar, Ø32"
    assert (lines[0].set_z, lines[0].enter_z) == ("left side on the raw front", "+1.000")
    assert lines[1].set_x == "touch Ø12.80 left by pass 6"
    assert lines[1].enter_z == "0.000"
    assert "by eye" in lines[2].set_z


def test_black_bar_is_no_reference(pin: SheetInput) -> None:
    job = change(pin.job, blank=change(pin.job.blank, skin="black"))
    line = sheet_content(replace(pin, job=job)).setups[0].tools[0]
    assert "no reference" in line.set_x


def test_blade_read_at_its_right_corner_enters_its_width(pin: SheetInput) -> None:
    blade = next(t for t in pin.plan.setups[0].tools if t.number == 5)
    touch = face_touch(blade)
    assert touch is not None
    assert touch.offset == 0.0
    moved = tuple(
        change(p, ring=tuple(type(q)(q.z - 3.0, q.r) for q in p.ring)) for p in blade.pieces
    )
    touch = face_touch(change(blade, reference="right", pieces=moved))
    assert touch is not None
    assert touch.offset == 3.0


def test_details_have_letters_and_rows_point_to_them(pin: SheetInput) -> None:
    sheet = sheet_content(pin).setups[0]
    assert [detail.letter for detail in sheet.details] == ["A", "B"]
    facts = {fact.label: fact.value for fact in sheet.details[0].facts}
    assert facts["Set the scale to"] == "17.354°"
    assert facts["Slide dial"] == "from 0 to 4t 19.1d"
    assert sheet.details[0].ways == (("10", "25.00", "−57.800", "30.00", "−65.800"),)
    assert len(sheet.details[1].steps) == 25
    assert "see detail B" in next(r for r in sheet.rows if r.number == "12").notes


def test_cuts_of_one_taper_share_a_detail(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    taper = setup.passes[9]
    again = change(taper, number=11)
    passes = (
        *setup.passes[:10],
        again,
        *(change(p, number=p.number + 1) for p in setup.passes[10:]),
    )
    plan = change(pin.plan, setups=(change(setup, passes=passes),))
    sheet = sheet_content(replace(pin, plan=plan)).setups[0]
    assert [detail.letter for detail in sheet.details] == ["A", "B"]
    assert sheet.details[0].title.startswith("A   Passes 10, 11, T2")
    labels = [fact.label for fact in sheet.details[0].facts]
    assert [way[0] for way in sheet.details[0].ways] == ["10", "11"]
    assert labels.count("Slide travel") == 1


def test_a_turned_diameter_is_told_when_the_plan_gives_no_size(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    passes = tuple(change(p, size=None) for p in setup.passes)
    plan = change(pin.plan, setups=(change(setup, passes=passes),))
    rows = rows_of(replace(pin, plan=plan))
    assert next(row for row in rows if row.number == "4").after == ("Ø25.80",)
    assert next(row for row in rows if row.number == "1").after == ()


def test_findings_are_sorted_and_stops_collected(stopped_pin: SheetInput) -> None:
    content = sheet_content(stopped_pin)
    assert [line.severity for line in content.findings] == ["stop", "caution", "caution", "note"]
    assert content.stops == ("Replay: pass 12 cuts 0.05 mm into the round. (pass 12, Z −1.5)",)


def test_inch_sheet_has_inch_decimals_and_ranges(inch_pin: SheetInput) -> None:
    content = sheet_content(inch_pin)
    rows = content.setups[0].rows
    settings = [row.text.setting for row in rows if row.text.setting]
    assert all(re.fullmatch(r"(Z )?[−+]?\d+\.\d{4}", text) for text in settings)
    assert "micrometer 0-1 in" in content.instruments
    assert {f.label: f.value for f in content.title}["Units"] == "in, X = Ø"
    seat = next(line for line in content.inspection if line.what == "seat")
    assert (seat.lower, seat.upper) == ("0.9837", "0.9843")


def test_a_size_on_the_border_of_two_micrometers_asks_for_both(pin: SheetInput) -> None:
    plan = change(
        pin.plan,
        setups=(
            change(
                pin.plan.setups[0],
                passes=tuple(change(p, measure=None) for p in pin.plan.setups[0].passes),
            ),
        ),
    )
    assert "micrometers 0-25 and 25-50 mm" in " ".join(
        sheet_content(replace(pin, plan=plan)).instruments
    )


def test_reference_sizes_have_no_limits(pin: SheetInput) -> None:
    line = next(line for line in sheet_content(pin).inspection if line.reference)
    assert (line.lower, line.upper, line.aim) == ("", "", "72.000")


def test_what_is_not_needed_is_left_out(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    plain = change(setup, passes=setup.passes[:6], operations=setup.operations[:2])
    plan = change(pin.plan, setups=(plain,), findings=())
    content = sheet_content(replace(pin, plan=plan))
    sheet = content.setups[0]
    assert sheet.details == ()
    assert all(row.kind != "measure" for row in sheet.rows)
    assert [line.tool.number for line in sheet.tools] == [1]
    assert content.coolant == ("T1 with coolant",)
    # The preflight needs the indicator on every job.
    assert "dial indicator on a stand" in content.instruments
    assert "depth micrometer" not in content.instruments


def test_instruments_follow_the_tolerance(pin: SheetInput) -> None:
    wide = Size(40.0, 39.7, 40.3, 40.0, "ISO 2768-m")
    row = InspectionRow("flange", "Ø40", wide, "diameter", False, 1)
    part = replace(pin.part, inspection=(row,))
    found = sheet_content(replace(pin, part=part)).instruments
    assert "caliper" in found
    fine = replace(row, size=replace(wide, lower=39.99, upper=40.01))
    found = sheet_content(replace(pin, part=replace(part, inspection=(fine,)))).instruments
    assert any("micrometer" in name for name in found)


def test_preflight_names_the_readouts_signs() -> None:
    from turnsketch.shop.records import Dial

    dial = Dial("inch", 0.2, 200)
    usual = " ".join(preflight(Readout(), dial, "mm"))
    assert "Z must count up" in usual
    assert "1.00" in usual
    assert "2.00" in usual
    assert "twice that on diameter" in usual
    other = " ".join(preflight(Readout(counts_z_up_away_from_chuck=False), dial, "inch"))
    assert "Z must count DOWN" in other
    assert ".100" in other


def test_cautions_defer_and_promise_nothing(pin: SheetInput) -> None:
    words = " ".join(sheet_content(pin).cautions).lower()
    for needed in (
        "gloves", "chuck key", "stop the spindle to measure", "eye protection", "shop's rules",
        "machine's manual", "local codes", "authorised person",
    ):  # fmt: skip
        assert needed in words
    assert "safe" not in words
