"""Whatever the replay saw is a stop, told once for each cause."""

from __future__ import annotations

import re

from tests.findings.cases import (
    PIN,
    ROLLER,
    SHAFT,
    but,
    planned,
    view_of,
    with_pass,
)
from turnsketch.findings.replayed import events
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.plan_records import Finding, Obstacle, Pass, Plan


def finishing(job: Job, surface: str) -> Pass:
    return next(
        p
        for p in planned(job).setups[0].passes
        if p.operation == "finish" and p.surface.startswith(surface) and p.last_on_surface
    )


def told(job: Job, changed: Plan) -> list[Finding]:
    return [f for f in events(view_of(job, changed)) if f.code != "start-mismatch"]


def lowered(made: Pass, by: float) -> Pass:
    """Return the pass with its cuts (exact and read) `by` deeper on radius."""
    moves = tuple(
        but(m, to=Point(m.to.z, m.to.r - by)) if m.kind == "cut" else m for m in made.moves
    )
    readings = tuple(
        but(r, x=r.x - 2 * by) if m.kind == "cut" else r
        for r, m in zip(made.readings, made.moves, strict=True)
    )
    return but(made, moves=moves, readings=readings)


def test_a_sound_plan_has_no_event() -> None:
    for job in (PIN, SHAFT, ROLLER):
        assert not list(events(view_of(job)))


def test_a_gouge_is_a_stop_at_its_place() -> None:
    made = finishing(PIN, "seat")
    found = told(PIN, with_pass(planned(PIN), lowered(made, 0.05)))
    gouge = next(f for f in found if f.code == "gouge")
    assert gouge.severity == "stop"
    assert gouge.pass_number == made.number
    assert gouge.z is not None
    assert -58.1 < gouge.z < -21.9
    assert gouge.r is not None
    assert "0.050 mm into the part" in gouge.message
    assert len([f for f in found if f.code == "gouge"]) == 1  # not again for the readings


def test_a_gouge_of_the_readings_alone_is_a_stop_of_its_own() -> None:
    made = finishing(PIN, "seat")
    wrong = tuple(but(r, x=24.9 if abs(r.x - 24.99) < 1e-6 else r.x) for r in made.readings)
    found = told(PIN, with_pass(planned(PIN), but(made, readings=wrong)))
    assert [f.code for f in found] == ["gouge"]
    assert "readings as rounded" in found[0].message


def test_half_a_readout_step_is_no_gouge() -> None:
    made = finishing(PIN, "end")
    near = tuple(but(r, x=11.99 if abs(r.x - 12.0) < 1e-6 else r.x) for r in made.readings)
    assert near != made.readings
    # 0.005 on radius is more than the 0.0035 that rounding to 0.005 in Z and 0.01 in X may do
    far = tuple(but(r, x=11.995 if abs(r.x - 12.0) < 1e-6 else r.x) for r in made.readings)
    assert not told(PIN, with_pass(planned(PIN), but(made, readings=far)))
    assert told(PIN, with_pass(planned(PIN), but(made, readings=near)))


def test_an_inch_job_is_told_in_inches() -> None:
    made = finishing(ROLLER, "front rim")
    (gouge,) = [
        f for f in told(ROLLER, with_pass(planned(ROLLER), lowered(made, 0.3))) if f.code == "gouge"
    ]
    assert re.search(r"0\.01\d\d in into the part", gouge.message), gouge.message
    assert "mm" not in gouge.message


def test_holders_in_the_centre_are_one_stop() -> None:
    made = planned(PIN)
    setup = made.setups[0]
    point = (Point(1.0, 0.0), Point(16.6, 9.0), Point(16.6, 0.0))
    body = (Point(16.6, 0.0), Point(56.6, 0.0), Point(56.6, 12.5), Point(16.6, 12.5))
    centre = (Obstacle("centre", point), Obstacle("centre body", body))
    changed = but(made, setups=(but(setup, obstacles=(*setup.obstacles, *centre)),))
    (found,) = [f for f in told(PIN, changed) if f.code == "hits-obstacle"]
    assert found.severity == "stop"
    assert "the centre" in found.message
    assert "centre is in" in found.remedy
    assert found.pass_number == 1


def test_jaws_that_are_hit_are_named() -> None:
    made = planned(PIN).setups[0].passes[-1]  # parting off
    moves = tuple(but(m, to=Point(m.to.z - 15.0, m.to.r)) for m in made.moves)
    found = told(PIN, with_pass(planned(PIN), but(made, moves=moves)))
    hit = next(f for f in found if f.code == "hits-obstacle")
    assert "the jaws" in hit.message
    assert "stand out" in hit.remedy


def test_positioning_through_metal_is_a_stop() -> None:
    made = finishing(PIN, "seat")
    moves = tuple(but(m, kind="position") for m in made.moves)
    found = told(PIN, with_pass(planned(PIN), but(made, moves=moves)))
    through = next(f for f in found if f.code == "positioning-through-metal")
    assert through.severity == "stop"
    assert through.pass_number == made.number


def test_a_loose_part_is_a_stop() -> None:
    made = planned(PIN).setups[0].passes[-1]
    loose = but(made, operation="rough")  # nobody said that the part comes off here
    found = told(PIN, with_pass(planned(PIN), loose))
    piece = next(f for f in found if f.code == "loose-piece")
    assert piece.severity == "stop"
    assert "the part" in piece.message
    assert "comes loose" in piece.message


def test_a_pass_that_begins_elsewhere_is_a_stop() -> None:
    made = planned(PIN).setups[0].passes[3]
    away = but(made, start=Point(made.start.z + 1.0, made.start.r))
    found = [
        f for f in events(view_of(PIN, with_pass(planned(PIN), away))) if f.code == "start-mismatch"
    ]
    assert len(found) == 1
    assert found[0].pass_number == made.number
    assert "1.000 mm" in found[0].message


def test_a_holder_in_the_metal_is_one_stop_for_all_its_passes() -> None:
    made = planned(PIN)
    setup = made.setups[0]
    fat = tuple(
        but(p, ring=tuple(Point(q.z - 5.0, q.r) for q in p.ring))
        if t.number == 1 and not p.cuts
        else p
        for t in setup.tools
        if t.number == 1
        for p in t.pieces
    )
    tools = tuple(but(t, pieces=fat) if t.number == 1 else t for t in setup.tools)
    found = [
        f
        for f in told(PIN, but(made, setups=(but(setup, tools=tools),)))
        if f.code == "holder-touches-metal"
    ]
    assert len(found) == 1
    assert found[0].severity == "stop"
    assert found[0].message.startswith("passes ")
    assert "holder of T1" in found[0].message


def test_a_second_blank_that_is_not_what_the_first_left_is_a_stop() -> None:
    blank = but(PIN.blank, length="177", front="2")
    first = but(PIN.setups[0], operations=None, sections=(1,))
    second = but(first, pull_out="20", sections=(2, 3), holding=but(first.holding, grip=None))
    job = but(PIN, blank=blank, setups=(first, second))
    made = planned(job)
    assert not [f for f in made.findings if f.code == "blank-mismatch"]
    before, after = made.setups
    wrong = but(made, setups=(before, but(after, blank=before.blank)))
    (found,) = [f for f in events(view_of(job, wrong).at(1)) if f.code == "blank-mismatch"]
    assert found.severity == "stop"
    assert "report it" in found.remedy
    assert found.message.startswith("the blank differs by ")
    assert found.pass_number is None
