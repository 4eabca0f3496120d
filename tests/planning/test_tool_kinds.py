"""Every kind of turning tool plans, and the replay finds nothing wrong: hands, rounds, bits."""

from __future__ import annotations

from functools import cache

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.geometry.elements import Point
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop, Tool

but = msgspec.structs.replace

SHOP = demo_shop()
STEPPED = (
    Section("cylinder", "end", diameter="16", length="15", front_corner="R1"),
    Section("cylinder", "seat", diameter="24", length="20"),
    Section("cylinder", "head", diameter="34", length="10"),
)
FALLING = (
    Section("cylinder", "head", diameter="34", length="10"),
    Section("cylinder", "waist", diameter="22", length="30"),
    Section("cylinder", "rear", diameter="30", length="10"),
)
VALLEY = (
    Section("cylinder", "front", diameter="36", length="8"),
    Section("taper", "down", back_diameter="20", angle="45°", narrows=True),
    Section("cylinder", "waist", diameter="20", length="30"),
    Section("taper", "up", back_diameter="36", angle="45°"),
    Section("cylinder", "rear", diameter="36", length="8"),
)


def job(sections: tuple[Section, ...], *operations: Operation, lathe: str = "Slipway 2") -> Job:
    part = PartRecord("sample", sections, material="brass", inside_corners="R3")
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations or None)
    return Job(part, Blank("38", "130"), lathe, (setup,))


@cache
def planned(of: Job, shop: Shop = SHOP) -> Plan:
    return Planner(shop).plan(of)


def with_tool(number: int, **fields: object) -> Shop:
    return but(SHOP, tools=tuple(but(t, **fields) if t.number == number else t for t in SHOP.tools))


def clean(plan: Plan) -> None:
    """Nothing is hit or gouged; what stays has a cause."""
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert plan.finished.under_mm < 1e-3
    assert plan.finished_as_read.under_mm < 0.01


def passes(plan: Plan, tool: int, kind: str) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.tool == tool and p.operation == kind]


def ways(made: list[Pass]) -> set[str]:
    """Return whether cuts along the axis go toward the chuck or away from it."""
    found = set()
    for one in made:
        here = one.start
        for move in one.moves:
            if move.kind == "cut" and abs(move.to.z - here.z) > 1.0:
                found.add("chuck" if move.to.z < here.z else "tailstock")
            here = move.to
    return found


FACE, ROUGH = Operation("face", 1), Operation("rough", 1)
OPENED = Operation("rough", 5, valleys_only=True)


def test_a_right_hand_tool_cuts_toward_the_chuck() -> None:
    plan = planned(job(STEPPED, FACE, ROUGH, Operation("finish", 2)))
    clean(plan)
    assert ways(passes(plan, 1, "rough")) == ways(passes(plan, 2, "finish")) == {"chuck"}


def test_a_left_hand_tool_cuts_away_from_it_and_makes_the_wall_in_front() -> None:
    left = Operation("finish", 3, sections=(2,))
    plan = planned(job(FALLING, FACE, ROUGH, OPENED, Operation("finish", 2), left))
    clean(plan)
    made = passes(plan, 3, "finish")
    assert ways(made) == {"tailstock"}
    # its nose of 0.4 stays at the front wall, where the round one's 3 stood
    fillet = next(x for x in plan.finished.left_over if x.z[1] == pytest.approx(-10, abs=0.5))
    assert fillet.fillet_mm == pytest.approx(0.4)


def test_back_turning_from_an_opened_place() -> None:
    """A left-hand tool turns the rear of a head, coming from the chuck's side."""
    plan = planned(job(FALLING, FACE, ROUGH, OPENED, Operation("rough", 3), Operation("finish", 3)))
    clean(plan)
    assert ways(passes(plan, 3, "finish")) == {"tailstock"}


def test_a_neutral_tool_goes_down_and_up_a_valley() -> None:
    plan = planned(job(VALLEY, FACE, ROUGH, OPENED, Operation("finish", 4)))
    clean(plan)
    assert {p.section for p in passes(plan, 4, "finish")} >= {2, 3, 4}
    assert max(d.over_mm for d in plan.finished.sections if d.section in (2, 3, 4)) < 0.2


