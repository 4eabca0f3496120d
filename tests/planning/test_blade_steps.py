"""Step tables of a square blade: a taper and a crowned piece fed straight in, place by place."""

from __future__ import annotations

import functools
import math
from typing import Literal

import msgspec
import pytest
import shapely

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan, Ring
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

Corner = Literal["left", "right", "centre"]
BLADE, WIDTH = 7, 3.0
CUSP = 0.06


def job() -> Job:
    """A stem that grows 1:5 and runs into a crown R20; the blade makes both in steps."""
    sections = (
        Section("cylinder", name="stem", diameter="14", length="8"),
        Section("taper", name="cone", front_diameter="14", back_diameter="18", length="20"),
        Section("arc", name="crown", radius="R20", sense="convex", back_diameter="24", length="16"),
        Section("cylinder", name="foot", diameter="24", length="8"),
    )
    operations = (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("finish", 2, sections=(1, 4)),
        Operation("finish", BLADE, means="steps", sections=(2, 3), cusp=str(CUSP)),
    )
    return Job(
        PartRecord("bollard", sections, material="brass", inside_corners="R1"),
        Blank("26", "90"),
        "Slipway 1",
        (Setup(Holding("Three-jaw 160", "25"), operations=operations),),
    )


def shop(reference: Corner, corner: float) -> Shop:
    """Return the demo shop, its blade told by another corner and ground another way."""
    changed = {"reference": reference, "corner_radius_mm": corner, "holder": ()}
    tools = tuple(
        msgspec.structs.replace(t, **changed) if t.number == BLADE else t for t in demo_shop().tools
    )
    return msgspec.structs.replace(demo_shop(), tools=tools)


@functools.cache
def planned(reference: Corner = "left", corner: float = 0.1) -> Plan:
    return Planner(shop(reference, corner)).plan(job())


def tables(plan: Plan, *, last: bool = True) -> list[Pass]:
    found = [p for p in plan.setups[0].passes if p.steps is not None]
    assert all(p.tool == BLADE for p in found)
    return [p for p in found if p.last_on_surface == last]


@pytest.mark.parametrize(
    ("reference", "corner"), [("left", 0.0), ("left", 0.1), ("right", 0.1), ("centre", 0.1)]
)
def test_a_blade_makes_taper_and_crown_in_steps(reference: Corner, corner: float) -> None:
    """Replayed: no gouge, and nothing stands higher than the cusp that was asked for."""
    plan = planned(reference, corner)
    made = {p.surface for p in tables(plan)}
    assert any("crown" in surface for surface in made), made
    assert any("cone" in surface for surface in made), made
    exact = replay(plan)
    assert not exact.events
    assert plan.finished.under_mm < 1e-3
    assert not [e for e in replay(plan, as_read=True).events if e.pass_number >= steps_begin(plan)]
    for deviation in plan.finished.sections:
        if deviation.section in (2, 3):
            assert deviation.under_mm < 1e-3
    assert standing(plan) <= CUSP + 1e-3
    assert standing(plan) > 0.6 * CUSP, "no more steps than it takes"


def steps_begin(plan: Plan) -> int:
    return min(p.number for p in plan.setups[0].passes if p.steps is not None)


def region(rings: tuple[Ring, ...]) -> shapely.Geometry:
    return shapely.union_all([shapely.Polygon([(p.z, p.r) for p in ring]) for ring in rings])


def standing(plan: Plan) -> float:
    """Return how high metal stands over taper and crown at the end, as read."""
    part = shapely.union_all(
        [shapely.Polygon([(p.z, p.r) for p in ring]) for ring in plan.setups[0].part]
    )
    rings = replay(plan, as_read=True).setups[0].remaining
    left = shapely.union_all([shapely.Polygon([(p.z, p.r) for p in ring]) for ring in rings])
    over = shapely.clip_by_rect(left.difference(part), -44.0, 0.0, -8.0, 20.0)
    corners = shapely.get_coordinates(shapely.segmentize(over, 0.02))
    return float(shapely.distance(part, shapely.points(corners)).max())


def test_the_corner_that_is_called_up_moves_the_table_by_the_width_alone() -> None:
    left, right, centre = (
        [r for p in tables(planned(which)) if p.steps for r in p.steps.rows]
        for which in ("left", "right", "centre")
    )
    for a, b, c in zip(left, right, centre, strict=True):
        assert a.x == b.x == c.x
        assert b.z - a.z == pytest.approx(WIDTH)
        assert c.z - a.z == pytest.approx(WIDTH / 2)


def test_a_taper_takes_few_steps_of_a_blade() -> None:
    """Each step rises by the cusp, seen square to the slope: 2 of radius in stairs of 0.06."""
    (cone,) = [p for p in tables(planned()) if "cone" in p.surface]
    assert cone.steps is not None
    slope = math.atan(2 / 20)
    wanted = 20 / math.cos(slope) / (CUSP / math.sin(slope) / math.cos(slope))
    assert len(cone.steps.rows) <= 1.25 * wanted + 2


def test_a_blade_that_is_fed_straight_in_is_not_the_wrong_tool() -> None:
    assert "wrong-tool" not in {f.code for f in planned().findings}
    sideways = msgspec.structs.replace(
        job().setups[0], operations=(Operation("face", 1), Operation("finish", BLADE))
    )
    plan = Planner(shop("left", 0.1)).plan(msgspec.structs.replace(job(), setups=(sideways,)))
    codes = {f.code for f in plan.findings}
    assert {"wrong-tool", "no-pass"} & codes


def test_blades_are_offered_no_tangent_cuts() -> None:
    fine = msgspec.structs.replace(job().setups[0].operations[-1], cusp="0.03")  # type: ignore[index]
    operations = (*(job().setups[0].operations or ())[:-1], fine)
    setup = msgspec.structs.replace(job().setups[0], operations=operations)
    plan = Planner(shop("left", 0.0)).plan(msgspec.structs.replace(job(), setups=(setup,)))
    longest = max((p.steps for p in tables(plan) if p.steps), key=lambda t: len(t.rows))
    assert len(longest.rows) > 40
    assert not longest.tangents
