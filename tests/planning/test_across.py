"""Roughing by facing cuts: short and wide parts."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner

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
