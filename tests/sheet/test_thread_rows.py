"""Threads on paper: what a hand reads, row by row."""

from __future__ import annotations

import re
from csv import DictReader

import pytest

from tests.thread_jobs import BEFORE, but, cap, job, pin, planned, relieved, tapped, thread_passes
from turnsketch.job import Job, Operation
from turnsketch.part.records import Section
from turnsketch.part.resolve import resolve
from turnsketch.plan_records import Plan
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.csv_file import csv_text
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.pass_table import pass_table
from turnsketch.sheet.records import SheetContent, SheetInput, SheetRow

FLANK = job(relieved(), *BEFORE, Operation("thread", 32))
STRAIGHT = job(relieved(), *BEFORE, Operation("thread", 32, infeed="straight"))
INSIDE = job(
    cap(
        Section("cylinder", thread="M24x1.5", thread_length="18", length="24"),
        Section("cylinder", diameter="16", length="16"),
        through=True,
    )
)


def content(made: Job) -> SheetContent:
    """Return the sheet of a job."""
    plan: Plan = planned(made)
    assert plan.source is not None
    shop = plan.source.shop
    given = SheetInput(
        plan,
        resolve(made.part, made.units),
        made,
        shop.lathes[0],
        shop.chucks[0],
        shop.tools,
        shop.materials[0],
    )
    return sheet_content(given)


def rows(made: Job) -> list[SheetRow]:
    """Return the rows of a job's thread, and what stands with them."""
    every = content(made).setups[0].rows
    return [r for r in every if r.what == "thread" or r.kind == "gearbox" or r.number == "W"]


def test_every_pass_says_where_x_stands() -> None:
    cuts = [r for r in rows(STRAIGHT) if r.kind == "pass"]
    assert [r.number for r in cuts] == [str(p.number) for p in thread_passes(planned(STRAIGHT))]
    xs = [float(r.text.setting) for r in cuts]
    assert xs == sorted(xs, reverse=True)
    assert xs[-3:] == [9.64, 9.64, 9.64]
    assert all(round(x / 0.02, 6) == round(x / 0.02) for x in xs[:-3]), "easy figures"
    first = cuts[0]
    assert first.text.start == "Z+5.3"
    assert first.text.cut_to.startswith("Z −16.")
    assert first.text.then == ("X out 14", "REVERSE back")
    assert first.text.back == "Z+5.3"
    assert (first.feed, first.drive) == ("1.75", "power")
    assert cuts[1].wheel.startswith("in 0t ")
    assert cuts[1].wheel_from == f"from X {xs[0]:.2f}"


def test_along_the_flank_x_stands_still_and_the_slide_goes_on() -> None:
    cuts = [r for r in rows(FLANK) if r.kind == "pass"]
    assert cuts[0].text.setting == "11.83\nslide\n0t 19d"
    assert {r.text.setting.split("\n")[0] for r in cuts} == {"11.83"}
    assert cuts[1].wheel == "slide 0t 8d"
    assert cuts[1].wheel_from == "from 0.380"
    assert cuts[-3].text.setting.endswith("0t 63.1d")
    assert [r.wheel for r in cuts[-2:]] == ["", ""], "spring passes feed nothing in"
    swivel = next(r for r in content(FLANK).setups[0].rows if "29.5°" in r.words)
    assert "scale 60.5°" in swivel.words
    assert swivel.kind == "swivel"


def test_gearbox_and_half_nuts_stand_before_the_first_pass() -> None:
    first, *_, last = rows(FLANK)
    assert first.kind == last.kind == "gearbox"
    assert "Gearbox to 1.75 mm." in first.words
    assert "KEEP THE HALF-NUTS CLOSED" in first.words
    assert "Stop in the relief, never beyond Z −1" in first.words
    assert "rpm for the hand" in first.words
    assert "gearbox back to feed" in last.words


@pytest.mark.parametrize("hand", ["", " LH"])
def test_the_limit_and_the_speed_are_never_told_beyond_what_they_are(hand: str) -> None:
    """Rounded toward the wall, Z-12.857 would read Z-12.9: past the last of the room."""
    made = job(relieved(f"M12{hand}"), *BEFORE, Operation("thread", 32))
    setting = thread_passes(planned(made))[0].thread
    assert setting is not None
    (first,) = [r for r in rows(made) if r.kind == "gearbox" and not r.number.endswith("b")]
    told = re.search(r"never beyond Z −(\d+(?:\.\d+)?)", first.words)
    if told:
        assert 0.0 <= -float(told[1]) - setting.last_z <= 0.1
    speed = re.search(r"At most (\d+) rpm", first.words)
    assert speed
    assert 0.0 <= setting.hand_rpm - float(speed[1]) < 1.0
    assert bool(told) == (not hand)


@pytest.mark.parametrize(
    ("mm", "way", "text"),
    [(-12.857, -1.0, "−12.8"), (-12.8, -1.0, "−12.8"), (9.58, 1.0, "+9.5"), (-0.04, -1.0, "0")],
)
def test_a_limit_is_rounded_away_from_what_stands_behind_it(
    mm: float, way: float, text: str
) -> None:
    assert Numbers("mm", 2, 2, 0.01).short_of(mm, way) == text
    inches = Numbers("inch", 3, 3, 0.001).short_of(-0.4576 * 25.4, -1.0)
    assert inches == "−0.45"


