"""The demo parts that need more than turning: whole plans, with what makes each of them special."""

from __future__ import annotations

from functools import cache

import pytest

from turnsketch.document.demo import load_demo
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Plan


@cache
def planned(name: str) -> Plan:
    return Planner().plan(load_demo(name))


def kinds(plan: Plan) -> list[str]:
    return [o.kind for setup in plan.setups for o in setup.operations]


@pytest.mark.parametrize("name", ["pole_handle", "capstan_shaft", "drill_arbor", "filler_cap"])
def test_nothing_stops_the_work_and_it_comes_out_true(name: str) -> None:
    plan = planned(name)
    assert not [f.message for f in plan.findings if f.severity == "stop"]
    assert all(o.first_pass for setup in plan.setups for o in setup.operations)
    assert plan.finished.over_mm < 1e-3
    assert plan.finished.under_mm < 1e-3
    assert plan.finished_as_read.over_mm < 0.005
    assert plan.finished_as_read.under_mm < 0.005


def test_the_shaft_has_relief_undercut_and_ring_groove_before_its_finish_and_thread() -> None:
    plan = planned("capstan_shaft")
    passes = plan.setups[0].passes
    grooves = [p.surface for p in passes if p.operation == "groove"]
    *first, last = [s.split(" ")[0] for s in dict.fromkeys(grooves)]
    assert set(first) == {"thread", "undercut"}, "which of them is first is free"
    assert last == "ring"
    last_groove = max(p.number for p in passes if p.operation == "groove")
    seat = next(p for p in passes if p.operation == "finish" and p.section == 3)
    thread = [p for p in passes if p.operation == "thread"]
    assert last_groove < seat.number < thread[0].number
    assert thread[0].thread is not None
    assert thread[0].thread.relief, "it runs out into the relief"


def test_the_arbor_s_cone_is_morse_2_turned_by_the_top_slide_on_the_centre() -> None:
    plan = planned("drill_arbor")
    first, second = plan.setups
    assert {p.section for p in first.passes if p.operation == "finish"} == {2, 3}
    assert second.centre is not None
    (scale,) = {p.taper.scale_deg for p in second.passes if p.taper is not None}
    assert scale == pytest.approx(1.4307, abs=1e-4)


def test_the_cap_is_threaded_inside_and_keeps_its_hexagon() -> None:
    plan = planned("filler_cap")
    threads = [p for p in plan.setups[0].passes if p.operation == "thread"]
    assert threads
    assert all(p.inside for p in threads)
    assert "flats-left" in {f.code for f in plan.findings}


def test_the_handle_is_drilled_through_and_knurled_on_its_blank() -> None:
    plan = planned("pole_handle")
    order = kinds(plan)
    assert order.index("drill") < order.index("knurl") < order.index("part off")
    drill = [p for p in plan.setups[0].passes if p.operation == "drill"]
    assert min(m.to.z for m in drill[-1].moves) < -60, "right through"
    assert [p.removed_mm3 for p in plan.setups[0].passes if p.operation == "knurl"] == [0.0, 0.0]
