"""What holds for every plan: drawn parts on all three lathes of the demo shop, replayed."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drawn import drawn
from tests.pipeline import invariants
from tests.pipeline.fitting import LATHES, Bench, fitting_jobs
from turnsketch.checking.replay import replay
from turnsketch.document.demo import demo_names, load_demo
from turnsketch.document.files import load, save
from turnsketch.job import Job, Operation
from turnsketch.pipeline import Planner

# A plan is planned twice and replayed four times: few examples, but every check on each of them.
_SHARE = 7


def check(job: Job, warm: Planner) -> None:
    """Plan a job and ask everything that must hold of its plan."""
    plan = warm.plan(job)
    invariants.all_hold(plan, job.lathe)
    invariants.cuts_keep_to_the_depth(plan)
    assert warm.plan(job) == plan, "a warm planner plans the same"
    assert Planner().plan(job) == plan, "a new planner plans the same"


@pytest.mark.parametrize("bench", LATHES, ids=lambda bench: bench.lathe)
@given(data=st.data())
@drawn(_SHARE)
def test_drawn_parts(bench: Bench, data: st.DataObject) -> None:
    job = data.draw(fitting_jobs(bench))
    check(job, Planner())


@pytest.mark.parametrize("name", demo_names())
def test_demo_parts(name: str) -> None:
    check(load_demo(name), Planner())


def test_one_planner_for_many_jobs_plans_like_a_new_one() -> None:
    """What a planner remembers of other jobs must not show."""
    jobs = [load_demo(name) for name in ("stepped_pin", "rope_roller", "shaft_end")]
    warm = Planner()
    for job in (*jobs, *jobs):
        assert warm.plan(job) == Planner().plan(job)


@given(data=st.data(), bench=st.sampled_from(LATHES))
@settings(deadline=None)
def test_a_saved_job_comes_back_equal(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject, bench: Bench
) -> None:
    job = data.draw(fitting_jobs(bench))
    path: Path = tmp_path_factory.mktemp("jobs") / "drawn.job.json"
    save(job, path)
    assert load(path) == job


HANDS = (2, 3, 4, 5, 9, 10)
"""Right, left, neutral, two round noses, a pointed bit: numbers in the demo shop."""


def _nothing_is_hurt(job: Job) -> None:
    """What must hold of a plan whose tools were chosen without a thought for the part."""
    plan = Planner().plan(job)
    exact, read = replay(plan), replay(plan, as_read=True)
    invariants.no_event(exact)
    invariants.events_within(read, invariants.half_step_mm(plan, job.lathe))
    invariants.volumes_add_up(plan)
    invariants.passes_join_up(plan)
    invariants.left_overs_are_explained(plan)
    invariants.readings_reproduce_moves(plan, job.lathe)


@given(
    data=st.data(),
    bench=st.sampled_from(LATHES),
    rougher=st.sampled_from((1, 3, 5, 9)),
    finisher=st.sampled_from(HANDS),
)
@drawn(_SHARE)
def test_tools_of_every_hand(
    data: st.DataObject, bench: Bench, rougher: int, finisher: int
) -> None:
    job = data.draw(fitting_jobs(bench))
    operations = (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("rough", rougher),
        Operation("finish", finisher),
        Operation("part off", 7),
    )
    setup = msgspec.structs.replace(job.setups[0], operations=operations)
    _nothing_is_hurt(msgspec.structs.replace(job, setups=(setup,)))


@given(data=st.data(), bench=st.sampled_from(LATHES))
@drawn(_SHARE)
def test_work_on_the_centre(data: st.DataObject, bench: Bench) -> None:
    job = data.draw(fitting_jobs(bench))
    setup = job.setups[0]
    holding = msgspec.structs.replace(setup.holding, centre=True)
    part = msgspec.structs.replace(job.part, centre_hole="allowed")
    setups = (msgspec.structs.replace(setup, holding=holding),)
    _nothing_is_hurt(msgspec.structs.replace(job, part=part, setups=setups))