@pytest.mark.parametrize(
    ("thread", "words"),
    [
        ("M12x1.5", "Half-nuts may close at any place."),
        ("M12x1.25", "Close the half-nuts at any mark of the thread dial, always."),
        ("M12x1.75", "KEEP THE HALF-NUTS CLOSED"),
    ],
)
def test_the_half_nuts_by_leadscrew_and_dial(thread: str, words: str) -> None:
    """Leadscrew of 3 mm: 1.5 any place, 1.25 by its dial's plate, 1.75 never open."""
    assert words in rows(job(relieved(thread), *BEFORE, Operation("thread", 31)))[0].words


def test_a_left_hand_thread_says_so() -> None:
    left = rows(job(relieved("M12 LH"), *BEFORE, Operation("thread", 32)))
    assert "AWAY from the chuck" in left[0].words
    assert "usual way again" in left[-1].words
    assert left[1].text.start.startswith("Z−19")


def test_without_room_the_row_says_turn_by_hand() -> None:
    close = rows(job(pin(), *BEFORE, Operation("thread", 32, infeed="straight")))
    assert "NO ROOM behind it: turn the last turns by hand, never beyond Z −19" in close[0].words
    assert close[1].text.then[0] == "X out 14 WHILE IT RUNS"


def test_the_stop_over_wires() -> None:
    stop = next(r for r in rows(STRAIGHT) if r.number == "W")
    assert "three wires of 1.010" in stop.words
    assert "12.195 to 12.345" in stop.words
    assert "feed X in by e" in stop.words
    assert stop.expected == "12.195\n12.345"
    slide = next(r for r in rows(FLANK) if r.number == "W")
    assert "feed the slide in by 0.57 × e" in slide.words


def test_a_bore_is_checked_by_plug_gauge() -> None:
    stop = next(r for r in rows(INSIDE) if r.number == "W")
    assert "plug gauge of M24x1.5-6H" in stop.words
    cuts = [r for r in rows(INSIDE) if r.kind == "pass"]
    assert cuts[0].text.then[0].startswith("X in ")
    assert float(cuts[-1].text.setting) == pytest.approx(24.22, abs=0.011)


def test_taps_are_turned_by_hand() -> None:
    row = next(r for r in content(job(tapped())).setups[0].rows if r.what == "tap")
    assert row.rpm == "hand"
    assert row.text.cut_to == "depth\n20"
    assert row.text.then == ("turn it back out",)
    assert "16 turns, half a turn back after each" in row.notes[-1]


def test_an_inch_thread_is_told_in_threads_an_inch() -> None:
    end = Section("cylinder", thread="1/2-13 UNC", length=".75", thread_length=".6")
    rest = Section("cylinder", diameter="1", length="1")
    made = job(
        but(pin(), sections=(end, rest)),
        lathe="Boathouse", units="inch", bar="1 1/4", length="4", grip="1",
    )  # fmt: skip
    cuts = [r for r in rows(made) if r.kind == "pass"]
    assert {r.feed for r in cuts} == {"13 tpi"}
    assert "Gearbox to 13 threads an inch." in rows(made)[0].words
    assert "any numbered line" in rows(made)[0].words


def test_the_detail_holds_all_of_a_thread() -> None:
    detail = next(d for d in content(FLANK).setups[0].details if "single point" in d.title)
    facts = {fact.label: fact.value for fact in detail.facts}
    assert facts["Thread"] == "M12x1.75-6g"
    assert facts["X at full depth"] == "9.64 with this tip"
    assert facts["Slide at full depth"] == "1.261 mm, dial 0t 63.1d"
    assert facts["Its scale shows"] == "60.5°"
    assert facts["Over wires"] == "12.195 to 12.345"
    assert facts["Gearbox"] == "1.75 mm"


def test_the_lever_plan_has_the_gearbox() -> None:
    line = next(o for o in content(FLANK).setups[0].operations if o.kind.startswith("thread"))
    assert line.kind == "thread, gearbox 1.75 mm"
    assert line.limited_by == "hand at the thread's end"


def test_instruments_and_tools() -> None:
    sheet = content(FLANK)
    assert "three wires of 1.0104 mm" in sheet.instruments
    assert "plug gauge M8x1.25-6H" in content(job(tapped())).instruments
    line = next(t for t in sheet.setups[0].tools if t.tool.number == 32)
    assert line.nose == "60° point, tip r 0.2"
    assert "square to the work by the thread gauge" in line.height


def test_every_box_has_its_own_name() -> None:
    every = content(FLANK).setups[0].rows
    grid = pass_table(every, 1, 270.0)
    names = [
        cell.name
        for row in grid.rows
        for cell in row.cells
        if cell is not None and hasattr(cell, "name")
    ]
    assert len(names) == len(set(names)) > 20


def test_the_table_as_csv() -> None:
    lines = list(DictReader(csv_text(planned(FLANK)).splitlines()))
    cuts = [line for line in lines if line["operation"] == "thread"]
    assert {line["thread"] for line in cuts} == {"M12x1.75-6g"}
    assert {line["half_nuts"] for line in cuts} == {"stay closed"}
    assert {line["infeed"] for line in cuts} == {"flank"}
    last = cuts[-3]
    assert float(last["top_slide_mm"]) == pytest.approx(1.261, abs=1e-3)
    assert float(last["end_x_diameter_mm"]) == pytest.approx(9.64)
    over = [line for line in cuts if line["over_wires_lower_mm"]]
    assert [float(over[0][f"over_wires_{end}_mm"]) for end in ("lower", "upper")] == pytest.approx(
        [12.195, 12.345], abs=5e-4
    )
    assert {line["thread"] for line in lines if line["operation"] != "thread"} == {""}
