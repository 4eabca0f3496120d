"""The proposal and what the user makes of it; tapers, chamfers and rounds by their means."""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest

from turnsketch.checking.replay import replay
from turnsketch.document.demo import demo_names, load_demo
from turnsketch.errors import InputError
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

ORDER = ["face", "rough", "finish", "chamfer", "part off"]


def pin() -> Job:
    return load_demo("stepped_pin")


def with_operations(job: Job, *operations: Operation) -> Job:
    setup = msgspec.structs.replace(job.setups[0], operations=operations)
    return msgspec.structs.replace(job, setups=(setup,))


def passes(plan: Plan, kind: str) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.operation == kind]


def changed(kind: str, **fields: Any) -> Plan:
    """Plan the pin with its proposal, operations of a kind changed."""
    proposal = Planner().propose(pin())
    operations = [msgspec.structs.replace(o, **fields) if o.kind == kind else o for o in proposal]
    return Planner().plan(with_operations(pin(), *operations))


def test_the_proposal_has_the_order_of_the_trade_and_reasons() -> None:
    proposal = Planner().propose(pin())
    assert [o.kind for o in proposal] == ORDER
    assert all(o.reason and o.tool is not None for o in proposal)


@pytest.mark.parametrize("name", demo_names())
def test_every_proposal_faces_first_and_parts_off_last(name: str) -> None:
    job = load_demo(name)
    kinds = [o.kind for o in Planner().propose(job)]
    assert kinds[0] in ("face", "centre hole")
    assert "part off" not in kinds[:-1]
    assert kinds.index("rough") < kinds.index("finish")


def test_an_operation_without_a_pass_changes_no_tool() -> None:
    idle = Operation("chamfer", 6, sections=())
    listed = with_operations(
        pin(), Operation("face", 1), Operation("rough", 1), idle, Operation("finish", 1)
    )
    plan = Planner().plan(listed)
    assert not passes(plan, "chamfer")
    rough, finish = passes(plan, "rough")[-1], passes(plan, "finish")[0]
    assert finish.start == rough.moves[-1].to
    assert replay(plan).events == ()


def test_the_proposal_as_a_list_of_the_users_plans_the_same() -> None:
    job = pin()
    listed = with_operations(job, *Planner().propose(job))
    assert Planner().plan(listed).setups == Planner().plan(job).setups


def test_a_disabled_operation_makes_no_pass_and_leaves_its_work_to_others() -> None:
    plan = changed("chamfer", enabled=False)
    assert not passes(plan, "chamfer")
    assert plan.finished.under_mm < 1e-3
    tapers = [p for p in passes(plan, "finish") if p.direction in ("taper", "steps")]
    assert tapers, "without the edge tool the chamfers are finished like any taper"


def test_another_tool_is_taken() -> None:
    assert {p.tool for p in passes(changed("finish", tool=1), "finish")} == {1}


def test_settings_are_honoured() -> None:
    shallow = passes(changed("rough", depth="0.8"), "rough")
    assert all(p.depth <= 0.8 + 0.011 for p in shallow)
    assert len(shallow) > len(passes(Planner().plan(pin()), "rough"))
    assert {p.rpm for p in passes(changed("finish", rpm=500.0), "finish")} == {500.0}
    feeds = {p.feed_mm_per_rev for p in passes(changed("rough", feed="0.11"), "rough")}
    assert feeds == {0.11}


def test_the_order_is_the_users() -> None:
    face, rough, finish, chamfer, part_off = Planner().propose(pin())
    plan = Planner().plan(with_operations(pin(), face, rough, chamfer, finish, part_off))
    kinds = [p.operation for p in plan.setups[0].passes]
    assert list(dict.fromkeys(kinds)) == ["face", "rough", "chamfer", "finish", "part off"]


def test_sections_limit_a_finish() -> None:
    assert {p.section for p in passes(changed("finish", sections=(2,)), "finish")} == {2}


def test_an_unknown_tool_names_the_operation() -> None:
    with pytest.raises(InputError, match=r"operations\[1\].*no tool 99"):
        changed("rough", tool=99)


def taper_job(lathe: str, means: str | None) -> Job:
    sections = (
        Section("cylinder", diameter="20", length="15"),
        Section("taper", front_diameter="20", angle="1:10", length="30"),
        Section("cylinder", diameter="23", length="10"),
    )
    operations = (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("finish", 2, means=means),  # type: ignore[arg-type]
    )
    return Job(
        PartRecord("cone", sections, material="mild steel"),
        Blank("25", "100"),
        lathe,
        (Setup(Holding("Three-jaw 160", "28"), operations=operations),),
    )


