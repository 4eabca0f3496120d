"""Thread moves in the replay: they take nothing, and run into nothing but their thread."""

from __future__ import annotations

import msgspec
import pytest

from tests.thread_jobs import BEFORE, cap, job, planned, relieved, tapped, thread_passes
from turnsketch.checking.replay import replay
from turnsketch.geometry.elements import Point
from turnsketch.job import Operation
from turnsketch.part.records import Section
from turnsketch.plan_records import Move, Pass, Plan

but = msgspec.structs.replace
PLAN = planned(job(relieved(), *BEFORE, Operation("thread", 32)))


def with_last_run(plan: Plan, z: float, r: float | None = None, **more: object) -> Plan:
    """Return the plan with the last thread pass's run ending elsewhere."""
    setup = plan.setups[0]
    made = next(p for p in reversed(setup.passes) if any(m.kind == "thread" for m in p.moves))
    moves: list[Move] = []
    before: Point = made.start
    for move in made.moves:
        end = move.to
        if move.kind == "thread" and not any(m.kind == "thread" for m in moves):
            moves.append(but(move, to=Point(z, end.r if r is None else r), **more))
            before = moves[-1].to
            continue
        if moves and moves[-1].kind == "thread":
            moves.append(but(move, kind="thread", pitch=1.75, to=Point(before.z, end.r)))
            continue
        moves.append(move)
    changed: Pass = but(made, moves=tuple(moves))
    passes = tuple(changed if p.number == made.number else p for p in setup.passes)
    return but(plan, setups=(but(setup, passes=passes),))


def test_thread_moves_take_no_metal_and_leave_the_part_as_it_is() -> None:
    played = replay(PLAN)
    assert not played.events
    threads = {p.number for p in thread_passes(PLAN)}
    assert threads
    taken = [p.removed_mm3 for p in played.setups[0].passes if p.number in threads]
    assert taken == [0.0] * len(threads)
    assert played.finished.under_mm < 1e-3


def test_the_same_moves_as_cuts_would_gouge() -> None:
    """M12 at full depth is 1.1 mm deep in the part."""
    bad = with_last_run(PLAN, -17.8, kind="cut", pitch=None)
    gouges = [e for e in replay(bad).events if e.kind == "gouge"]
    assert gouges
    assert max(e.depth_mm for e in gouges) > 0.9


def test_a_run_into_the_shoulder_is_a_gouge() -> None:
    events = replay(with_last_run(PLAN, -25.0)).events
    assert any(e.kind == "gouge" and "threading" in e.what for e in events)
    assert any(e.kind == "holder touches metal" for e in events)


def test_a_run_far_too_deep_is_a_gouge() -> None:
    events = replay(with_last_run(PLAN, -17.8, r=2.0)).events
    assert any(e.kind == "gouge" and e.depth_mm > 1.75 for e in events)


def test_a_run_into_the_jaws_is_seen() -> None:
    events = replay(with_last_run(PLAN, -90.0)).events
    assert any(e.kind == "hits obstacle" for e in events)


def test_a_tap_beyond_the_bottom_is_a_gouge() -> None:
    plan = planned(job(tapped()))
    assert not replay(plan).events
    setup = plan.setups[0]
    tap = next(p for p in setup.passes if p.operation == "tap")
    moves = tuple(but(m, to=Point(-33.0, 0.0)) if m.to.z < 0 else m for m in tap.moves)
    passes = tuple(but(p, moves=moves) if p.number == tap.number else p for p in setup.passes)
    events = replay(but(plan, setups=(but(setup, passes=passes),))).events
    assert any(e.kind == "gouge" for e in events)


def tap_to(plan: Plan, z: float) -> Plan:
    """Return the plan with its tap sent to another depth."""
    setup = plan.setups[0]
    tap = next(p for p in setup.passes if p.operation == "tap")
    moves = tuple(but(m, to=Point(z, 0.0)) if m.to.z < 0 else m for m in tap.moves)
    passes = tuple(but(p, moves=moves) if p.number == tap.number else p for p in setup.passes)
    return but(plan, setups=(but(setup, passes=passes),))


@pytest.mark.parametrize("thread", ["M6", "M8", "M10", "M12"])
def test_a_tap_through_the_part_meets_no_metal_in_the_bar_behind(thread: str) -> None:
    """A lead of 4 pitches goes beyond the part's end; the bar there is no part, and is metal."""
    hole = Section("cylinder", thread=thread, front_corner="1x45°")
    plan = planned(job(cap(hole, through=True), lathe="Boathouse"))
    assert not replay(plan).events
    passes = plan.setups[0].passes
    tip = min(m.to.z for p in passes if p.operation == "tap" for m in p.moves)
    drilled = min(p.quill.full_z for p in passes if p.quill and p.quill.full_z is not None)
    assert drilled < tip < -40.0
    far = replay(tap_to(plan, drilled - 1.5)).events
    assert [e.kind for e in far] == ["tap meets metal"]
    assert far[0].what.startswith("front end of tool")


def test_a_tap_keeps_from_the_bottom_of_a_hole_that_is_drilled_short() -> None:
    hole = Section("cylinder", thread="M12", front_corner="1x45°")
    before = (
        Operation("face", 1),
        Operation("centre hole", 13),
        Operation("drill", 44, to_depth="41"),
    )
    plan = planned(job(cap(hole, through=True), *before, Operation("tap", 84), lathe="Boathouse"))
    assert not replay(plan).events
    tip = min(m.to.z for p in plan.setups[0].passes if p.operation == "tap" for m in p.moves)
    assert -42.5 < tip < -40.0
    assert "thread-lead" in {f.code for f in plan.findings}


@pytest.mark.parametrize("as_read", [False, True])
def test_readings_of_threads_are_played_too(as_read: bool) -> None:
    threads = {p.number for p in thread_passes(PLAN)}
    assert not [e for e in replay(PLAN, as_read).events if e.pass_number in threads]
