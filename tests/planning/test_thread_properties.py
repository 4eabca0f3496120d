"""Threads in plans of drawn parts: the independent replay finds nothing."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pipeline import invariants
from tests.thread_jobs import RELIEF, but, cap, job, pin, setting, thread_passes
from turnsketch.checking.replay import replay
from turnsketch.job import Job
from turnsketch.part.records import Section
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass

SIZES = ("M10", "M10x1", "M12", "M12x1.25", "M16", "M16x1.5", "M20x2")


@st.composite
def threaded_jobs(draw: st.DrawFn) -> Job:
    """Draw a threaded pin or cap for a lathe of the demo shop."""
    size = draw(st.sampled_from(SIZES))
    lathe = draw(st.sampled_from(("Slipway 1", "Slipway 2", "Boathouse")))
    if draw(st.booleans()):
        deep = draw(st.integers(20, 30))
        long = draw(st.integers(8, deep - 6))
        hole = Section(
            "cylinder", thread=size, thread_length=str(long), length=str(deep),
            front_corner=draw(st.sampled_from((None, "1x45°"))),
        )  # fmt: skip
        return job(cap(hole), lathe=lathe)
    long = draw(st.integers(14, 30))
    hand = draw(st.sampled_from(("", " LH")))
    relief = draw(st.booleans())
    end: dict[str, str] = {"length": str(long)}
    if not relief and draw(st.booleans()):
        end["thread_length"] = str(long - draw(st.integers(1, 8)))
    part = pin(size + hand, **end)
    if relief:
        pitch = resolve(part, "mm").threads[0].pitch
        part = but(part, grooves=(but(RELIEF[0], size=f"{pitch:g}"),))
    return job(part, lathe=lathe, bar="32")


@given(made=threaded_jobs())
@settings(
    max_examples=max(4, settings().max_examples // 8),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
def test_threads_replay_clean(made: Job) -> None:
    plan = Planner().plan(made)
    exact, read = replay(plan), replay(plan, as_read=True)
    invariants.no_event(exact)
    invariants.events_within(read, invariants.half_step_mm(plan, made.lathe))
    invariants.passes_join_up(plan)
    invariants.readings_reproduce_moves(plan, made.lathe)
    for one in thread_passes(plan):
        _keeps_its_place(one)


def _keeps_its_place(made: Pass) -> None:
    how = setting(made)
    run = next(m for m in made.moves if m.kind == "thread")
    sign = 1 if made.inside else -1
    assert 2 * sign * (run.to.r - how.blank_mm / 2) == pytest.approx(2 * how.depth_mm, abs=1e-6)
    assert sign * (how.full_x_mm - how.blank_mm) > 0
    if not how.left_hand:
        assert run.to.z >= how.last_z - 1e-6
