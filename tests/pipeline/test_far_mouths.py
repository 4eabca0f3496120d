"""Through bores worked from both ends: the corner at the far mouth, a drill that is too short."""

from __future__ import annotations

import pytest

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.pipeline.propose_setups import propose_setups
from turnsketch.plan_records import Plan
from turnsketch.shop.files import demo_shop

HELD = Setup(Holding("Three-jaw 160", grip="25"))


def bush(*bore: Section, length: str = "30") -> Job:
    """Return a flanged bush with a bore right through, on a bar."""
    part = PartRecord(
        "bush",
        (
            Section("cylinder", diameter="32", length=length),
            Section("cylinder", diameter="40", length="8"),
        ),
        material="bronze",
        inside_corners="R0.8",
        bore=Bore(bore, through=True),
    )
    return Job(part, Blank("42", "130"), "Slipway 1", (HELD,))


def both_ends(job: Job) -> Plan:
    """Return the plan with the proposed setups."""
    return Planner().plan(propose_setups(job, demo_shop()).job)


def kinds(plan: Plan) -> list[list[str]]:
    return [[o.kind for o in setup.operations] for setup in plan.setups]


def clean(plan: Plan) -> None:
    assert not replay(plan).events
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert plan.finished.under_mm < 1e-3


@pytest.mark.parametrize(
    "bore",
    [
        (Section("cylinder", diameter="20 H7", front_corner="1x45°", back_corner="1x45°"),),
        (
            Section("cylinder", diameter="26", length="10", front_corner="1x45°"),
            Section("cylinder", diameter="20 H7", back_corner="0.5x45°"),
        ),
    ],
)
def test_each_mouth_is_broken_from_its_own_end(bore: tuple[Section, ...]) -> None:
    plan = both_ends(bush(*bore))
    clean(plan)
    assert [found.count("countersink") for found in kinds(plan)] == [1, 1]
    assert {left.cause for left in plan.finished.left_over} <= {"nose"}


def test_a_round_at_the_far_mouth_is_bored_from_that_end() -> None:
    section = Section("cylinder", diameter="28 H7", front_corner="R1", back_corner="R1")
    plan = both_ends(bush(section))
    clean(plan)
    assert "finish bore" in kinds(plan)[1]
    assert {left.cause for left in plan.finished.left_over} <= {"nose", "cusp"}
    assert max(left.height_mm for left in plan.finished.left_over if left.cause == "cusp") < 0.05


def test_in_one_setup_the_far_mouth_is_told() -> None:
    section = Section("cylinder", diameter="20 H7", front_corner="1x45°", back_corner="1x45°")
    plan = Planner().plan(bush(section))
    clean(plan)
    (told,) = [f for f in plan.findings if f.code == "left-over-far-mouth"]
    assert "from the other end" in told.remedy


def test_the_bore_waits_for_the_setup_with_its_mouth_in_front() -> None:
    turned = Setup(Holding("Three-jaw 160", grip="25"), turned=True)
    front = Setup(Holding("Three-jaw 160", grip="20", soft_jaws=True))
    job = bush(Section("cylinder", diameter="26", length="10"), Section("cylinder", diameter="20"))
    part = job.part.sections
    flanged = PartRecord("bush", part[::-1], material="bronze", bore=job.part.bore)
    plan = Planner().plan(Job(flanged, Blank("42", "80"), "Slipway 1", (turned, front)))
    clean(plan)
    first, second = kinds(plan)
    assert not {"drill", "bore", "ream"} & set(first)
    assert {"drill", "finish bore"} & set(second)


def test_a_hole_too_deep_for_the_drill_is_met_from_the_other_end() -> None:
    # Ø8.5 is the widest that leaves Ø9 enough; its flutes are 75 long, the part 84.
    plan = both_ends(bush(Section("cylinder", diameter="9"), length="76"))
    assert not replay(plan).events
    assert [found.count("drill") for found in kinds(plan)] == [1, 1]
    # Nothing solid is left in it: the holes have met.
    assert max(left.height_mm for left in plan.finished.left_over) < 1.0
