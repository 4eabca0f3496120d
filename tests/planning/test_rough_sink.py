"""Sinking into a valley with a tool that must not go straight in: stairs by hand, or a slant."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

import msgspec
import pytest

from turnsketch.checking.replay import replay
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.planning.rough_work import greatest_slant
from turnsketch.sheet.moves_text import row_texts
from turnsketch.sheet.numbers import Numbers
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop, Tool

but = msgspec.structs.replace

SHOP = demo_shop()
BY_HAND, GUIDED = "Slipway 1", "Slipway 2"


def tool(number: int, **fields: object) -> Tool:
    return but(next(t for t in SHOP.tools if t.number == number), **fields)


def job(*operations: Operation, lathe: str = BY_HAND, units: str = "mm") -> Job:
    scale = 1.0 if units == "mm" else 25.4
    sizes = {name: f"{mm / scale:g}" for name, mm in (("d", 36), ("w", 20), ("e", 8), ("l", 40))}
    sections = (
        Section("cylinder", diameter=sizes["d"], length=sizes["e"]),
        Section("cylinder", diameter=sizes["w"], length=sizes["l"]),
        Section("cylinder", diameter=sizes["d"], length=sizes["e"]),
    )
    part = PartRecord("waist", sections, material="brass")
    setup = Setup(Holding("Three-jaw 160", f"{25 / scale:g}"), operations=operations or None)
    blank = Blank(f"{38 / scale:g}", f"{130 / scale:g}")
    return Job(part, blank, lathe, (setup,), units=units)  # type: ignore[arg-type]


@cache
def planned(of: Job, shop: Shop = SHOP) -> Plan:
    return Planner(shop).plan(of)


def sinking(number: int, lathe: str = BY_HAND, units: str = "mm") -> list[Pass]:
    """Return the passes of one tool sent into the valley; the replay has nothing to say."""
    of = job(
        Operation("face", 1),
        Operation("rough", 1),
        Operation("rough", number, valleys_only=True),
        lathe=lathe,
        units=units,
    )
    plan = planned(of)
    assert replay(plan).events == ()
    assert replay(plan, as_read=True).events == ()
    made = [p for p in plan.setups[0].passes if p.tool == number and p.operation == "rough"]
    assert made
    return made


def cuts(one: Pass) -> list[tuple[float, float, float, float]]:
    """Return the cuts of a pass: z and r before, z and r after."""
    found, here = [], one.start
    for move in one.moves:
        if move.kind == "cut":
            found.append((here.z, here.r, move.to.z, move.to.r))
        here = move.to
    return found


@pytest.mark.parametrize(("number", "slant"), [(4, 60), (2, 28), (3, 28), (10, 50)])
def test_by_hand_a_tool_goes_in_by_low_stairs_one_wheel_at_a_time(number: int, slant: int) -> None:
    shape = tool(number)
    for one in sinking(number):
        made = cuts(one)
        assert all(z0 == pytest.approx(z) or r0 == pytest.approx(r) for z0, r0, z, r in made)
        downs = [(z, r0 - r) for z0, r0, z, r in made if r < r0 - 1e-9]
        # The first comes down through the air above the level before.
        for (z0, _), (z, deep) in pairwise(downs):
            assert deep <= max(0.2, shape.nose_radius_mm) + 1e-9
            assert math.degrees(math.atan2(deep, abs(z - z0))) <= slant + 1e-6
            assert round(abs(z - z0) * 10, 6) == round(abs(z - z0) * 10), "easy figures on Z"
        (note,) = one.notes
        assert f"slant {slant}°" in note
        assert ("away from the chuck" in note) == (shape.hand == "left")


def test_a_lathe_that_guides_a_taper_goes_in_on_one_slant() -> None:
    for one in sinking(4, GUIDED):
        made = cuts(one)
        slants = [c for c in made if abs(c[0] - c[2]) > 1e-6 and abs(c[1] - c[3]) > 1e-6]
        ((z0, r0, z, r),) = slants
        assert math.degrees(math.atan2(r0 - r, abs(z - z0))) <= 60 + 1e-6
        assert "slant of 60°" in one.notes[0]


def test_a_tool_that_may_go_straight_in_does() -> None:
    for one in sinking(5):
        assert one.notes == ()
        assert sum(1 for z0, r0, z, r in cuts(one) if r < r0 - 1e-9) == 1


def test_no_slant_for_a_tool_whose_trailing_edge_is_too_flat() -> None:
    plan = planned(job(Operation("face", 1), Operation("rough", 1)))
    assert all(not p.notes for p in plan.setups[0].passes if p.operation == "rough")
    assert greatest_slant(tool(1)) == 0.0
    # The edge, less a margin, is the end of what the record may say.
    assert greatest_slant(tool(2, plunge_angle_deg=60.0)) == pytest.approx(math.radians(30))
    assert greatest_slant(tool(2, plunge_angle_deg=0.0)) == 0.0
    assert greatest_slant(tool(5, plunge_angle_deg=45.0)) == pytest.approx(math.radians(45))


def test_a_round_nose_that_must_not_go_straight_in_sinks_as_well() -> None:
    shop = but(
        SHOP,
        tools=tuple(tool(5, plunge_angle_deg=45.0) if t.number == 5 else t for t in SHOP.tools),
    )
    into = Operation("rough", 5, valleys_only=True)
    plan = planned(job(Operation("face", 1), Operation("rough", 1), into), shop)
    made = [p for p in plan.setups[0].passes if p.tool == 5]
    assert replay(plan).events == ()
    assert all("slant 45°" in p.notes[0] for p in made)


def test_the_rows_can_be_followed_with_two_wheels() -> None:
    one = sinking(2)[1]
    numbers = Numbers("mm", 2, 3, 0.01)
    rows = row_texts(one, numbers, fresh_tool=False)
    assert all(row.motions <= 4 for row in rows)
    told = " ".join(" ".join((r.cut_to, *r.then, r.back)) for r in rows)
    for move, reading in zip(one.moves, one.readings, strict=True):
        if move.kind == "cut":
            assert f"X {reading.x:.2f}" in told or numbers.z(reading.z) in told
    assert "3 times X 0.67 deeper, Z 0.7 toward the chuck between" in one.notes[0]


def test_inch_jobs_are_told_in_inches() -> None:
    (note, *_) = sinking(4, "Boathouse", "inch")[0].notes
    assert "2 times X 0.0" in note
    assert "Z 0.0" in note


def test_the_proposal_sinks_where_no_tool_goes_straight_in() -> None:
    shop = but(SHOP, tools=tuple(t for t in SHOP.tools if t.kind != "round"))
    roughing = [o for o in Planner(shop).propose(job()) if o.kind == "rough"]
    assert any("sinks into the valley" in o.reason for o in roughing)
    assert not any("sinks" in o.reason for o in Planner(SHOP).propose(job()))
