"""Rows that set the tailstock over for a taper and back, and the order of work around them."""

from __future__ import annotations

from functools import cache

import pytest

from tests.pipeline.set_over_jobs import TAPER, between_centres
from turnsketch.document.sheets import sheet_input
from turnsketch.part.records import Section
from turnsketch.pipeline import plan
from turnsketch.plan_records import SetupPlan
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.records import SheetRow


@cache
def made(*sections: Section) -> tuple[SetupPlan, tuple[SheetRow, ...]]:
    planned = plan(between_centres(*sections))
    return planned.setups[0], sheet_content(sheet_input(planned)).setups[0].rows


def over(setup: SetupPlan) -> list[int]:
    return [p.number for p in setup.passes if p.taper is not None and p.taper.set_over]


def test_it_is_set_over_before_the_taper_and_back_behind_it() -> None:
    setup, rows = made()
    there, back = (r for r in rows if r.kind == "set-over")
    # CALC: 205 x sin(atan(1/100)) = 2.0499
    assert "over by 2.050 mm toward you" in there.words
    assert "0.500 on 50 mm" in there.words
    assert there.pass_number == over(setup)[0]
    assert "back by 2.050 mm, away from you" in back.words
    assert "light cut at two places" in back.words
    assert "stands still along Ø28.00, finished before" in back.words, "it is not cut again"
    assert rows.index(back) > max(i for i, r in enumerate(rows) if r.kind == "pass")


def test_x_is_found_anew_where_the_taper_is_cut() -> None:
    """CALC: from Z+2, where the row begins, to Z-5 a taper 1:50 grows by 7 / 50 = 0.14 on Ø."""
    _, rows = made()
    there = next(r for r in rows if r.kind == "set-over")
    assert "X at Z −5 on Ø22.00: micrometer less 0.140" in there.words


def test_cylinders_are_finished_before() -> None:
    setup, _ = made()
    cylinders = [p.number for p in setup.passes if p.operation == "finish" and p.taper is None]
    assert cylinders
    assert max(cylinders) < min(over(setup))


def test_power_stops_before_the_shoulder_behind_the_taper() -> None:
    setup, rows = made()
    tapers = [p for p in setup.passes if p.number in over(setup)]
    assert [p.power_until for p in tapers] == pytest.approx([-148.0] * len(tapers))
    assert all(
        r.text.power_until for r in rows if r.kind == "pass" and r.pass_number in over(setup)
    )


def test_a_taper_that_falls_toward_the_chuck_goes_the_other_way() -> None:
    falling = Section("taper", front_diameter="23", back_diameter="20", length="150")
    setup, rows = made(falling, Section("cylinder", diameter="28", length="30"))
    assert over(setup)
    there = next(r for r in rows if r.kind == "set-over")
    assert "away from you" in there.words
    assert "chuck's end nearer to you" in there.words


def test_a_taper_without_a_shoulder_goes_on_under_power() -> None:
    setup, _ = made(TAPER, Section("cylinder", diameter="23", length="30"))
    assert [p.power_until for p in setup.passes if p.number in over(setup)] == [None] * len(
        over(setup)
    )
