"""Roughing by facing cuts: short and wide parts."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from turnsketch import save
from turnsketch.checking.replay import replay
from turnsketch.cli import main
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan

ACROSS = Operation("rough", 1, direction="across")


def disc(*sections: Section, operations: tuple[Operation, ...] | None = None, bar: int = 85) -> Job:
    """Return a job for a short, wide part from a bar."""
    part = PartRecord("disc", sections, material="mild steel", inside_corners="R0.8")
    holding = Holding("Three-jaw 160", "25")
    setup = Setup(holding, operations=operations)
    return Job(part, Blank(str(bar), "60"), "Slipway 1", (setup,))


HUB = (
    Section("cylinder", diameter="24", length="6"),
    Section("taper", front_diameter="40", back_diameter="60", length="4"),
    Section("cylinder", diameter="80", length="8"),
)


def test_facing_cuts_take_the_metal_in_front_of_a_shoulder() -> None:
    """Each cut stands deeper in Z than the one before, and ends where the part begins."""
    plan = Planner().plan(disc(*HUB, operations=(Operation("face", 1), ACROSS)))
    made = [p for p in plan.setups[0].passes if p.operation == "rough"]
    assert {p.direction for p in made} == {"face"}
    ends = [next(m.to for m in p.moves if m.kind == "cut") for p in made]
    assert all(b.z < a.z for a, b in pairwise(ends))
    assert all(end.r >= 12.1 for end in ends), "the hub keeps its allowance"
    cone = [(end.r, 20 + (-6 - end.z) * 2.5) for end in ends if end.z < -6.05]
    assert cone
    assert all(r > wall for r, wall in cone), "the cone its own"
    assert max(p.depth for p in made) <= 1.5
    exact = replay(plan)
    assert exact.events == ()
    assert exact.finished.under_mm == pytest.approx(0.0, abs=1e-6)


def test_facing_cuts_keep_off_what_the_setup_before_has_made() -> None:
    """A pointed bit in a cone that thins toward a shoulder made from the other end."""
    sections = (
        Section("cylinder", diameter="28", length="7"),
        Section("cylinder", diameter="32", length="21"),
        Section("taper", front_diameter="17", length="26", angle="1:10", narrows=True),
        Section("cylinder", diameter="22", length="7"),
    )
    part = PartRecord("boss", sections, material="mild steel", inside_corners="R0.8")
    first = Setup(Holding("Three-jaw 160", "27"), sections=(1, 2))
    rough = (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("rough", 10, direction="across"),
    )
    second = Setup(Holding("Three-jaw 160", "18", soft_jaws=True), turned=True, operations=rough)
    plan = Planner().plan(Job(part, Blank("36", "63"), "Boathouse", (first, second)))
    assert any(p.tool == 10 and p.direction == "face" for p in plan.setups[1].passes)
    assert [e for e in replay(plan).events if e.setup == 2] == []


def test_the_proposal_faces_a_disc_and_turns_a_pin_along() -> None:
    disc_plan = Planner().plan(disc(*HUB))
    first = next(p for p in disc_plan.setups[0].passes if p.operation == "rough")
    assert first.direction == "face"
    pin = disc(Section("cylinder", diameter="24", length="30"), HUB[2], bar=32)
    pin = msgspec.structs.replace(
        pin,
        part=msgspec.structs.replace(
            pin.part,
            sections=(HUB[0], Section("cylinder", diameter="30", length="40")),
        ),
        blank=Blank("32", "90"),
    )
    along = next(p for p in Planner().plan(pin).setups[0].passes if p.operation == "rough")
    assert along.direction == "turn"


def test_a_left_hand_tool_makes_no_facing_cut_inward() -> None:
    left = Operation("rough", 4, direction="across")
    plan = Planner().plan(disc(*HUB, operations=(Operation("face", 1), left)))
    hand = {t.number: t.hand for t in Planner().shop.tools}[4]
    made = [p for p in plan.setups[0].passes if p.operation == "rough"]
    assert bool(made) == (hand != "left")


@st.composite
def discs(draw: st.DrawFn) -> Job:
    """Yield short parts whose diameters grow toward the chuck."""
    steps = draw(st.lists(st.integers(4, 14), min_size=2, max_size=3))
    diameters = [20]
    for step in steps:
        diameters.append(diameters[-1] + 2 * step)
    sections = []
    for size in diameters[:-1]:
        length = str(draw(st.integers(3, 9)))
        if draw(st.booleans()):
            wider = str(size + draw(st.integers(1, 6)))
            sections.append(
                Section("taper", front_diameter=str(size), back_diameter=wider, length=length)
            )
        else:
            sections.append(Section("cylinder", diameter=str(size), length=length))
    last = Section("cylinder", diameter=str(diameters[-1]), length="8")
    operations = (Operation("face", 1), ACROSS, Operation("rough", 1), Operation("finish", 2))
    return disc(*sections, last, operations=operations, bar=diameters[-1] + 3)


@given(job=discs())
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_facing_cuts_play_clean(job: Job) -> None:
    plan = Planner().plan(job)
    assert any(p.direction == "face" and p.operation == "rough" for p in plan.setups[0].passes)
    exact, read = replay(plan), replay(plan, as_read=True)
    assert exact.events == ()
    assert exact.finished.under_mm < 1e-6
    assert read.finished.under_mm < 0.0064


BORED = (Operation("face", 1), Operation("drill", 48))


def recess(*sections: Section, operations: tuple[Operation, ...] | None = None) -> Job:
    """Return a bush of Ø60 with a blind recess in its front."""
    bore = Bore(sections, through=False)
    body = (Section("cylinder", diameter="60", length="30"),)
    part = PartRecord("cup", body, material="mild steel", bore=bore, inside_corners="R0.8")
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations)
    return Job(part, Blank("63", "80"), "Slipway 1", (setup,))


def boring(plan: Plan) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.operation == "bore"]


def test_in_a_bore_cuts_across_go_from_the_hole_outward() -> None:
    steps = (
        Section("cylinder", diameter="46", length="8"),
        Section("taper", front_diameter="40", back_diameter="30", length="8"),
    )
    across = Operation("bore", 22, direction="across")
    plan = Planner().plan(recess(*steps, operations=(*BORED, across)))
    made = boring(plan)
    assert {p.direction for p in made} == {"face"}
    for one in made:
        assert one.inside
        first = next(i for i, m in enumerate(one.moves) if m.kind == "cut")
        begin, end = one.moves[first - 1].to, one.moves[first].to
        assert begin.z == pytest.approx(end.z)
        assert end.r > begin.r + 1.0
    depths = [next(m.to.z for m in p.moves if m.kind == "cut") for p in made]
    assert all(b < a for a, b in pairwise(depths))
    widest = [max(m.to.r for m in p.moves if m.kind == "cut") for p in made]
    assert max(widest) <= 23.0 - 0.19
    assert all(r < 23.0 - 0.19 if z > -8 else r < 20.0 for r, z in zip(widest, depths, strict=True))
    assert replay(plan).events == ()
    assert plan.finished.under_mm < 1e-6


def test_the_user_may_bore_along_or_across() -> None:
    step = Section("cylinder", diameter="46", length="10")
    for direction, expected in (("along", "turn"), (None, "turn"), ("across", "face")):
        listed = (*BORED, Operation("bore", 22, direction=direction))  # type: ignore[arg-type]
        plan = Planner().plan(recess(step, operations=listed))
        # Where the drill's cone begins, cuts along end: the bottom is faced.
        along = [p.direction for p in boring(plan) if "faces the bottom" not in str(p.notes)]
        assert set(along) == {expected}
        assert replay(plan).events == ()


def test_the_proposal_begins_a_shallow_recess_across_and_says_why() -> None:
    plan = Planner().plan(recess(Section("cylinder", diameter="46", length="5")))
    first = next(o for o in plan.setups[0].operations if o.kind == "bore")
    assert boring(plan)[0].direction == "face"
    assert "shallow recess" in first.reason
    assert replay(plan).events == ()
    assert plan.finished.under_mm < 1e-6
    deep = Planner().plan(recess(Section("cylinder", diameter="30", length="22")))
    assert boring(deep)[0].direction == "turn"


def test_the_users_choice_stands_against_the_shape() -> None:
    """A disc that is turned along because the job says so, and a pin that is faced."""
    along = (Operation("face", 1), Operation("rough", 1, direction="along"))
    made = Planner().plan(disc(*HUB, operations=along)).setups[0].passes
    assert {p.direction for p in made if p.operation == "rough"} == {"turn"}
    steps = (Section("cylinder", diameter="24", length="30"), HUB[2])
    made = Planner().plan(disc(*steps, operations=(Operation("face", 1), ACROSS))).setups[0].passes
    assert {p.direction for p in made if p.operation == "rough"} == {"face"}


def test_the_choice_of_the_shape_states_its_reason() -> None:
    roughing = [
        next(o.reason for o in Planner().plan(job).setups[0].operations if o.kind == "rough")
        for job in (disc(*HUB), disc(Section("cylinder", diameter="40", length="60"), bar=45))
    ]
    assert "short and wide" in roughing[0]
    assert "along the axis" in roughing[1]
    assert "longer than its radius" in roughing[1]


def test_the_choice_goes_through_a_job_file_and_the_command_line(tmp_path: Path) -> None:
    for direction, expected in (("along", "turn"), ("across", "face")):
        listed = (Operation("face", 1), Operation("rough", 1, direction=direction))  # type: ignore[arg-type]
        path, out = tmp_path / f"{direction}.job.json", tmp_path / f"{direction}.plan.json"
        save(disc(*HUB, operations=listed), path)
        assert main(["plan", str(path), "--json", str(out)]) in (0, 1)
        told = json.loads(out.read_text())["setups"][0]["passes"]
        assert {p["direction"] for p in told if p["operation"] == "rough"} == {expected}
