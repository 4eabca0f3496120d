"""What is proposed for a bore: order, sizes, and the bar."""

from __future__ import annotations

import msgspec
import pytest

from tests.planning.bored import bush_job, section
from turnsketch.job import Job, Operation
from turnsketch.part.drills import ream_allowance
from turnsketch.part.records import Section
from turnsketch.pipeline import Planner
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

TOOLS = {tool.number: tool for tool in demo_shop().tools}
INSIDE = ("centre hole", "drill", "bore", "finish bore", "ream", "countersink")


def proposed(job: Job, shop: Shop | None = None) -> list[Operation]:
    return [o for o in Planner(shop).propose(job) if o.kind in INSIDE]


def kinds(job: Job) -> list[str]:
    return [o.kind for o in proposed(job)]


def test_h7_is_reamed_where_the_shop_has_the_reamer() -> None:
    job = bush_job(section("20 H7", front_corner="0.5x45°"))
    assert kinds(job) == ["centre hole", "drill", "drill", "ream", "countersink"]
    pilot, drill, reamer = (TOOLS[o.tool or 0] for o in proposed(job)[1:4])
    least, most = ream_allowance(reamer.diameter_mm)
    assert least <= reamer.diameter_mm - drill.diameter_mm <= most + 0.02
    # Common practice: a pilot of a fifth to a half, not deeper than eight of its diameters.
    assert 0.2 <= pilot.diameter_mm / drill.diameter_mm <= 0.5
    assert 8 * pilot.diameter_mm >= 41


def test_a_size_without_a_reamer_is_bored() -> None:
    job = bush_job(section("24 H7"))
    assert kinds(job) == ["centre hole", "drill", "drill", "bore", "finish bore"]


def test_the_stiffest_bar_that_goes_in_is_taken() -> None:
    bars = {o.tool for o in proposed(bush_job(section("30 H7"))) if o.kind == "finish bore"}
    hole = max(TOOLS[o.tool or 0].diameter_mm for o in proposed(bush_job(section("30 H7")))
               if o.kind == "drill")  # fmt: skip
    fitting = [t for t in TOOLS.values() if t.kind == "boring" and t.least_bore_mm <= hole]
    assert bars == {max(fitting, key=lambda t: t.bar_diameter_mm).number}


def test_a_blind_h7_is_bored_not_reamed() -> None:
    found = kinds(bush_job(section("20 H7", "25"), through=False))
    assert "ream" not in found
    assert found[-1] == "finish bore"


def test_a_wide_tolerance_is_drilled_to_size() -> None:
    assert kinds(bush_job(section("14"))) == ["centre hole", "drill", "drill"]


@pytest.mark.parametrize("length", ["2.5", "3", "5"])
def test_the_spot_stays_inside_a_shallow_bore(length: str) -> None:
    job = bush_job(section("12", length), through=False)
    planned = Planner().plan(job)
    spots = [p for p in planned.setups[0].passes if p.operation == "centre hole"]
    assert all(min(m.to.z for m in p.moves) >= -float(length) - 1e-9 for p in spots)
    assert planned.finished.under_mm == pytest.approx(0.0, abs=1e-4)


def test_a_stepped_bore_is_reamed_and_bored() -> None:
    job = bush_job(section("30 H7", "12"), section("20 H7"))
    found = proposed(job)
    assert [o.kind for o in found] == [
        "centre hole", "drill", "drill", "ream", "bore", "finish bore",
    ]  # fmt: skip
    assert found[-1].sections == (2,)


def test_a_drill_leaves_less_where_only_then_a_bar_gets_in() -> None:
    job = bush_job(section("9 H7", "15"), through=False)
    drill, *bars = (TOOLS[o.tool or 0] for o in proposed(job)[1:])
    assert drill.diameter_mm == 8.5  # 0.6 less than Ø9 would be Ø6.8: no bar gets into it
    assert all(bar.least_bore_mm <= drill.diameter_mm for bar in bars)
    assert {bar.kind for bar in bars} == {"boring"}


def test_a_wide_step_before_a_narrow_hole_is_drilled_first() -> None:
    job = bush_job(section("26 H7", "12"), section("7", "20"), through=False)
    assert kinds(job) == ["centre hole", "drill", "drill", "bore", "finish bore"]
    narrow, wide = (TOOLS[o.tool or 0].diameter_mm for o in proposed(job)[1:3])
    assert (narrow, wide) == (5.0, 24.5)
    made = Planner().plan(job)
    assert made.finished.under_mm == pytest.approx(0.0, abs=1e-4)
    assert not [f for f in made.findings if f.severity == "stop"]


def test_a_hole_too_deep_for_every_drill_is_drilled_as_deep_as_one_goes() -> None:
    made = Planner().plan(long_bush("10"))
    assert [o.kind for o in made.setups[0].operations[:3]] == ["face", "centre hole", "drill"]
    deepest = max((t for t in TOOLS.values() if t.kind == "drill" and t.diameter_mm < 10),
                  key=lambda t: t.length_mm)  # fmt: skip
    assert made.setups[0].operations[2].tool == deepest.number
    assert "drill-short" in {f.code for f in made.findings}


def long_bush(bore: str) -> Job:
    """Return a bush 90 long with a bore right through."""
    job = bush_job(section(bore))
    part = msgspec.structs.replace(job.part, sections=(section("44", "90"),))
    blank = msgspec.structs.replace(job.blank, length="135")
    return msgspec.structs.replace(job, part=part, blank=blank)


def test_without_bars_and_drills_nothing_is_proposed_inside() -> None:
    shop = demo_shop()
    bare = msgspec.structs.replace(
        shop, tools=tuple(t for t in shop.tools if t.kind in ("turning", "parting", "chamfer"))
    )
    assert proposed(bush_job(section("24 H7")), bare) == []


def test_every_operation_says_why() -> None:
    job = bush_job(Section("cylinder", diameter="30 H7", length="12"), section("24"))
    assert all(o.reason for o in proposed(job))
