"""Grooves by tools ground to their form, in guided moves, and by the top slide."""

from __future__ import annotations

import math

import msgspec
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Groove, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.planning.part_solid import part_region
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop, Tool

but = msgspec.structs.replace

_EXAMPLES = max(1, settings().max_examples // 10)
_EXACT_MM = 2.5e-4
"""Chords of the replay, and what a tool that just fits is moved off the walls."""

SECTIONS = (
    Section("cylinder", thread="M16x2-6g", length="26", front_corner="2x45°"),
    Section("cylinder", name="seat", diameter="25", length="36", front_corner="1x45°"),
    Section("cylinder", name="head", diameter="34", length="8"),
)
RELIEF = Groove("thread relief", 1, size="2")


def job(*grooves: Groove, lathe: str = "Slipway 1", means: str | None = None, tool: int = 0) -> Job:
    """Return a threaded shaft with grooves; with a tool the grooves are made by it."""
    part = PartRecord("shaft", SECTIONS, material="mild steel", grooves=grooves)
    operations = None
    if tool:
        groove = Operation("groove", tool, means=means)  # type: ignore[arg-type]
        operations = (Operation("face", 1), Operation("rough", 1), groove, Operation("finish", 2))
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations)
    return Job(part, Blank("36", "112"), lathe, (setup,))


def grooving(plan: Plan) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.operation == "groove"]


def cuts(made: Pass) -> list[tuple[float, float]]:
    return [(m.to.z, 2 * m.to.r) for m in made.moves if m.kind == "cut"]


def standing_in(plan: Plan, groove: int = 0) -> shapely.Geometry:
    """Return the metal that still stands in a groove of the plan's part, from the replay."""
    assert plan.source is not None
    part = resolve(plan.source.job.part, "mm")
    remaining = shapely.union_all([Polygon(ring) for ring in replay(plan).setups[0].remaining])
    ends = [p.z for e in part.grooves[groove].elements for p in (e.start, e.end)]
    low, high = min(ends) + 0.01, max(ends) - 0.01
    top = part.grooves[groove].elements[0].start.r - 0.01
    left = remaining.difference(part_region(part, 1e-4))
    return shapely.clip_by_rect(left, low, 0.0, high, top)


def highest(left: shapely.Geometry) -> float:
    """Return how thick metal stands at most, as the diameter of a disc in it."""
    parts = [g for g in shapely.get_parts(left) if g.area > 1e-9]
    return max((2 * float(shapely.maximum_inscribed_circle(g).length) for g in parts), default=0.0)


def harmless(plan: Plan) -> None:
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert plan.finished.under_mm < _EXACT_MM
    assert not replay(plan).events
    assert not [e for e in replay(plan, as_read=True).events if e.depth_mm > 0.006]


def without_forms(shop: Shop) -> Shop:
    return but(shop, tools=tuple(t for t in shop.tools if t.kind != "groove form"))


def v_bit(angle: float, tip: float) -> Tool:
    """Return a bit ground to a vee."""
    flank = 90 - angle / 2
    known = next(t for t in demo_shop().tools if t.number == 70)
    return but(
        known, number=96, name="V bit", nose_radius_mm=tip, edge_angle_deg=flank,
        end_edge_angle_deg=flank, holder=(),
    )  # fmt: skip


@given(
    angle=st.sampled_from([60, 75, 90, 120]),
    tip=st.sampled_from([0.2, 0.4, 0.8]),
    depth=st.floats(1.0, 3.0),
    lathe=st.sampled_from(["Slipway 1", "Slipway 2", "Boathouse"]),
)
@settings(max_examples=_EXAMPLES, deadline=None)
def test_a_v_bit_leaves_exactly_its_vee_by_plunging(
    angle: int, tip: float, depth: float, lathe: str
) -> None:
    shop = but(demo_shop(), tools=(*demo_shop().tools, v_bit(angle, tip)))
    bottom = f"{25 - 2 * depth:.2f}"
    groove = Groove("vee", 2, from_front="10", angle=f"{angle}°", diameter=bottom, corner=f"R{tip}")
    plan = Planner(shop).plan(job(groove, lathe=lathe))
    harmless(plan)
    passes = grooving(plan)
    assert {p.direction for p in passes} == {"plunge"}
    assert len({z for p in passes for z, _ in cuts(p)}) == 1, "X alone"
    assert highest(standing_in(plan)) < _EXACT_MM


@pytest.mark.parametrize("lathe", ["Slipway 1", "Slipway 2", "Boathouse"])
def test_undercut_and_relief_bits_leave_no_cusps(lathe: str) -> None:
    plan = Planner().plan(job(RELIEF, Groove("undercut F", 2), lathe=lathe))
    harmless(plan)
    (undercut,) = (p for p in grooving(plan) if p.surface.startswith("undercut"))
    assert undercut.tool == 65
    assert {p.tool for p in grooving(plan) if p is not undercut} == {67}
    assert all(p.steps is None for p in grooving(plan))
    assert highest(standing_in(plan, 0)) < _EXACT_MM
    # where slope and floor of form F meet without a round the nose leaves r (1 / cos 7.5 - 1)
    assert highest(standing_in(plan, 1)) < 0.6 * (1 / math.cos(math.radians(7.5)) - 1)
    assert "cusp" not in {left.cause for left in plan.finished.left_over}
    # form F: in X in front of the shoulder, in Z t2 = 0.2 under it, back and out
    (first, bottom), (last, same) = cuts(undercut)
    assert bottom == same
    assert first > -62 + 0.1
    assert last == pytest.approx(-62.2, abs=1e-3), "within the chords of the round"