def with_attachment() -> Shop:
    shop = demo_shop()
    lathes = [
        msgspec.structs.replace(m, taper_attachment_deg=10.0, taper_attachment_length_mm=250.0)
        for m in shop.lathes
    ]
    return msgspec.structs.replace(shop, lathes=tuple(lathes))


@pytest.mark.parametrize(
    ("lathe", "wish", "means"),
    [
        ("Slipway 1", None, "top slide"),
        ("Slipway 2", None, "guided"),
        ("Slipway 2", "top slide", "top slide"),
        ("Slipway 1", "taper attachment", "taper attachment"),
        ("Slipway 1", "guided", "top slide"),
    ],
)
def test_tapers_by_each_means(lathe: str, wish: str | None, means: str) -> None:
    """A means that the lathe lacks falls back to the best that it has."""
    shop = with_attachment() if wish == "taper attachment" else demo_shop()
    plan = Planner(shop).plan(taper_job(lathe, wish))
    cut = [p for p in passes(plan, "finish") if p.direction == "taper"]
    assert cut
    for made in cut:
        assert made.taper is not None
        assert made.taper.means == means
        assert made.taper.half_angle == pytest.approx(math.atan(1 / 20), abs=1e-9)
    assert (cut[-1].feed_mm_per_rev is None) == (means == "top slide"), "the top slide is wound"
    assert plan.finished.under_mm < 1e-3


def test_steps_where_the_user_wants_them() -> None:
    plan = Planner().plan(taper_job("Slipway 1", "steps"))
    coarse, made = [p for p in passes(plan, "finish") if p.direction == "steps"]
    assert (coarse.last_on_surface, made.last_on_surface) == (False, True)
    assert made.steps is not None
    assert made.steps.cusp <= 0.05 + 1e-9
    assert [r.x for r in made.steps.rows] == sorted(r.x for r in made.steps.rows)


def test_an_arc_on_a_lathe_of_two_wheels_is_a_step_table() -> None:
    plan = Planner().plan(load_demo("rope_roller"))
    stepped = [p for p in passes(plan, "finish") if p.steps is not None]
    assert stepped
    for made in stepped:
        rows = {(r.x, r.z) for r in made.steps.rows} if made.steps else set()
        cuts = {
            (reading.x, reading.z)
            for move, reading in zip(made.moves, made.readings, strict=True)
            if move.kind == "cut"
        }
        assert cuts == rows


def corner_job(corner: str) -> Job:
    sections = (
        Section("cylinder", diameter="12", length="22"),
        Section("cylinder", diameter="25", length="30", front_corner=corner),
    )
    return Job(
        PartRecord("corner", sections, material="mild steel"),
        Blank("28", "95"),
        "Slipway 1",
        (Setup(Holding("Three-jaw 160", "28")),),
    )


def test_a_chamfer_is_one_plunge_of_the_edge() -> None:
    plan = Planner().plan(corner_job("1x45°"))
    (made,) = passes(plan, "chamfer")
    (index,) = [i for i, m in enumerate(made.moves) if m.kind == "cut"]
    cut, before = made.moves[index], made.moves[index - 1]
    assert cut.to.z == before.to.z, "fed in X alone"
    assert cut.to.r - 11.5 == pytest.approx(-22 - cut.to.z, abs=1e-6), "the tip is on its line"
    assert made.tool == 6


def test_a_small_round_is_made_by_the_form_tool() -> None:
    plan = Planner().plan(corner_job("R1"))
    (made,) = passes(plan, "chamfer")
    (cut,) = [m for m in made.moves if m.kind == "cut"]
    assert made.tool == 8
    assert (cut.to.z, cut.to.r) == pytest.approx((-23.0, 12.5))


def test_a_chamfer_wider_than_the_edge_is_turned() -> None:
    plan = Planner().plan(corner_job("4x45°"))
    assert not passes(plan, "chamfer")
    assert any(p.direction == "taper" for p in passes(plan, "finish"))


def rounded_pin() -> Job:
    sections = (
        Section("cylinder", diameter="24", length="20", front_corner="R1"),
        Section("cylinder", diameter="36", length="14", front_corner="R1", back_corner="R1"),
    )
    return Job(
        PartRecord("pin", sections, material="mild steel"),
        Blank("38", "80", front="1"),
        "Slipway 1",
        (Setup(Holding("Three-jaw 160", "28")),),
    )


def test_a_round_nose_finishes_no_section_whose_round_a_form_tool_makes() -> None:
    made = passes(Planner().plan(rounded_pin()), "finish")
    assert [p.tool for p in made if p.section == 1] == [2]
    assert {p.tool for p in made if p.section == 2 and p.direction == "steps"} == {5}
