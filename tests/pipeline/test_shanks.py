"""Valleys deeper than a tool's shank lets its nose go: the plan says why, where and what would."""

from __future__ import annotations

import msgspec

from turnsketch.checking.replay import replay
from turnsketch.geometry.elements import Point
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import LeftOver, Plan
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

but = msgspec.structs.replace

SHOP = demo_shop()
BEFORE = (Operation("face", 1), Operation("rough", 1))
SLOT = (Section("cylinder", diameter="20", length="12"),)
STEEP = (
    Section("taper", back_diameter="20", angle="60°", narrows=True),
    Section("taper", back_diameter="80", angle="60°"),
)


def planned(valley: tuple[Section, ...], *operations: Operation, shop: Shop = SHOP) -> Plan:
    end = Section("cylinder", diameter="80", length="10")
    part = PartRecord("sheave", (end, *valley, end), material="brass", inside_corners="R3")
    setup = Setup(Holding("Three-jaw 160", "30"), operations=(*BEFORE, *operations))
    plan = Planner(shop).plan(Job(part, Blank("85", "140"), "Slipway 1", (setup,)))
    assert replay(plan).events == ()
    return plan


def into(number: int) -> tuple[Operation, Operation]:
    return Operation("rough", number, valleys_only=True), Operation("finish", number)


def thickest(plan: Plan) -> LeftOver:
    return max(plan.finished.left_over, key=lambda left: left.height_mm)


def test_what_the_shank_allows_is_roughed_and_the_rest_has_its_reason() -> None:
    plan = planned(SLOT, *into(5))
    made = [p for p in plan.setups[0].passes if p.tool == 5 and p.operation == "rough"]
    lowest = min(m.to.r for p in made for m in p.moves if m.kind == "cut")
    # The shank is 12 wide above 20 mm, so the nose goes down to Ø80 - 2 x 20 and a clearance.
    assert 20.0 < lowest < 22.0
    left = thickest(plan)
    assert left.cause == "shank"
    assert "the shank of T5" in left.reason
    (found,) = [f for f in plan.findings if f.code == "left-over-shank"]
    assert "from Z-10.00 to Z-22.00" in found.message
    assert "30.0 mm deep" in found.remedy
    # 12 mm between the walls, 0.2 mm clear of each.
    assert "no wider than 11.6 mm" in found.remedy


def test_a_slimmer_tool_of_the_shop_file_is_named() -> None:
    slim = ((Point(0.7, 3.0), Point(5.3, 3.0), Point(5.3, 70.0), Point(0.7, 70.0)),)
    long = but(next(t for t in SHOP.tools if t.number == 5), number=98, name="Long R3", holder=slim)
    shop = but(SHOP, tools=(*SHOP.tools, long))
    assert thickest(planned(SLOT, *into(5), shop=shop)).remedy == "T98 (Long R3) reaches it"
    cured = planned(SLOT, *into(98), shop=shop)
    assert all(left.cause != "shank" for left in cured.finished.left_over)


def test_metal_beside_the_shank_that_no_edge_takes_is_a_reason_as_well() -> None:
    """The walls alone would let the shank down; what it leaves in front of a wall does not."""
    left = thickest(planned(STEEP, *into(9)))
    assert left.cause == "shank"
    assert left.height_mm > 2.0


def test_roughing_alone_is_told_why_it_stops() -> None:
    left = thickest(planned(SLOT, into(5)[0]))
    assert left.cause == "shank"
    assert "30.0 mm deep" in left.remedy


def test_a_valley_wide_enough_is_not_told_of_shanks() -> None:
    wide = (Section("cylinder", diameter="50", length="40"),)
    plan = planned(wide, *into(5), Operation("finish", 3), Operation("finish", 2))
    assert {p.operation for p in plan.setups[0].passes} >= {"rough", "finish"}
    assert all(left.cause != "shank" for left in plan.finished.left_over)
