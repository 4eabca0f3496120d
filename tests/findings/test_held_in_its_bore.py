"""A ring held by jaws in the tube's own hole: what is cut, and what is said."""

from __future__ import annotations

from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Plan


def ring(bore: str = "60", hole: str = "60") -> Plan:
    """Return the plan of a ring from a tube cut to length, jaws in its hole."""
    part = PartRecord(
        "ring",
        (Section("cylinder", diameter="90 h7", length="25", front_corner="1x45°"),),
        material="mild steel",
        bore=Bore((Section("cylinder", diameter=bore),), through=True),
    )
    blank = Blank("95", "27", shape="tube", bore=hole)
    held = Setup(Holding("Three-jaw 160", grip="18", inside=True))
    return Planner().plan(Job(part, blank, "Slipway 1", (held,)))


def test_cuts_end_behind_the_metal_not_at_the_chuck() -> None:
    ends = [min(m.to.z for m in p.moves) for p in ring().setups[0].passes]
    assert min(ends) >= -26 - 2.0


def test_the_tubes_own_hole_is_no_bore_to_make_and_no_blade_is_wanted() -> None:
    plan = ring()
    found = {f.code: f for f in plan.findings}
    assert "bore-not-made" not in found
    assert not {"part off"} & {o.kind for o in plan.setups[0].operations}
    assert "on the bar" not in found["back-not-made"].message
    assert "near-the-jaws" not in found


def test_a_hole_of_another_size_is_still_told() -> None:
    plan = ring("60 H7", hole="59")
    bored = {"finish bore"} & {p.operation for p in plan.setups[0].passes}
    assert bored or "bore-not-made" in {f.code for f in plan.findings}


def test_a_bush_gripped_on_its_whole_outside_is_faced_and_bored() -> None:
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="36 h6", length="30", front_corner="1x45°"),),
        material="mild steel",
        bore=Bore((Section("cylinder", diameter="20 H7"),), through=True),
    )
    setups = (
        Setup(Holding("Three-jaw 160", grip="15"), name="The bore"),
        Setup(Holding("Mandrel 18-25", grip="28"), name="On the mandrel"),
    )
    job = Job(part, Blank("40", "32", shape="tube", bore="18"), "Slipway 1", setups)
    plan = Planner().plan(job)
    first, second = ({p.operation for p in s.passes} for s in plan.setups)
    assert "ream" in first or "finish bore" in first
    assert "finish" not in first
    assert "finish" in second