def test_a_bit_of_another_form_is_not_tried() -> None:
    plan = Planner().plan(job(Groove("undercut F", 2, size="1x0.2")))
    assert 65 not in {p.tool for p in grooving(plan)}
    assert {p.tool for p in grooving(Planner().plan(job(Groove("undercut E", 2))))} == {65}


def test_a_round_nosed_bit_of_the_grooves_radius_only_plunges() -> None:
    plan = Planner().plan(job(Groove("round", 2, from_front="8", width="3", diameter="21")))
    harmless(plan)
    assert {(p.tool, p.direction) for p in grooving(plan)} == {(9, "plunge")}
    assert highest(standing_in(plan)) < _EXACT_MM


@st.composite
def _slanting(draw: st.DrawFn) -> Groove:
    bottom = f"{25 - 2 * draw(st.floats(1.0, 2.5)):.2f}"
    kind = draw(st.sampled_from(["vee", "plain", "undercut F", "relief"]))
    if kind == "vee":
        angle = draw(st.sampled_from(["60°", "90°"]))
        return Groove("vee", 2, from_front="10", angle=angle, diameter=bottom, corner="R0.5")
    if kind == "plain":
        angle = draw(st.sampled_from(["15°", "40°"]))
        return Groove(
            "plain", 2, from_front="9", width="9", diameter=bottom, angle=angle, corner="R0.5"
        )
    return RELIEF if kind == "relief" else Groove("undercut F", 2)


@given(groove=_slanting())
@settings(max_examples=_EXAMPLES, deadline=None)
def test_a_guided_slant_is_the_stepped_one_without_its_cusps(groove: Groove) -> None:
    shop = without_forms(demo_shop())
    tools = {"undercut F": 73, "thread relief": 2, "vee": 10, "plain": 4}
    tool = tools[groove.kind]
    planner = Planner(shop)
    guided = planner.plan(job(groove, lathe="Slipway 2", tool=tool))
    stepped = planner.plan(job(groove, lathe="Slipway 2", tool=tool, means="steps"))
    harmless(guided)
    harmless(stepped)
    assert not [p for p in grooving(guided) if p.steps is not None]
    assert [p for p in grooving(stepped) if p.steps is not None]
    cusps = standing_in(stepped).difference(standing_in(guided))
    assert highest(cusps) < 0.05 + 0.012, "the cusp that may stay, and the readout's steps"
    assert highest(standing_in(guided).difference(standing_in(stepped))) < 0.006


def test_the_top_slide_follows_long_slants_alone() -> None:
    shop = without_forms(demo_shop())
    deep = Groove("vee", 2, from_front="8", angle="90°", diameter="17", corner="R0.2")
    plan = Planner(shop).plan(job(deep, tool=10))
    harmless(plan)
    slides = [p for p in grooving(plan) if p.taper is not None]
    assert [p.taper.means for p in slides if p.taper] == ["top slide"] * len(slides)
    assert len(slides) >= 2
    angles = {round(p.taper.half_angle, 6) for p in slides if p.taper}
    assert angles == {0.785398}
    assert all(p.feed_mm_per_rev is None for p in slides), "wound by hand"
    shallow = but(deep, diameter="24")
    assert not [p for p in grooving(Planner(shop).plan(job(shallow, tool=10))) if p.taper]
    small = but(shop.lathes[0], top_slide=but(shop.lathes[0].top_slide, travel_mm=3.0))  # type: ignore[type-var]
    short = but(shop, lathes=(small, *shop.lathes[1:]))
    assert not [p for p in grooving(Planner(short).plan(job(deep, tool=10))) if p.taper]


def test_a_blade_is_not_drawn_along_a_flat_slant() -> None:
    flat = Groove("plain", 2, from_front="6", width="14", diameter="21", angle="60°", corner="R0.5")
    for lathe in ("Slipway 1", "Slipway 2"):
        plan = Planner().plan(job(flat, lathe=lathe, tool=72))
        harmless(plan)
        assert {p.taper for p in grooving(plan)} == {None}
        assert [p for p in grooving(plan) if p.steps is not None]
    steep = but(flat, width="8", angle="15°")
    plan = Planner().plan(job(steep, lathe="Slipway 2", tool=72))
    harmless(plan)
    flanks = [p for p in grooving(plan) if p.direction == "arc"]
    assert len(flanks) == 2, "slant and round of each wall in one move"
    assert not [p for p in grooving(plan) if p.steps is not None]


def test_levels_are_no_deeper_than_the_tool_is_used_for() -> None:
    plan = Planner(without_forms(demo_shop())).plan(job(RELIEF, tool=2))
    harmless(plan)
    along = [p for p in grooving(plan) if p.steps is None]
    assert len(along) == 2
    assert all(p.depth <= 1.0 + 1e-6 for p in along)
    # from level to level the tool stays in the groove
    assert along[1].start == along[0].moves[-1].to
    assert along[1].moves[0].kind == "cut"


def test_a_vee_beside_a_shoulder_whose_slant_rises_over_the_way_from_step_to_step() -> None:
    """A pointed bit finds no place in it beside the head; that is no failure."""
    sections = (
        Section("cylinder", diameter="38 h9", length="18", front_corner="R1"),
        Section("cylinder", diameter="27 h6", length="23"),
    )
    vee = Groove("vee", 2, from_front="3", diameter="23", angle="90°")
    part = PartRecord("stud", sections, material="bronze", grooves=(vee,))
    first = Setup(Holding("Three-jaw 160", "19"), sections=(1,))
    operations = (Operation("face", 1), Operation("rough", 1), Operation("groove", 10))
    holding = Holding("Three-jaw 160", "13", soft_jaws=True)
    second = Setup(holding, turned=True, operations=operations)
    plan = Planner().plan(Job(part, Blank("40", "43", "1"), "Slipway 2", (first, second)))
    assert not [p for p in plan.setups[1].passes if p.operation == "groove"]
