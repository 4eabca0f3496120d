"""The cone of a drill's point: a bar does not run into it, and a blind bottom is faced open."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import shapely

from turnsketch.checking.replay import replay
from turnsketch.findings.metal import region
from turnsketch.job import Blank, BlankStep, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline.flow import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.planning.rough_depth import depth_met, shallow_end

BARS = ("bore", "finish bore")
FACED_MM = 1.0
"""Metal so thin along the axis, at a cut's end, is faced with it and is no depth."""


def cylinder(diameter: str, length: str | None = None, **more: str) -> Section:
    return Section("cylinder", diameter=diameter, length=length, **more)  # type: ignore[arg-type]


def bushed(
    bore: Bore,
    *,
    outside: str = "40",
    length: str = "40",
    blank: Blank | None = None,
    operations: tuple[Operation, ...] | None = None,
) -> Plan:
    part = PartRecord("bush", (cylinder(outside, length),), material="mild steel", bore=bore)
    blank = blank or Blank(str(float(outside) + 2), "90")
    setup = Setup(Holding("Three-jaw 160", "28"), operations=operations)
    return Planner().plan(Job(part, blank, "Slipway 1", (setup,)))


STEPPED = Bore(
    (
        cylinder("30 H7", "12", front_corner="1x45°"),
        Section("taper", front_diameter="30", back_diameter="22", length="10"),
        cylinder("18 H7"),
    ),
    through=True,
)
WIDE = Bore((cylinder("32 H7"),), through=True)
FLAT = Bore((cylinder("25", "30", back_corner="R3"),))


def along(plan: Plan) -> Iterator[tuple[Pass, float]]:
    """Yield each boring cut along the axis with the depth that the bar truly met in it."""
    setup = plan.setups[0]
    before = region(setup.blank)
    for made, result in zip(setup.passes, replay(plan).setups[0].passes, strict=True):
        here, met = made.start, 0.0
        for move in made.moves:
            level = move.kind == "cut" and abs(move.to.r - here.r) < 1e-6
            if made.operation in BARS and level and move.to.r > 0.01:
                z = here.z
                while z > move.to.z + FACED_MM:
                    strip = shapely.clip_by_rect(before, z - 0.05, 0.0, z + 0.05, move.to.r)
                    met = max(met, 0.0 if strip.is_empty else move.to.r - strip.bounds[1])
                    z -= 0.25
            here = move.to
        if made.operation in BARS:
            yield made, met
        before = region(result.remaining)


@pytest.mark.parametrize("bore", [STEPPED, WIDE, FLAT], ids=["stepped", "wide", "flat"])
def test_no_bar_meets_more_than_it_takes_and_the_row_says_what_it_meets(bore: Bore) -> None:
    """Once the bar met 4.5 to 8.6 mm of cone, where its row said 0.7 to 1.0."""
    plan = bushed(bore, outside="50" if bore is WIDE else "40")
    tools = {t.number: t for t in plan.source.shop.tools} if plan.source else {}
    found = list(along(plan))
    assert found
    for made, met in found:
        # A tenth for the slope of the cone within a strip.
        assert met <= tools[made.tool].greatest_depth_mm + 0.1, made.number
        if made.direction == "turn":
            # Beside a round bottom corner its allowance is thicker on the radius.
            assert met <= made.depth + 0.15, made.number
    assert replay(plan).events == ()
    assert plan.finished.under_mm < 1e-6


@pytest.mark.parametrize("bore", [STEPPED, WIDE], ids=["stepped", "wide"])
def test_the_drill_goes_beyond_the_last_bored_place(bore: Bore) -> None:
    plan = bushed(bore, outside="50" if bore is WIDE else "40")
    passes = plan.setups[0].passes
    drills = [p.quill for p in passes if p.operation == "drill"]
    full = min(q.full_z for q in drills if q is not None and q.full_z is not None)
    bored = min(m.to.z for p in passes if p.operation in BARS for m in p.moves)
    assert full < bored


def test_a_flat_bottom_is_faced_in_layers_from_the_middle_outward() -> None:
    plan = bushed(FLAT)
    faced = [p for p in plan.setups[0].passes if p.operation == "bore" and p.direction == "face"]
    assert len(faced) >= 5
    ends = []
    for made in faced:
        cuts = [m.to for m in made.moves if m.kind == "cut"]
        ends.append(cuts[-1].z)
        assert made.depth <= 0.76
        assert cuts[-1].r > made.moves[0].to.r - 20
    assert ends == sorted(ends, reverse=True)
    # The allowance of 0.2 stays for the finish.
    assert ends[-1] == pytest.approx(-29.8, abs=0.11)
    assert max(left.height_mm for left in plan.finished.left_over) < 1.0


def test_a_cut_ends_where_metal_stands_too_deep_but_for_what_is_faced() -> None:
    wall = shapely.union_all([shapely.box(-30, 0, 0, 10.5), shapely.box(-30, 10, -20, 15)])
    assert shallow_end(wall, 10.0, 2.0, -25.0, 1.0) == pytest.approx(-20.0)
    assert shallow_end(wall, 10.0, 2.0, -20.4, 1.0) == -20.4
    assert shallow_end(wall, 10.0, 2.0, -19.0, 1.0) == -19.0
    taken = shapely.clip_by_rect(wall, -25, 10, 0, 20)
    assert depth_met(taken, 10.0) == pytest.approx(5.0, abs=0.02)
    assert depth_met(shapely.clip_by_rect(wall, -20.4, 10, 0, 20), 10.0) == pytest.approx(
        0.5, abs=0.02
    )


def test_a_cored_hole_is_bored_and_not_drilled() -> None:
    step = BlankStep("66", "80", bore="20")
    blank = Blank("66", "80", shape="steps", skin="black", steps=(step,))
    plan = bushed(Bore((cylinder("30 H7"),), through=True), outside="60", blank=blank)
    kinds = [o.kind for o in plan.setups[0].operations]
    assert "drill" not in kinds
    assert "bore" in kinds
    narrow = BlankStep("66", "80", bore="6")
    tight = bushed(
        Bore((cylinder("30 H7"),), through=True),
        outside="60",
        blank=Blank("66", "80", shape="steps", skin="black", steps=(narrow,)),
    )
    assert "drill" in [o.kind for o in tight.setups[0].operations]


def threaded(text: str) -> Plan:
    section = Section("cylinder", length="30", thread=text, front_corner="2x45°")
    return bushed(Bore((section,), through=True), length="30", blank=Blank("42", "80"))


def test_a_through_thread_runs_out_into_what_is_parted_off() -> None:
    plan = threaded("M24x2-6H")
    cuts = [p for p in plan.setups[0].passes if p.thread is not None]
    assert cuts
    setting = cuts[-1].thread
    assert setting is not None
    assert setting.free_run_mm >= 2.0
    assert min(m.to.z for m in cuts[-1].moves if m.kind == "thread") < -31.0
    assert not {"thread-run-out", "thread-not-made"} & {f.code for f in plan.findings}
    assert replay(plan).events == ()


def test_a_left_hand_through_thread_starts_from_behind() -> None:
    plan = threaded("M24x2-6H LH")
    cuts = [p for p in plan.setups[0].passes if p.thread is not None]
    assert len(cuts) > 10
    for made in cuts:
        fed = next(m.to for m in made.moves if m.kind == "cut")
        run = next(m.to for m in made.moves if m.kind == "thread")
        assert fed.z <= -32.0
        assert run.z > 0.0
        assert run.r == pytest.approx(fed.r)
    assert "thread-not-made" not in {f.code for f in plan.findings}
    assert replay(plan).events == ()
