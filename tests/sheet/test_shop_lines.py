"""Lines of the sheet that stand only where the part needs them."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from typing import Any

import msgspec
import pypdf
import pytest

from turnsketch.checking.records import Clearance, PassResult, SetupReplay
from turnsketch.geometry.elements import Point
from turnsketch.part.outline_records import SectionInfo, Size
from turnsketch.plan_records import CentreWork, EndsCheck, Finding, MeasureStop
from turnsketch.sheet.content import sheet_content, sheet_numbers
from turnsketch.sheet.dry_run import dry_run_lines
from turnsketch.sheet.fine_feed import fine_feed_lines
from turnsketch.sheet.hand_work import coolant_for, deburr_words, finish_lines
from turnsketch.sheet.pdf import sheet_bytes
from turnsketch.sheet.records import SheetInput, SheetRow
from turnsketch.sheet.rescue import rescue_lines
from turnsketch.sheet.stop_text import last_chance, measure_row, stop_case
from turnsketch.shop.files import demo_shop


def change(record: Any, **values: Any) -> Any:
    return msgspec.structs.replace(record, **values)


def text_of(given: SheetInput, **options: Any) -> str:
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(given, **options)))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def with_setup(given: SheetInput, **values: Any) -> SheetInput:
    setup = change(given.plan.setups[0], **values)
    return replace(given, plan=change(given.plan, setups=(setup,)))


def stop(given: SheetInput, **values: Any) -> tuple[Any, SheetRow]:
    """Return the passes with the stop before pass 9 changed, and its row."""
    passes = list(given.plan.setups[0].passes)
    passes[8] = change(passes[8], measure=change(passes[8].measure, **values))
    return passes, measure_row(passes, 8, sheet_numbers(given), given.material)


# Measure stops


def test_a_kept_x_takes_the_measured_diameter(pin: SheetInput) -> None:
    passes, row = stop(pin)
    assert stop_case(passes, 8) == "kept"
    assert row.words.startswith("Leave X where it cut. STOP the spindle.")
    assert "Enter what you measured as the present X" in row.words
    assert "above 0.01: call" in row.words
    assert "first check it with its standard" in row.words


def test_a_moved_x_is_shifted_by_measured_minus_expected(pin: SheetInput) -> None:
    passes, _ = stop(pin)
    before = passes[7]
    moves = (*before.moves, msgspec.structs.replace(before.moves[-1], to=Point(40.0, 18.0)))
    away = type(before.readings[-1])(36.0, 40.0)
    passes[7] = change(before, moves=moves, readings=(*before.readings, away))
    assert stop_case(passes, 8) == "moved"
    row = measure_row(passes, 8, sheet_numbers(pin), pin.material)
    assert "add measured minus expected to the X shown" in row.words
    assert "Leave X" not in row.words


def test_what_another_tool_cut_sets_this_one_by_touch(pin: SheetInput) -> None:
    passes, _ = stop(pin)
    passes[7] = change(passes[7], tool=1)
    assert stop_case(passes, 8) == "other tool"
    row = measure_row(passes, 8, sheet_numbers(pin), pin.material)
    assert "Touch T2 on it and enter what you measured as X." in row.words
    assert "call" not in row.words


def test_a_set_tool_only_checks_what_another_cut(pin: SheetInput) -> None:
    passes, _ = stop(pin)
    again = change(
        passes[8], number=10, measure=MeasureStop((-65.0,), 30.8, "caliper", "the next cut")
    )
    passes = [*passes[:9], again]
    assert stop_case(passes, 9) == "check"
    assert "enter nothing" in measure_row(passes, 9, sheet_numbers(pin), pin.material).words


def test_a_warm_steel_part_reads_too_large(pin: SheetInput) -> None:
    # Worked from common practice: Ø25 steel 20 K warm reads 0.006 large.
    steel = next(m for m in demo_shop().materials if m.name == "mild steel")
    _, row = stop(replace(pin, material=steel))
    assert "20 K warm it reads 0.006 too large" in row.words
    wide = list(pin.plan.setups[0].passes)
    wide[8] = change(wide[8], size=change(wide[8].size, lower=24.7, upper=25.3))
    assert "cool" not in measure_row(wide, 8, sheet_numbers(pin), steel).words


def test_the_fourth_sample_row_of_the_bench(pin: SheetInput) -> None:
    # "M STOP, cool, measure at Z-30, Z-55: expect 25.40, enter it as X (differ > 0.01: call)"
    _, row = stop(pin)
    assert (row.number, row.expected, row.places) == ("M", "25.40", ("Z −30", "Z −55"))
    for words in ("STOP", "cool", "Measure at Z −30, Z −55", "above 0.01: call"):
        assert words in row.words


def test_last_chance_is_the_way_to_the_lower_limit(pin: SheetInput) -> None:
    seat = pin.plan.setups[0].passes[8]
    numbers = sheet_numbers(pin)
    # CALC: 24.99 - 24.987.
    assert last_chance(seat, numbers) == "0.003"
    assert last_chance(change(seat, last_on_surface=False), numbers) == ""
    assert last_chance(change(seat, size=change(seat.size, lower=24.79)), numbers) == "0.20"


# Fine feed, rescue, edges, surfaces


def test_fine_feed_where_the_readout_is_too_coarse(pin: SheetInput) -> None:
    numbers, setup = sheet_numbers(pin), pin.plan.setups[0]
    first, second = fine_feed_lines(pin, setup, numbers)
    assert "5°44'" in first
    assert "seat Ø25 h6 (pass 9)" in first
    # CALC: 0.2 x sin(5.739°) x 0.02 of slide = 0.004 on diameter.
    assert "0.10 of slide is 0.02 on Ø, one division (0.02 mm) is 0.004 mm on Ø" in second
    assert math.sin(math.radians(5 + 44 / 60)) * 2 * 0.10 == pytest.approx(0.02, abs=5e-5)
    across = change(pin.lathe, top_slide=change(pin.lathe.top_slide, scale_zero="across"))
    assert "84°16'" in fine_feed_lines(replace(pin, lathe=across), setup, numbers)[0]
    fine = change(pin.lathe, readout=change(pin.lathe.readout, x_step_mm=0.001))
    given = replace(pin, lathe=fine)
    assert fine_feed_lines(given, setup, sheet_numbers(given)) == ()
    assert "5°44'" in text_of(replace(pin, plan=change(pin.plan, findings=())))
    assert "5°44'" not in text_of(replace(given, plan=change(pin.plan, findings=())))


def seat_section(pin: SheetInput, size: Size) -> SheetInput:
    def with_diameter(section: SectionInfo) -> SectionInfo:
        return replace(section, diameter=size) if section.number == 3 else section

    sections = tuple(with_diameter(section) for section in pin.part.sections)
    return replace(pin, part=replace(pin.part, sections=sections))


def test_rescue_names_the_fits_below_a_close_seat(pin: SheetInput) -> None:
    close = seat_section(pin, Size(25.0, 24.987, 25.0, 24.9935, "h6 (ISO 286-2)"))
    (line,) = rescue_lines(close, sheet_numbers(pin))
    assert line.under == "under 24.987"
    # ISO 286-2: 25 h7 24.979, f7 24.959 to 24.980, e8 24.927 to 24.960.
    for words in ("24.979 it still is h7", "24.959 it still is f7", "24.927 it still is e8",
                  "a sleeve", "shorter part", "ask who signs"):  # fmt: skip
        assert words in line.words
    assert "If it came out too thin" in text_of(close)
    # 16 k6 ends at 16.001, one micrometre above h7: the sheet takes them as neighbours.
    k6 = seat_section(pin, Size(16.0, 16.001, 16.012, 16.0065, "k6 (ISO 286-2)"))
    assert "15.982 it still is h7" in rescue_lines(k6, sheet_numbers(pin))[0].words
    wide = seat_section(pin, Size(25.0, 24.8, 25.2, 25.0, "ISO 2768-m"))
    assert rescue_lines(wide, sheet_numbers(pin)) == ()
    assert "If it came out too thin" not in text_of(wide)


@pytest.mark.parametrize(
    ("note", "words"),
    [("-0.3", "no burr, at most 0.3 mm off the edge"), ("+0.2", "at most 0.2 mm of burr may stand"),
     (None, "the print gives no edge note")],
)  # fmt: skip
def test_deburr_line_follows_the_edge_note(pin: SheetInput, note: str | None, words: str) -> None:
    part = change(pin.job.part, edges=note)
    given = replace(pin, job=change(pin.job, part=part))
    line = deburr_words(given, pin.plan.setups[0], sheet_numbers(pin))
    assert words in line
    assert "left-handed, clear of the jaws" in line


def test_deburring_stands_before_parting_off(pin: SheetInput) -> None:
    rows = sheet_content(pin).setups[0].rows
    index = next(i for i, row in enumerate(rows) if row.kind == "deburr")
    assert rows[index + 1].kind == "tool"
    assert rows[index + 2].what == "part off"


def test_coolant_follows_record_tool_and_material() -> None:
    shop = demo_shop()
    tools = {tool.number: tool for tool in shop.tools}
    materials = {material.name: material for material in shop.materials}
    assert coolant_for(tools[7], materials["brass"]) == "coolant"
    assert coolant_for(tools[6], materials["mild steel"]) == "coolant"
    assert coolant_for(tools[6], materials["brass"]) == "dry"
    assert coolant_for(tools[1], materials["mild steel"]) == "dry"


def test_surfaces_with_the_feed_that_meets_them(pin: SheetInput) -> None:
    (line,) = finish_lines(pin, sheet_numbers(pin))
    # CALC: f²/(18√3 r) at 0.10 and R0.4 is 0.80 µm, 1.2 to 2 times that in practice.
    assert (line.surface, line.printed, line.expected) == ("seat Ø25 h6", "Ra 1.6", "1.0 to 1.6")
    assert "Surfaces" in text_of(pin)
    sections = tuple(replace(s, roughness_um=None) for s in pin.part.sections)
    assert "Surfaces" not in text_of(replace(pin, part=replace(pin.part, sections=sections)))


# Dry run, levers, centre


def test_dry_run_lists_the_five_closest_once_each(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    results = tuple(
        PassResult(
            step.number, 0.0, 0.0, (),
            Clearance(20.0 - step.number, Point(-81.0, 16.0), "jaws", "insert", 1),
            Clearance(1.0 + step.number / 10, Point(-22.0, 12.5), "metal", "holder", 1),
        )
        for step in setup.passes
    )  # fmt: skip
    played = SetupReplay(1, results, (), False, 0.0, 0.0, 0.0)
    lines = dry_run_lines(setup, played, sheet_numbers(pin))
    assert len(lines) == 5
    distances = [float(line.clearance) for line in lines]
    assert distances == sorted(distances)
    assert lines[0].passes == "1"
    assert lines[0].to == "shoulder at Z −22, Ø25"
    assert len({(line.what, line.to) for line in lines}) == 5


def test_levers_name_the_pass_at_which_the_speed_changes(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    passes = tuple(change(p, rpm=1400.0) if p.number >= 5 else p for p in setup.passes)
    content = sheet_content(with_setup(pin, passes=passes))
    assert content.setups[0].operations[1].rpm == "1000\nfrom 5: 1400"


def test_centre_lines_only_on_a_centre(pin: SheetInput) -> None:
    assert not any("Centre:" in line for line in sheet_content(pin).setups[0].preflight)
    holding = change(pin.job.setups[0].holding, centre=True)
    job = change(pin.job, setups=(change(pin.job.setups[0], holding=holding),))
    steel = next(m for m in demo_shop().materials if m.name == "mild steel")
    given = with_setup(replace(pin, job=job, material=steel), stick_out_mm=160.0)
    lines = " ".join(sheet_content(given).setups[0].preflight)
    # Worked from common practice: 160 mm of steel grow 0.055 at 30 K.
    assert "160 mm grow 0.055 at 30 K" in lines
    assert "half the difference is the tailstock's error" in lines


def test_rows_of_the_centre_stand_before_their_pass(pin: SheetInput) -> None:
    assert all(row.kind != "centre" for row in sheet_content(pin).setups[0].rows)
    given = with_setup(
        pin, centre=CentreWork(from_pass=2), ends_check=EndsCheck(7, (-4.0, -50.0), (12.8, 25.8))
    )
    sheet = sheet_content(given).setups[0]
    index = next(i for i, row in enumerate(sheet.rows) if row.kind == "centre")
    assert sheet.rows[index + 1].number == "2"
    ends = next(row for row in sheet.rows if row.number == "E")
    assert (ends.places, ends.expected) == (("Z −4", "Z −50"), "12.80 / 25.80")
    assert "Half of what the two errors differ" in ends.words
    assert "half the difference" not in " ".join(sheet.preflight)


def test_near_places_say_how_much_the_tailstock_is_moved(pin: SheetInput) -> None:
    """CALC: 22 mm apart on 205: 205 / 44 of the difference."""
    check = EndsCheck(7, (-154.0, -176.0), (28.6, 28.6), 205.0, 205 / 44)
    given = with_setup(pin, centre=CentreWork(from_pass=2), ends_check=check)
    ends = next(row for row in sheet_content(given).setups[0].rows if row.number == "E")
    assert "22 apart on 205" in ends.words
    assert "4.66 times what the two errors differ (0.0466 for each 0.01)" in ends.words


def test_a_left_hand_tool_takes_the_paper_off(pin: SheetInput) -> None:
    content = sheet_content(pin).setups[0]
    assert "take t off Z" not in content.setting[0]
    setup = pin.plan.setups[0]
    tools = tuple(change(t, hand="left") if t.number == 2 else t for t in setup.tools)
    # Mirrored, so that its square edge is the right one; the reference is the nose's left side.
    tools = tuple(
        change(t, pieces=tuple(
            change(p, ring=tuple(Point(2 * t.nose_radius - q.z, q.r) for q in p.ring))
            for p in t.pieces))
        if t.number == 2 else t for t in tools
    )  # fmt: skip
    left = sheet_content(with_setup(pin, tools=tools)).setups[0]
    assert "T2: take t off Z" in left.setting[0]
    assert "straight edge" in left.tools[1].set_z
    # CALC: the right side stands 2 x 0.4 behind the reference.
    assert left.tools[1].enter_z == "−0.800"


def test_black_bar_line_only_on_a_black_bar(pin: SheetInput) -> None:
    assert "Black bar" not in " ".join(sheet_content(pin).setups[0].setting)
    job = change(pin.job, blank=change(pin.job.blank, skin="black"))
    assert "Black bar" in " ".join(sheet_content(replace(pin, job=job)).setups[0].setting)


# Details, stops, gauge


def test_cone_fit_line(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    taper = change(setup.passes[9].taper, half_angle=math.atan(0.05), rise_per_50=2.497)
    passes = tuple(change(p, taper=taper) if p.number == 10 else p for p in setup.passes)
    detail = sheet_content(with_setup(pin, passes=passes)).setups[0].details[0]
    words = " ".join(detail.words)
    assert "feed in e × 0.1 on Ø (1.00 off: 0.100)" in words
    assert "touch the tool again: Z is lost by swivelling" in words
    # Worked from common practice: 50 mm of travel at 1:10 moves the indicator 2.497 mm.
    assert 50 * math.sin(math.atan(0.05)) == pytest.approx(2.497, abs=5e-4)
    assert any(f.value.startswith("2.497 rise on 50 mm") for f in detail.facts)


def test_a_long_stop_is_broken_into_lines_and_not_cut_off(stopped_pin: SheetInput) -> None:
    message = "a long reason " * 30 + "with its very last word"
    long = Finding("gouge", "stop", message, 1, 12, -1.5, "")
    text = text_of(replace(stopped_pin, plan=change(stopped_pin.plan, findings=(long,))))
    assert text.count("with its very last word") > 2
    assert "…" not in text.replace("…  ", "").split("Passes")[0]


def test_gauge_page_only_when_asked_for_and_needed(pin: SheetInput) -> None:
    assert "Print at 100 %" not in text_of(pin)
    text = text_of(pin, gauge=True)
    assert "Print at 100 %" in text
    assert "this bar measures 50 mm" in text
    plain = tuple(s for s in pin.part.sections if s.kind not in ("arc", "taper"))
    part = replace(pin.part, sections=plain)
    assert "Print at 100 %" not in text_of(replace(pin, part=part), gauge=True)


def test_inch_gauge_has_an_inch_bar(inch_pin: SheetInput) -> None:
    assert "this bar measures 2 in" in text_of(inch_pin, gauge=True)
