"""How ties of the print come to the machine: a check while the work is held, its instrument."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import sheet_input
from turnsketch.job import Job
from turnsketch.part.records import Tie
from turnsketch.pipeline import plan
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.records import SheetContent, SheetRow


def content_of(job: Job) -> SheetContent:
    return sheet_content(sheet_input(plan(job)))


def checks(content: SheetContent) -> list[SheetRow]:
    return [r for setup in content.setups for r in setup.rows if r.number == "L"]


@pytest.fixture(scope="module")
def pin() -> SheetContent:
    return content_of(load_demo("slender_pin"))


def test_run_out_is_checked_by_indicator_and_is_no_length(pin: SheetContent) -> None:
    (row,) = checks(pin)
    assert "Dial indicator on upper seat Ø16 k6, then on lower seat Ø14 h6" in row.words
    assert "run-out 0.02 on the print" in row.words
    assert "length" not in row.words
    assert row.expected == "≤ 0.02"
    rows = list(pin.setups[0].rows)
    last = max(i for i, r in enumerate(rows) if r.surface.startswith(("upper", "lower")))
    assert rows.index(row) > last  # both seats stand


def test_no_tie_no_check() -> None:
    job = load_demo("slender_pin")
    bare = msgspec.structs.replace(job, part=msgspec.structs.replace(job.part, ties=()))
    assert not checks(content_of(bare))


def test_a_tie_to_the_end_that_is_parted_off_is_left_to_the_inspection() -> None:
    job = load_demo("stepped_pin")
    count = len(job.part.sections)
    tied = msgspec.structs.replace(job.part, ties=(Tie("square", (2, count), "0.05"),))
    assert not checks(content_of(msgspec.structs.replace(job, part=tied)))


def test_the_preflights_indicator_is_among_the_instruments(pin: SheetContent) -> None:
    assert any("Indicator on the cross slide" in line for line in pin.setups[0].preflight)
    assert "dial indicator on a stand" in pin.instruments
    assert "depth micrometer" not in pin.instruments


def test_the_lever_plan_says_how_many_changes_there_are(pin: SheetContent) -> None:
    # T1, T13 in the tailstock, T1 still in the post, T2, T6; 1400, 710, 1400, 180 turns a minute.
    assert pin.setups[0].changes == "3 tool changes, 3 gear changes"
    rows = [row.words for row in pin.setups[0].rows if row.kind == "tool"]
    assert "in the post still" in rows[2]
    assert "put in T1" not in rows[2]
