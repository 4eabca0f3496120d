"""Grooving: plunges, walls and bottom; what does not fit; the order of the proposal."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.planning.part_solid import part_region, part_surfaces
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

but = msgspec.structs.replace

SECTIONS = (
    Section("cylinder", name="end", diameter="12", length="22", front_corner="1x45°"),
    Section("cylinder", name="seat", diameter="25", length="36", front_corner="1x45°"),
    Section("cylinder", name="head", diameter="30", length="8"),
)
RING = Groove("ring", 2, from_front="3")
PLAIN = Groove("plain", 2, from_front="6", width="5", diameter="20")


def pin(*grooves: Groove, operations: tuple[Operation, ...] | None = None) -> Job:
    """Return the demo pin with grooves; its proposal when no operations are given."""
    job = load_demo("stepped_pin")
    part = but(job.part, sections=SECTIONS, grooves=grooves)
    return but(job, part=part, setups=(but(job.setups[0], operations=operations),))


def with_tool(tool: int, *grooves: Groove, shop: Shop | None = None, **fields: object) -> Plan:
    """Plan the pin, all its grooves made with one tool before finishing."""
    operations = (
        Operation("face", 1),
        Operation("rough", 1),
        but(Operation("groove", tool), **fields),
        Operation("finish", 2),
        Operation("chamfer", 6),
        Operation("part off", 7),
    )
    return Planner(shop).plan(pin(*grooves, operations=operations))


def grooving(plan: Plan) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.operation == "groove"]


def cuts(made: Pass) -> list[tuple[float, float]]:
    """Return z and diameter at the end of every cut."""
    return [(m.to.z, 2 * m.to.r) for m in made.moves if m.kind == "cut"]


def clean(plan: Plan) -> None:
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert plan.finished.under_mm < 2e-4
    assert plan.finished.over_mm <= 0.005
    assert {left.cause for left in plan.finished.left_over} <= {"nose", "cusp", "ring corner"}


def test_a_blade_as_wide_as_the_groove_plunges_once() -> None:
    plan = with_tool(71, RING)
    clean(plan)
    (made,) = grooving(plan)
    # the blade's left corner at the back wall: 22 + 3 + 1.3
    assert cuts(made)[0] == pytest.approx((-26.3, 23.795))
    assert len(cuts(made)) == 1
    assert made.notes == ("reference: the blade's left corner",)
    assert made.surface == "ring groove 1.3 wide Ø23.9"
    assert made.size is not None
    assert (made.size.lower, made.size.upper) == pytest.approx((23.69, 23.9))
    # inside 23.69 and 23.90 on the readout
    assert made.readings[-3].x == pytest.approx(23.80, abs=0.011)
    assert made.rpm < 500, "grooving goes at the speed of parting off"


def test_the_reference_on_the_other_side_moves_z_by_the_blade() -> None:
    shop = demo_shop()
    holder = tuple(
        tuple(point._replace(z=point.z - 1.3) for point in ring)
        for ring in next(t for t in shop.tools if t.number == 71).holder
    )
    turned = tuple(
        but(t, reference="right", holder=holder) if t.number == 71 else t for t in shop.tools
    )
    plan = with_tool(71, RING, shop=but(shop, tools=turned))
    clean(plan)
    (made,) = grooving(plan)
    assert cuts(made)[0][0] == pytest.approx(-25.0)
    assert made.notes == ("reference: the blade's right corner",)


def test_a_wider_groove_is_plunged_then_both_walls_and_the_bottom_are_cleaned() -> None:
    plan = with_tool(72, PLAIN)
    clean(plan)
    passes = grooving(plan)
    *plunges, front, back = passes
    assert len(plunges) >= 3
    assert all(not p.last_on_surface for p in plunges)
    for made in plunges:
        ((z, diameter),) = cuts(made)
        # a tenth stays on walls and bottom: left corner between Z-31.1+... and the back wall
        assert -33 + 0.1 - 1e-6 <= z <= -28 - 2 - 0.1 + 1e-6
        assert 20.2 - 1e-6 <= diameter <= 20.31
    steps = sorted(cuts(p)[0][0] for p in plunges)
    assert all(b - a < 2 - 2 * 0.2 for a, b in pairwise(steps)), "they overlap"
    assert cuts(front)[0] == pytest.approx((-30, 20))
    assert cuts(back)[0] == pytest.approx((-33, 20))
    # along the bottom from the front wall, and a little off the back wall before coming out
    assert cuts(front)[1][0] < -32.8
    assert cuts(back)[1][0] > -33


def test_a_groove_narrower_than_the_blade_gets_no_pass_and_is_told() -> None:
    plan = with_tool(7, but(PLAIN, width="2.9"))
    assert not grooving(plan)
    codes = [f.code for f in plan.findings]
    assert "groove-not-made" in codes
    assert "no-pass" in codes
    clean(with_tool(7, but(PLAIN, width="3")))


def test_numbers_choose_among_the_grooves() -> None:
    plan = with_tool(71, RING, but(RING, from_front="20"), grooves=(2,))
    assert [cuts(p)[0][0] for p in grooving(plan)] == [pytest.approx(-43.3)]


def test_a_tool_of_another_kind_makes_no_groove() -> None:
    assert not grooving(with_tool(6, PLAIN))


@pytest.mark.parametrize(
    ("groove", "tool"),
    [
        (Groove("undercut E", 2), 73),
        (Groove("undercut F", 2), 73),
        (Groove("thread relief", 1, size="1.75"), 73),
        (Groove("thread relief", 1, size="1.75"), 72),
        (Groove("round", 2, from_front="12", width="3", diameter="21"), 9),
        (Groove("round", 2, from_front="12", width="8", diameter="20"), 9),
        (Groove("vee", 2, from_front="12", angle="60°", diameter="21", corner="R0.3"), 10),
        (but(PLAIN, width="6", angle="15°", corner="R0.5"), 72),
    ],
)
def test_every_kind_comes_out_true(groove: Groove, tool: int) -> None:
    plan = with_tool(tool, groove)
    clean(plan)
    assert grooving(plan)


def test_slants_are_cut_in_steps_from_the_surface_down() -> None:
    plan = with_tool(
        10, Groove("vee", 2, from_front="9", angle="90°", diameter="21", corner="R0.3")
    )
    tables = [p for p in grooving(plan) if p.steps is not None]
    assert len(tables) == 2
    for made in tables:
        depths = [d for _, d in cuts(made)]
        assert depths == sorted(depths, reverse=True)
        assert made.feed_mm_per_rev is None, "by hand"
    finer = with_tool(
        10,
        Groove("vee", 2, from_front="9", angle="90°", diameter="21", corner="R0.3"),
        cusp="0.02",
        means="steps",
    )
    more = [p for p in grooving(finer) if p.steps is not None]
    assert len(cuts(more[0])) > len(cuts(tables[0]))


def test_under_the_shoulder_of_form_f_x_stands_and_z_is_fed() -> None:
    words = "under the shoulder: X stands, feed in Z"
    passes = [p for p in grooving(with_tool(73, Groove("undercut F", 2))) if words in p.notes]
    assert len(passes) >= 3
    for made in passes:
        # X stands in the air in front of the shoulder; in Z under it, and back
        ((z, level),) = cuts(made)
        index = next(i for i, m in enumerate(made.moves) if m.kind == "cut")
        before, after = made.moves[index - 1].to, made.moves[index + 1].to
        assert before == after
        assert 2 * before.r == pytest.approx(level)
        assert before.z > -58 > z - 1e-6
    ends = [cuts(made)[-1][0] for made in passes]
    # t2 is 0.2 behind the shoulder at Z-58
    assert min(ends) == pytest.approx(-58.2, abs=0.005)
    assert max(ends) < -58


def test_a_shoulder_that_must_stand_is_not_touched_by_a_square_tool() -> None:
    # T2's edge leans 3 degrees from square; form F leans 8 over it
    plan = with_tool(2, Groove("undercut F", 2))
    assert plan.finished.under_mm < 2e-4
    assert not [f for f in plan.findings if f.severity == "stop"]
    left = [x for x in plan.finished.left_over if x.z[0] < -58.05]
    assert left, "what lies under the shoulder stays and is told"


def test_the_jaws_keep_a_groove_from_being_cut() -> None:
    job = pin(Groove("plain", 3, from_back="1", width="4", diameter="26"))
    close = but(job, blank=but(job.blank, length="92"))
    plan = Planner().plan(close)
    jaws = plan.setups[0].jaw_face_z
    for made in plan.setups[0].passes:
        if made.operation == "groove":
            assert min(m.to.z for m in made.moves) >= jaws + 2.0 - 1e-6


def test_the_proposal_keeps_the_order_of_the_trade() -> None:
    relief = Groove("thread relief", 1, size="1.75")
    operations = Planner().propose(pin(RING, PLAIN, relief, Groove("undercut F", 2)))
    kinds = [o.kind for o in operations]
    first, last = kinds.index("groove"), len(kinds) - 1 - kinds[::-1].index("groove")
    assert kinds.index("rough") < first
    assert last < kinds.index("finish") < kinds.index("part off")
    order = [n for o in operations if o.kind == "groove" for n in o.grooves or ()]
    assert set(order[:2]) == {3, 4}, "reliefs and undercuts first"
    assert set(order[2:]) == {1, 2}
    reasons = {n: o.reason for o in operations if o.kind == "groove" for n in o.grooves or ()}
    assert "seat" in reasons[1]
    assert "thread" in reasons[3]
    assert all(reasons.values())


def test_the_proposal_takes_the_blade_that_just_fits() -> None:
    operations = Planner().propose(pin(RING, but(PLAIN, width="3")))
    tools = {n: o.tool for o in operations if o.kind == "groove" for n in o.grooves or ()}
    assert tools == {1: 71, 2: 7}
    clean(Planner().plan(pin(RING, but(PLAIN, width="3"))))


def test_a_seat_is_measured_beside_its_groove() -> None:
    job = pin(but(PLAIN, from_front="15.5"))
    seat = but(SECTIONS[1], diameter="25 h6")
    fine = but(job, part=but(job.part, sections=(SECTIONS[0], seat, SECTIONS[2])))
    stops = [p.measure for p in Planner().plan(fine).setups[0].passes if p.measure is not None]
    on_seat = [s for s in stops if s.expected_diameter > 24.9]
    assert on_seat
    for stop in on_seat:
        assert stop.expected_diameter > 25
        for z in stop.at_z:
            assert z + 4 <= -42.5 + 1e-6 or z - 4 >= -37.5 - 1e-6


def test_speeds_and_times_are_given_for_every_pass() -> None:
    for made in grooving(with_tool(72, PLAIN)):
        assert made.rpm > 0
        assert made.minutes > 0
        assert made.removed_mm3 > 0


def bush(*grooves: Groove, operations: tuple[Operation, ...] | None = None) -> Job:
    """Return a bush Ø36, its bore Ø20 H7 24 deep, with grooves in the bore."""
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="36", length="30"),),
        material="bronze",
        bore=Bore((Section("cylinder", diameter="20 H7", length="24"),)),
        grooves=grooves,
    )
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations)
    return Job(part, Blank("40", "70"), "Slipway 1", (setup,))


def test_a_ring_groove_in_a_bore_is_cut_outward_from_a_bar() -> None:
    plan = Planner().plan(bush(Groove("ring", 2, from_front="5")))
    clean(plan)
    (made,) = grooving(plan)
    # DIN 472, bore 20: bottom 21 H11 aimed at its middle, 1.1 wide (from memory)
    assert cuts(made)[0] == pytest.approx((-6.1, 21.065))
    assert len(cuts(made)) == 1
    assert made.inside
    # out of the bore before anything else moves
    assert made.moves[-1].to.z > 0
    kinds = [o.kind for o in plan.setups[0].operations]
    assert kinds.index("groove") > kinds.index("drill")


def test_wide_and_round_grooves_in_a_bore_come_out_true() -> None:
    wide = Groove("plain", 2, from_front="5", width="4", diameter="23")
    plan = Planner().plan(bush(wide))
    clean(plan)
    assert len(grooving(plan)) > 4
    narrow = Planner().plan(bush(but(wide, width="1")))
    assert not grooving(narrow)
    assert "groove-not-made" in [f.code for f in narrow.findings]


def test_the_finished_part_has_its_grooves_and_turning_has_not() -> None:
    job = pin(PLAIN)
    part = resolve(job.part, job.units)
    solid = part_region(part, 1e-4)
    bare = part_region(resolve(but(job.part, grooves=()), job.units), 1e-4)
    assert bare.area - solid.area == pytest.approx(5 * 2.5)
    spans = [line for number, line in part_surfaces(part, 1e-4) if number == 2]
    assert [round(line[0].z - line[-1].z, 6) for line in spans] == [1.0, 5.0, 25.0], (
        "with its chamfer"
    )
    inside = bush(Groove("ring", 2, from_front="5"))
    hollow = resolve(inside.part, "mm")
    without = resolve(but(inside.part, grooves=()), "mm")
    area = part_region(without, 1e-4).area - part_region(hollow, 1e-4).area
    # from the bore's aim at 20.0105 to 21.065, 1.1 wide
    assert area == pytest.approx(1.1 * (21.065 - 20.0105) / 2, rel=1e-3)