@pytest.mark.parametrize(("radius", "reference"), [(3.0, "left"), (1.5, "centre"), (2.0, "right")])
def test_round_inserts(radius: float, reference: str) -> None:
    middle = {"left": radius, "centre": 0.0, "right": -radius}[reference]
    low, wide = 1.2 * radius, radius / 2
    shank = (
        Point(middle - wide, low),
        Point(middle + wide, low),
        Point(middle + wide, 60.0),
        Point(middle - wide, 60.0),
    )
    shop = with_tool(9, nose_radius_mm=radius, reference=reference, holder=(shank,))
    round_nose = (Operation("rough", 9, valleys_only=True), Operation("finish", 9))
    plan = planned(job(VALLEY, FACE, ROUGH, *round_nose), shop)
    clean(plan)
    assert passes(plan, 9, "rough")
    assert {p.section for p in passes(plan, 9, "finish")} >= {2, 3, 4}


def test_a_form_tool_makes_its_round() -> None:
    plan = planned(job(STEPPED, FACE, ROUGH, Operation("finish", 2), Operation("chamfer", 8)))
    clean(plan)
    (made,) = passes(plan, 8, "chamfer")
    assert made.direction == "plunge"
    assert all(left.z[1] < -1 for left in plan.finished.left_over), "the round stands"


HOLDER = ((Point(0.5, 6.0), Point(12.0, 8.0), Point(12.0, 60.0), Point(0.5, 60.0)),)


def bit(edge: float, end: float, nose: float, hand: str) -> Tool:
    """Return a ground bit; its shank stands over its edges."""
    ring = HOLDER if hand == "right" else (tuple(Point(-p.z, p.r) for p in HOLDER[0]),)
    return but(
        next(t for t in SHOP.tools if t.number == 2),
        number=98,
        name="Ground bit",
        hand=hand,
        shape="",
        material="HSS",
        edge_angle_deg=edge,
        end_edge_angle_deg=end,
        nose_radius_mm=nose,
        edge_length_mm=9.0,
        plunge_angle_deg=0.0,
        reference="left" if hand == "right" else "right",
        holder=ring,
    )


@settings(max_examples=8, deadline=None)
@given(
    edge=st.floats(45.0, 110.0).map(lambda a: round(a, 1)),
    end=st.floats(4.0, 55.0).map(lambda a: round(a, 1)),
    nose=st.sampled_from([0.0, 0.2, 0.8]),
    hand=st.sampled_from(["right", "left"]),
    falls=st.booleans(),
)
def test_ground_bits_with_any_two_edge_angles(
    edge: float, end: float, nose: float, hand: str, falls: bool
) -> None:
    shop = but(SHOP, tools=(*SHOP.tools, bit(edge, end, nose, hand)))
    sections = VALLEY if falls else STEPPED
    plan = Planner(shop).plan(
        job(sections, FACE, ROUGH, OPENED, Operation("rough", 98), Operation("finish", 98))
    )
    clean(plan)
    assert all(left.cause for left in plan.finished.left_over)


def test_a_valley_is_roughed_from_both_sides_when_one_tool_cannot() -> None:
    tools = tuple(
        but(t, plunge_angle_deg=90.0) if t.number == 2 else t
        for t in SHOP.tools
        if t.kind != "round" and (t.kind != "turning" or t.hand != "neutral")
    )
    plan = planned(job(VALLEY), but(SHOP, tools=tools))
    clean(plan)
    roughing = [o for o in plan.setups[0].operations if o.kind == "rough"]
    assert [o.tool for o in roughing] == [1, 2, 3]
    assert "from inside it" in roughing[-1].reason
    assert ways(passes(plan, 2, "rough")) == {"chuck"}
    assert ways(passes(plan, 3, "rough")) == {"tailstock"}
    down = [p for p in passes(plan, 3, "rough") if p.removed_mm3 > 0]
    assert sum(p.removed_mm3 for p in down) > 500, "the wedge before the front wall"
    assert plan.finished.over_mm < 0.1
    # a tool that enters everywhere is enough
    alone = planned(job(VALLEY))
    assert [o.tool for o in alone.setups[0].operations if o.kind == "rough"] == [1, 5]
