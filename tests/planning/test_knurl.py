"""Knurling: on the blank's surface, nothing taken, slow, before fine surfaces."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.knurls import read_knurl
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.planning.knurl import pressed_depth
from turnsketch.shop.files import demo_shop

but = msgspec.structs.replace

NECK = Section("cylinder", "neck", diameter="16 h8", length="15")
GRIP = Section("cylinder", "grip", diameter="24", length="30", knurl="RGE 1.0")
COLLAR = Section("cylinder", "collar", diameter="28", length="8")
HANDLE = PartRecord("handle", (NECK, GRIP, COLLAR), material="brass", inside_corners="R0.8")


def job(part: PartRecord = HANDLE, *operations: Operation, lathe: str = "Slipway 1") -> Job:
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations or None)
    return Job(part, Blank("30", "90"), lathe, (setup,))


def with_grip(**fields: Any) -> PartRecord:
    return but(HANDLE, sections=(NECK, but(GRIP, **fields), COLLAR))


@cache
def planned(of: Job) -> Plan:
    return Planner().plan(of)


def knurling(plan: Plan) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.operation == "knurl"]


def clean(plan: Plan) -> None:
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert plan.finished.under_mm < 1e-4
    assert plan.finished_as_read.under_mm < 0.005


def test_the_wheels_lie_on_the_blank_and_take_nothing() -> None:
    plan = planned(job())
    clean(plan)
    there, back = knurling(plan)
    assert [m.to.r for p in (there, back) for m in p.moves if m.kind == "cut"] == pytest.approx(
        [23.33 / 2, 23.33 / 2]
    )
    assert there.removed_mm3 == back.removed_mm3 == 0
    # read at the wheels' left side: 0.5 before the shoulder behind them
    assert there.moves[-1].to.z == pytest.approx(-44.5)
    assert back.moves[0].to.z == there.moves[-2].to.z
    assert back.start == there.moves[-1].to, "the wheels stay in between the passes"


def test_the_wheels_begin_half_on_the_work_where_the_front_is_open() -> None:
    there, _ = knurling(planned(job()))
    assert there.moves[-2].to.z == pytest.approx(-15 - 4)
    flange = but(HANDLE, sections=(but(NECK, diameter="28"), GRIP, COLLAR))
    there, _ = knurling(planned(job(flange)))
    assert there.moves[-2].to.z == pytest.approx(-15 - 0.5 - 8)


def test_it_comes_after_its_blank_and_before_fine_surfaces() -> None:
    kinds = [(o.kind, o.tool) for o in planned(job()).setups[0].operations]
    assert kinds == [
        ("face", 1), ("rough", 1), ("finish", 2), ("knurl", 90), ("finish", 2), ("part off", 7),
    ]  # fmt: skip
    passes = planned(job()).setups[0].passes
    at = [p.number for p in passes if p.operation == "knurl"]
    assert [p.section for p in passes if p.operation == "finish" and p.number < at[0]] == [2]
    assert 2 not in [p.section for p in passes if p.number > at[-1]], "nothing slides over it"


def test_it_is_slow_whatever_the_job_asks() -> None:
    plan = planned(job())
    # a third of 60 m/min at 24 mm over the knurl is 265 rpm
    assert knurling(plan)[0].rpm == 250
    assert knurling(plan)[0].speed_limited_by == "slow speed for knurls"
    asked = tuple(
        but(o, rpm=1000.0) if o.kind == "knurl" else o
        for o in (
            Operation("face", 1),
            Operation("rough", 1),
            Operation("finish", 2),
            Operation("knurl", 90),
            Operation("part off", 7),
        )
    )
    assert knurling(planned(job(HANDLE, *asked)))[0].rpm == 250
    free = planned(job(lathe="Slipway 2"))
    assert knurling(free)[0].rpm == pytest.approx(265.3, abs=0.1)


def test_the_setting_says_touch_depth_and_what_is_checked() -> None:
    there, back = knurling(planned(job()))
    assert there.knurl is not None
    assert back.knurl is not None
    assert there.knurl.blank_mm == pytest.approx(23.33)
    # 2 x (0.5 - 0.67 / 2) under the touch
    assert there.knurl.pressed_x_mm == pytest.approx(23.0)
    assert (there.knurl.lower_mm, there.knurl.upper_mm) == pytest.approx((23.8, 24.2))
    assert (there.knurl.first, there.knurl.last) == (True, False)
    assert (back.knurl.first, back.knurl.last) == (False, True)


def test_depth_is_the_profile_s_height_less_what_grows() -> None:
    assert pressed_depth(read_knurl("RAA 1.0")) == pytest.approx(0.25)
    assert pressed_depth(read_knurl("RGV 1.0")) == pytest.approx(0.5 - 0.33 / 2)


def test_no_pass_before_the_blank_stands_and_none_with_other_wheels() -> None:
    early = (Operation("face", 1), Operation("knurl", 90), Operation("rough", 1))
    assert not knurling(planned(job(HANDLE, *early)))
    late = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))
    assert not knurling(planned(job(HANDLE, *late, Operation("knurl", 91))))
    assert len(knurling(planned(job(HANDLE, *late, Operation("knurl", 90))))) == 2


@pytest.mark.parametrize(("width", "passes"), [(28.9, 2), (29.0, 1), (29.1, 0)])
def test_wheels_as_wide_as_the_section_press_in_one_place(width: float, passes: int) -> None:
    # 30 between two shoulders, and 0.5 to each
    tools = tuple(but(t, width_mm=width) if t.number == 90 else t for t in demo_shop().tools)
    flanged = but(HANDLE, sections=(but(NECK, diameter="28"), GRIP, COLLAR))
    plan = Planner(but(demo_shop(), tools=tools)).plan(job(flanged))
    clean(plan)
    made = knurling(plan)
    assert len(made) == passes
    if passes == 1:
        assert made[0].direction == "plunge"
        assert made[0].knurl is not None
        assert made[0].knurl.first
        assert made[0].knurl.last


@settings(max_examples=6, deadline=None)
@given(
    neck=st.sampled_from(["12", "16", "23", "27"]),
    length=st.integers(5, 34),
    collar=st.sampled_from(["18", "24.5", "28"]),
    size=st.sampled_from(["20", "22.4", "26"]),
    form=st.sampled_from(["RGE 1.0", "RAA 0.8"]),
)
def test_no_knurl_gouges_or_collides(
    neck: str, length: int, collar: str, size: str, form: str
) -> None:
    part = but(
        HANDLE,
        sections=(
            but(NECK, diameter=neck),
            but(GRIP, diameter=size, length=str(length), knurl=form),
            but(COLLAR, diameter=collar),
        ),
    )
    plan = Planner().plan(job(part))
    clean(plan)
    assert all(p.removed_mm3 < 1e-6 for p in knurling(plan))


@pytest.mark.parametrize("text", ["RGE 1.0", "RAA 0.8"])
def test_a_blank_that_one_tool_has_made_is_not_finished_by_another(text: str) -> None:
    """A second tool's flank met the collar beside it, and cut nothing of the blank itself."""
    simple = PartRecord(
        "knob",
        (
            Section("cylinder", diameter="20", length="30", knurl=text, front_corner="1x45°"),
            Section("cylinder", diameter="24", length="10"),
        ),
        material="mild steel",
    )
    setup = Setup(Holding("Three-jaw 160", "28"))
    plan = planned(Job(simple, Blank("25", "90"), "Slipway 1", (setup,)))
    clean(plan)
    blank = [p for p in plan.setups[0].passes if p.operation == "finish" and p.section == 1]
    assert [p.tool for p in blank] == [2]
