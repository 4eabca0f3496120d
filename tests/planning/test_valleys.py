"""Valleys of every sort against every sort of tool: what stays is what geometry leaves.

The test asks for the places where a tool may be by its no-go region, lets its edges cover all they
can from there, and unites that over the tools. What they reach must be gone but for a level's
stairs; what none of them reaches must stand, and nothing of the part may be missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import msgspec
import pytest
import shapely
from shapely import box
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.replay import replay
from turnsketch.findings.metal import region
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import no_go
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.pipeline.request import context_of
from turnsketch.plan_records import Plan
from turnsketch.planning.fold import outline_for_turning
from turnsketch.planning.keep import keep_of, keep_region, with_allowance
from turnsketch.planning.part_off import DEFAULT_OVERRUN_MM
from turnsketch.planning.rough_depth import X_ALLOWANCE_MM, Z_ALLOWANCE_MM
from turnsketch.planning.space import allowed_space
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Tool

but = msgspec.structs.replace

DEMO = demo_shop()
CREST = 36.0
LEVEL_MM = 0.5

SHANKS = {
    "right": ((0.5, 6.0), (12.0, 8.0), (12.0, 60.0), (0.5, 60.0)),
    "left": ((-0.5, 6.0), (-0.5, 60.0), (-12.0, 60.0), (-12.0, 8.0)),
    "neutral": ((-2.0, 8.0), (2.0, 8.0), (2.0, 60.0), (-2.0, 60.0)),
}


def bit(number: int, hand: str, edge: float, end: float, nose: float, plunge: float) -> Tool:
    """Return a ground bit with any two edge angles."""
    return but(
        next(t for t in DEMO.tools if t.number == 2),
        number=number,
        name=f"Ground bit {edge:g}/{end:g}",
        hand=hand,
        shape="",
        material="HSS",
        edge_angle_deg=edge,
        end_edge_angle_deg=end,
        nose_radius_mm=nose,
        plunge_angle_deg=plunge,
        reference="right" if hand == "left" else "left",
        holder=(tuple(Point(*p) for p in SHANKS[hand]),),
    )


FORM = but(next(t for t in DEMO.tools if t.number == 9), number=97, nose_radius_mm=2.0)
SHOP = but(
    DEMO,
    tools=(
        *DEMO.tools,
        bit(91, "neutral", 60, 60, 0.2, 50),
        bit(92, "right", 90, 20, 0.4, 18),
        bit(93, "left", 90, 20, 0.4, 18),
        bit(94, "right", 45, 70, 0.8, 60),
        bit(95, "left", 70, 45, 0.8, 40),
        bit(96, "right", 93, 32, 0.4, 90),
        FORM,
    ),
)


def floor(diameter: str, length: str) -> Section:
    return Section("cylinder", diameter=diameter, length=length)


def down(angle: str) -> Section:
    return Section("taper", back_diameter="22", angle=angle, narrows=True)


def up(angle: str) -> Section:
    return Section("taper", back_diameter="36", angle=angle)


VALLEYS = {
    "V": (down("45°"), up("45°")),
    "U": (Section("arc", radius="R14", sense="concave", length="24"),),
    "trapezoid": (down("45°"), floor("22", "20"), up("45°")),
    "steep in front": (floor("22", "24"), up("30°")),
    "steep behind": (down("30°"), floor("22", "24")),
    "square": (floor("22", "30"),),
    "deep and narrow": (floor("16", "10"),),
}


def job(valley: str, tools: Sequence[int], lathe: str) -> Job:
    end = Section("cylinder", diameter="36", length="8")
    part = PartRecord("waist", (end, *VALLEYS[valley], end), material="brass")
    into = [
        Operation("rough", number, valleys_only=index == 0, depth=str(LEVEL_MM))
        for index, number in enumerate(tools)
    ]
    operations = (Operation("face", 1), Operation("rough", 1), *into)
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations)
    return Job(part, Blank("38", "130"), lathe, (setup,))


@cache
def planned(of: Job) -> Plan:
    return Planner(SHOP).plan(of)


def reached(of: Job, tools: Sequence[int]) -> tuple[BaseGeometry, BaseGeometry]:
    """Return what the tools' edges reach in all, and what must stand with its allowance."""
    ctx = context_of(of, SHOP)
    outline = outline_for_turning(ctx, of.setups[0].operations or ())
    keep = keep_of(outline, ctx.held, DEFAULT_OVERRUN_MM)
    solid = keep_region(keep.elements, ctx.held, 1e-3)
    stands = with_allowance(solid, X_ALLOWANCE_MM, Z_ALLOWANCE_MM, keep.elements[-1].end.z)
    found = []
    for number in tools:
        shape = ctx.shapes[number]
        space = allowed_space(ctx, shape, stands, -shape.nose_radius)
        for piece in shape.cutting:
            turned = [Point(-p.z, -p.r) for p in piece.ring(1e-3)]
            found.append(no_go(space.allowed, turned))
    return shapely.union_all(found), stands


