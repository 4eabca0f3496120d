"""Threads in whole plans: depth by the tool's own tip, infeed, run-out, hand, taps and dies."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tests.thread_jobs import (
    BEFORE,
    DRILLED,
    but,
    cap,
    codes,
    job,
    pin,
    planned,
    relieved,
    setting,
    tapped,
    thread_passes,
    tool,
    with_tools,
)
from turnsketch.checking.replay import replay
from turnsketch.errors import InputError
from turnsketch.job import Operation
from turnsketch.part.records import Groove, Section
from turnsketch.part.resolve import resolve
from turnsketch.part.thread_infeed import top_slide_travel
from turnsketch.part.thread_sections import thread_of
from turnsketch.plan_records import Plan


def threaded(number: int = 32, **more: object) -> Plan:
    """Return the plan of the relieved pin with a single point."""
    return planned(job(relieved(), *BEFORE, but(Operation("thread", number), **more)))


@pytest.mark.parametrize(("radius", "x"), [(0.10, 9.438), (0.20, 9.638), (0.25, 9.738)])
def test_full_depth_comes_from_the_tip_radius(radius: float, x: float) -> None:
    """M12x1.75 6g, d2 10.754: X = d2 - H + 2 rho (worked)."""
    shop = with_tools(but(tool(31), nose_radius_mm=radius))
    plan = planned(job(relieved(), *BEFORE, Operation("thread", 31)), shop)
    last = thread_passes(plan)[-1]
    assert setting(last).full_x_mm == pytest.approx(x, abs=1e-3)
    deepest = min(m.to.r for m in last.moves if m.kind == "thread")
    assert 2 * deepest == pytest.approx(x, abs=1e-3)
    assert min(r.x for r in last.readings) == pytest.approx(x, abs=0.005)


def test_the_slide_goes_depth_over_the_cosine() -> None:
    """1.096 of depth at 29.5 degrees is 1.259 on the slide; its scale shows 60.5 (worked)."""
    assert top_slide_travel(1.096, math.radians(29.5)) == pytest.approx(1.259, abs=5e-4)
    for made in thread_passes(threaded(infeed="flank")):
        how = setting(made)
        assert how.slide_travel_mm == pytest.approx(how.depth_mm / math.cos(math.radians(29.5)))
        assert how.slide_scale_deg == 60.5
    last = setting(thread_passes(threaded(infeed="flank"))[-1])
    assert last.slide_travel_mm == pytest.approx(1.261, abs=1e-3)


def test_the_scale_of_a_slide_that_shows_0_across() -> None:
    made = job(relieved("1/2-13 UNC"), *BEFORE, Operation("thread", 31, infeed="flank"))
    plan = planned(but(made, lathe="Boathouse"))
    assert {setting(p).slide_scale_deg for p in thread_passes(plan)} == {29.5}


def test_a_hand_can_follow() -> None:
    """N <= 60 x room / (pitch x 1 s): 2.5 mm and 1.75 give 86 rpm (worked).

    The room is counted from where the run is to end: what lies before is gone by then.
    """
    for made in thread_passes(threaded()):
        how = setting(made)
        room = next(m.to.z for m in made.moves if m.kind == "thread") - how.last_z
        assert 0.6 * how.free_run_mm < room < how.free_run_mm
        assert how.hand_rpm == pytest.approx(60 * room / 1.75)
        assert made.rpm <= how.hand_rpm
        assert made.speed_limited_by == "hand at the thread's end"
        assert how.hand_rpm == pytest.approx(86 * room / 2.5, rel=0.01)


def test_one_speed_for_all_passes_of_a_thread() -> None:
    """In a bore each pass is wider, and would want less alone; a gear would shift in between."""
    hole = Section("cylinder", thread="M27x3-6H LH", length="20", front_corner="2x45°")
    holes = (hole, Section("cylinder", diameter="20", length="20"))
    part = cap(*holes, through=True, grooves=(Groove("thread relief", 2),))
    passes = thread_passes(planned(job(part, lathe="Slipway 2")))
    assert len(passes) > 5
    assert len({p.rpm for p in passes}) == 1
    assert all(p.rpm <= setting(p).hand_rpm for p in passes)


def test_over_wires_before_the_spring_passes() -> None:
    """12.195 to 12.345 over best wires of 1.0104 (worked)."""
    passes = thread_passes(threaded())
    with_wires = [p for p in passes if setting(p).wires is not None]
    assert with_wires == [next(p for p in passes if setting(p).spring)]
    wires = setting(with_wires[0]).wires
    assert wires is not None
    assert wires.wire_mm == pytest.approx(1.0104, abs=1e-4)
    assert (wires.lower_mm, wires.upper_mm) == pytest.approx((12.195, 12.345), abs=5e-4)


@pytest.mark.parametrize("infeed", ["straight", "flank"])
def test_passes_get_thinner_and_end_with_two_springs(infeed: str) -> None:
    passes = thread_passes(threaded(infeed=infeed))
    depths = [setting(p).depth_mm for p in passes]
    assert [setting(p).spring for p in passes] == [False] * (len(passes) - 2) + [True] * 2
    steps = [b - a for a, b in pairwise([0.0, *depths[:-2]])]
    assert all(step > 0.03 - 0.011 for step in steps)
    assert all(b < a + 0.021 for a, b in pairwise(steps)), steps
    areas = [b * b - a * a for a, b in pairwise([0.0, *depths[:-2]])]
    assert max(areas[:-1]) < 1.6 * min(areas[:-1]), "about equal chips"
    assert [p.depth for p in passes][-2:] == [0.0, 0.0]


def test_the_depth_of_the_first_pass_is_the_jobs() -> None:
    few, many = threaded(depth="0.4"), threaded(depth="0.2")
    assert len(thread_passes(few)) < len(thread_passes(threaded())) < len(thread_passes(many))
    with pytest.raises(InputError) as caught:
        threaded(depth="0")
    assert "operations[5] (thread).depth" in caught.value.where


def test_coarse_threads_are_fed_along_the_flank() -> None:
    assert setting(thread_passes(threaded())[0]).infeed == "flank"
    fine = planned(job(relieved("M12x1"), *BEFORE, Operation("thread", 31)))
    assert setting(thread_passes(fine)[0]).infeed == "straight"


def test_the_run_starts_in_front_and_ends_in_the_relief() -> None:
    part = resolve(relieved(), "mm")
    place = part.threads[0]
    shoulder = -22.0
    for made in thread_passes(threaded()):
        how, runs = setting(made), [m for m in made.moves if m.kind == "thread"]
        assert runs[0].pitch == 1.75
        assert place.back_z - runs[0].to.z > 0.3 * 1.75, "the last turn is full"
        start = made.moves[made.moves.index(runs[0]) - 1].to
        assert start.z >= place.front_z + 3 * 1.75 - 1e-9
        assert shoulder < how.last_z < runs[0].to.z < place.back_z
        assert how.relief


def test_without_a_relief_the_tool_is_drawn_out() -> None:
    plan = planned(job(pin(thread_length="14"), *BEFORE, Operation("thread", 32)))
    made = thread_passes(plan)[-1]
    runs = [m for m in made.moves if m.kind == "thread"]
    assert [m.pitch for m in runs] == [1.75, 1.75]
    assert runs[0].to.z < -14.0
    assert runs[1].to.r > 6.0
    assert not setting(made).relief
    assert setting(made).free_run_mm <= 2.5 * 1.75 + 1e-9
    assert not replay(plan).events


def test_a_left_hand_thread_runs_from_its_relief_to_the_tailstock() -> None:
    plan = planned(job(relieved("M12 LH"), *BEFORE, Operation("thread", 32)))
    for made in thread_passes(plan):
        run = next(m for m in made.moves if m.kind == "thread")
        start = made.moves[made.moves.index(run) - 1].to
        assert start.z < -15.9 < 0.0 < run.to.z
        assert setting(made).toward == "tailstock"
    assert not replay(plan).events
    bare = planned(job(pin("M12 LH", thread_length="14"), *BEFORE, Operation("thread", 32)))
    assert not thread_passes(bare)


INNER = (
    Section("cylinder", thread="M24x1.5", thread_length="18", length="24", front_corner="1x45°"),
    Section("cylinder", diameter="16", length="16"),
)


def test_an_inside_thread_goes_outward() -> None:
    """M24x1.5 6H with tip r 0.10: X = D2 + H - 2 rho = 24.225 (worked)."""
    plan = planned(job(cap(*INNER, through=True)))
    passes = thread_passes(plan)
    assert {p.tool for p in passes} == {34}
    assert all(p.inside for p in passes)
    xs = [max(m.to.r for m in p.moves if m.kind == "thread") for p in passes]
    assert xs == sorted(xs)
    thread = thread_of(resolve(cap(*INNER, through=True), "mm").threads[0])
    assert thread.pitch_diameter.aim == pytest.approx(23.126, abs=1e-3)
    assert 2 * xs[-1] == pytest.approx(23.126 + 1.299 - 0.2, abs=1e-3)
    assert not replay(plan).events


def test_a_tap_follows_its_drill() -> None:
    plan = planned(job(tapped()))
    kinds = [(o.kind, o.tool) for o in plan.setups[0].operations if o.first_pass]
    assert kinds.index(("drill", 42)) < kinds.index(("tap", 82))
    tap = next(p for p in plan.setups[0].passes if p.operation == "tap")
    goal = min(m.to.z for m in tap.moves)
    assert goal == pytest.approx(-15.0 - 4 * 1.25)
    assert tap.direction == "drill"
    assert not replay(plan).events
    early = planned(job(tapped(), *DRILLED, Operation("tap", 82), Operation("drill", 42)))
    assert not [p for p in early.setups[0].passes if p.operation == "tap"]


def test_a_tapped_hole_above_a_narrow_one_gets_both_drills() -> None:
    holes = (
        Section("cylinder", thread="M12", thread_length="16", length="24"),
        Section("cylinder", diameter="6", length="16"),
    )
    plan = planned(job(cap(*holes, through=True)))
    made = [o.tool for o in plan.setups[0].operations if o.kind in ("drill", "tap")]
    assert made == [41, 44, 84]
    tap = next(p for p in plan.setups[0].passes if p.operation == "tap")
    assert min(m.to.z for m in tap.moves) > -24.0, "the narrow hole stops it"


def test_a_die_where_the_gearbox_has_not_the_pitch() -> None:
    plan = planned(job(relieved(), lathe="Boathouse"))
    assert not thread_passes(plan)
    die = next(p for p in plan.setups[0].passes if p.operation == "die")
    assert die.tool == 89
    assert min(m.to.z for m in die.moves) == pytest.approx(-15.9 - 2 * 1.75, abs=0.2)
    assert not replay(plan).events
    early = planned(job(relieved(), Operation("die", 89), *BEFORE))
    assert not [p for p in early.setups[0].passes if p.operation == "die"]


def test_the_proposal_threads_behind_chamfer_and_relief() -> None:
    plan = planned(job(relieved()))
    kinds = [o.kind for o in plan.setups[0].operations]
    assert kinds == ["face", "rough", "groove", "finish", "chamfer", "thread", "part off"]
    assert plan.setups[0].operations[5].tool == 35, "the bluntest point that the thread allows"
    assert plan.setups[0].operations[5].means == "gearbox 1.75 mm"


def test_a_thread_is_made_in_the_setup_that_turns_it() -> None:
    made = job(relieved())
    turned = but(made.setups[0], name="Second setup", turned=True)
    plan = planned(but(made, setups=(but(made.setups[0]), turned)))
    numbers = [s.number for s in plan.setups for p in s.passes if p.thread is not None]
    assert set(numbers) == {1}


def test_nothing_is_planned_for_another_kind_of_tool() -> None:
    for wrong in (Operation("thread", 2), Operation("thread", 34), Operation("die", 86)):
        plan = planned(job(relieved(), *BEFORE, wrong))
        assert "no-pass" in codes(plan)
