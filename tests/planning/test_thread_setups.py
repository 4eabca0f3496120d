"""In which setup a thread is cut, where a shoulder hides its start from one end."""

from __future__ import annotations

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Groove, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan


def stud(first: tuple[Operation, ...] | None = None) -> Job:
    """Return a stud that is turned from its head first, the thread toward the chuck."""
    part = PartRecord(
        "stud",
        (
            Section("cylinder", thread="M18x1.5", length="29", front_corner="2x45°"),
            Section("cylinder", diameter="29", length="10"),
            Section("cylinder", diameter="44", length="21", back_corner="0.5x45°"),
        ),
        material="brass",
        grooves=(Groove("thread relief", 1),),
    )
    head = Setup(
        Holding("Three-jaw 160", grip="32"), name="Head, parted off", turned=True, operations=first
    )
    front = Setup(Holding("Three-jaw 160", grip="20", soft_jaws=True), name="Front end")
    return Job(part, Blank("46", "105"), "Slipway 2", (head, front))


def thread_passes(plan: Plan) -> list[list[Pass]]:
    return [[p for p in s.passes if p.operation == "thread"] for s in plan.setups]


def test_a_thread_waits_for_the_setup_that_has_its_start_in_front() -> None:
    plan = Planner().plan(stud())
    before, after = thread_passes(plan)
    assert not before
    assert after
    # It runs right through: its end is as free as if the same setup had turned it.
    assert all(p.thread is not None and p.thread.free_run_mm > 1.5 for p in after)
    assert not replay(plan).events
    assert "thread-not-made" not in {f.code for f in plan.findings}


def test_behind_a_shoulder_the_tool_comes_back_no_way_through_metal() -> None:
    # Listed by hand in the first setup: the way home went right through the shoulder.
    proposed = Planner().propose(stud())
    threads = Operation("thread", 32, sections=(1,))
    listed = (*(o for o in proposed if o.kind != "part off"), threads)
    plan = Planner().plan(stud(listed))
    assert thread_passes(plan)[0]
    kinds = {e.kind for e in replay(plan).events if e.setup == 1}
    assert "positioning through metal" not in kinds
    assert "holder touches metal" not in kinds