@pytest.mark.parametrize(
    ("valley", "tools", "lathe"),
    [
        ("V", (5,), "Slipway 1"),  # a round insert
        ("V", (94,), "Slipway 1"),  # asymmetrical
        ("U", (4,), "Slipway 1"),  # neutral
        ("U", (97,), "Slipway 1"),  # full radius of 2
        ("trapezoid", (95,), "Slipway 1"),  # asymmetrical, back turning
        ("trapezoid", (2, 3), "Slipway 2"),  # right, then left; a guided slant
        ("V", (91,), "Slipway 1"),  # ground, symmetrical
        ("steep in front", (3,), "Slipway 1"),  # back turning alone
        ("steep in front", (92, 93), "Slipway 1"),  # flat slants from both sides
        ("steep behind", (2,), "Slipway 1"),
        ("square", (9,), "Slipway 1"),
        ("square", (96, 3), "Slipway 1"),
        ("deep and narrow", (5,), "Slipway 1"),
        ("deep and narrow", (10,), "Slipway 1"),
    ],
)
def test_what_stays_is_what_no_tool_reaches(
    valley: str, tools: tuple[int, ...], lathe: str
) -> None:
    of = job(valley, tools, lathe)
    plan = planned(of)
    exact, read = replay(plan), replay(plan, as_read=True)
    assert exact.events == ()
    assert all(e.kind == "gouge" and e.depth_mm < 1e-3 for e in read.events)
    between = box(-plan_length(of) + 8.0, 0.0, -8.0, CREST)
    metal = region(exact.setups[0].passes[-1].remaining).intersection(between)
    reach, stands = reached(of, tools)
    stands = stands.intersection(between)
    assert stands.difference(metal).area < 1e-3
    # A level that takes less than 0.3 is left to the finish; a slant needs room to come down.
    thick = LEVEL_MM + 0.2
    assert metal.intersection(reach).difference(stands).buffer(-thick / 2).is_empty
    hidden = box(-plan_length(of) + 8.0, 0.0, -8.0, CREST / 2).difference(reach)
    assert hidden.difference(metal).area < 0.01


def plan_length(of: Job) -> float:
    return context_of(of, SHOP).part.total_length


def test_both_sides_leave_what_one_alone_does_not() -> None:
    """A valley by the right hand, by the left, and by both: the wedges are the difference."""
    left = {}
    for tools in ((2,), (3,), (2, 3)):
        of = job("trapezoid", tools, "Slipway 2")
        plan = planned(of)
        _, stands = reached(of, tools)
        metal = region(replay(plan).setups[0].passes[-1].remaining)
        between = box(-plan_length(of) + 8.0, 0.0, -8.0, CREST)
        left[tools] = metal.intersection(between).difference(stands).area
    assert left[2, 3] < 0.25 * min(left[2,], left[3,])
