"""Finishing: exact ends in closed form, and the order that two handwheels can follow."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tests.planning.conftest import MakeContext, polyline
from turnsketch.geometry.elements import Arc, Line, Point
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Move
from turnsketch.planning.context import Context
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.finish import finish_path
from turnsketch.planning.fold import fold
from turnsketch.planning.keep import keep_of
from turnsketch.planning.rows import Row, rows_of

NOSE = 0.4
EXACT = 1e-6


def rows(ctx: Context, tool: int = 2) -> list[Row]:
    """Return the rows of a finishing tool (T2 has a nose of 0.4, read left and under)."""
    shape = ctx.shapes[tool]
    keep = keep_of(ctx.part.aim, ctx.held, 3.5)
    path = finish_path(ctx, shape, keep).elements
    backwards = shape.tool.hand == "left"
    return rows_of(path, keep, sharp=False, backwards=backwards, split=False)


def tapered(make_context: MakeContext, degrees: float) -> Context:
    """Return a part whose Ø20 rises at an angle, Z-20 to Z-30, and goes on as a cylinder."""
    back = 20 + 2 * 10 * math.tan(math.radians(degrees))
    return make_context(
        polyline((0, 0), (0, 20), (-20, 20), (-30, back), (-50, back), (-50, 0)),
        math.ceil(back) + 3,
    )


def nose_shift(angle: float) -> Point:
    """Return how far the reference stands off the touched place of a rising surface.

    The nose's centre stands off by r along the normal (sin t, cos t); the reference is its lowest
    and its left side: (-r, -r) from the centre.
    """
    return Point(NOSE * (math.sin(angle) - 1), NOSE * (math.cos(angle) - 1))


@pytest.mark.parametrize("degrees", [1, 5, 15, 30, 45, 60])
def test_a_rising_taper_is_shifted_by_the_nose(make_context: MakeContext, degrees: float) -> None:
    angle = math.radians(degrees)
    ctx = tapered(make_context, degrees)
    (row,) = [r for r in rows(ctx) if r.direction == "taper"]
    begin, end = row.elements[0].start, row.elements[0].end
    shift = nose_shift(angle)
    for place in (begin, end):
        touched = place.minus(shift)
        assert touched.r - 10 == pytest.approx((-20 - touched.z) * math.tan(angle), abs=EXACT)
    # Between two cylinders both ends lie at the cylinders' own radii.
    assert begin.r == pytest.approx(10, abs=EXACT)
    assert end.r == pytest.approx(10 + 10 * math.tan(angle), abs=EXACT)
    # Worked: the foot is met early by r (1 - tan(t / 2)) from the left side, r tan(t / 2) ahead.
    assert begin.z == pytest.approx(-20 - NOSE + NOSE * math.tan(angle / 2), abs=EXACT)
    assert end.z == pytest.approx(-30 - NOSE + NOSE * math.tan(angle / 2), abs=EXACT)


@pytest.mark.parametrize("degrees", [5, 15, 30])
def test_a_falling_taper_is_shifted_the_other_way(
    make_context: MakeContext, degrees: float
) -> None:
    angle = math.radians(degrees)
    drop = 10 * math.tan(angle)
    front = 20 + 2 * drop
    ctx = make_context(
        polyline((0, 0), (0, front), (-20, front), (-30, 20), (-50, 20), (-50, 0)),
        math.ceil(front) + 3,
    )
    (row,) = [r for r in rows(ctx) if r.direction == "taper"]
    shift = Point(NOSE * (-math.sin(angle) - 1), NOSE * (math.cos(angle) - 1))
    for place in (row.elements[0].start, row.elements[0].end):
        touched = place.minus(shift)
        assert touched.r - 10 == pytest.approx((30 + touched.z) * math.tan(angle), abs=EXACT)


def test_a_chamfer_behind_a_face_as_worked(make_context: MakeContext) -> None:
    """1x45 from Ø23 to Ø25 at Z-22, nose 0.4: X 22.531 Z-22.000 to X 25.00 Z-23.234 (worked)."""
    ctx = make_context(
        polyline((0, 0), (0, 12), (-22, 12), (-22, 23), (-23, 25), (-50, 25), (-50, 0)), 30
    )
    (row,) = [r for r in rows(ctx) if r.direction == "taper"]
    begin, end = row.elements[0].start, row.elements[0].end
    assert 2 * begin.r == pytest.approx(22.531, abs=5e-4)
    assert begin.z == pytest.approx(-22.0)
    assert 2 * end.r == pytest.approx(25.0)
    assert end.z == pytest.approx(-23.234, abs=5e-4)
    # The same in closed form: beside the face the nose's left side, over the cylinder its foot.
    back = NOSE * (2 - math.sqrt(2))
    assert begin.r == pytest.approx(11.5 - back, abs=EXACT)
    assert end.z == pytest.approx(-23 - back, abs=EXACT)


def test_a_fillet_is_cut_on_its_radius_less_the_nose(make_context: MakeContext) -> None:
    fillet = Arc(Point(-17, 10), Point(-20, 13), Point(-17, 13), "cw")
    ctx = make_context(
        [
            *polyline((0, 0), (0, 20), (-17, 20)),
            fillet,
            *polyline((-20, 26), (-20, 40), (-50, 40), (-50, 0)),
        ],
        42,
    )
    (row,) = [r for r in rows(ctx) if r.direction == "arc"]
    arc = row.elements[0]
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(3 - NOSE, abs=EXACT)
    assert arc.start.distance(Point(-17 - NOSE, 10)) < EXACT
    assert arc.end.distance(Point(-20, 13 - NOSE)) < EXACT


def test_a_ball_is_cut_on_its_radius_and_the_nose(make_context: MakeContext) -> None:
    ball = Arc(Point(0, 0), Point(-15, 15), Point(-15, 0), "ccw")
    ctx = make_context([ball, *polyline((-15, 30), (-40, 30), (-40, 0))], 32)
    (row,) = [r for r in rows(ctx) if r.direction == "arc"]
    arc = row.elements[0]
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(15 + NOSE, abs=EXACT)
    assert arc.start.distance(Point(0, -NOSE)) < EXACT
    assert arc.end.distance(Point(-15 - NOSE, 15)) < EXACT


def finishing(ctx: Context, *tools: int) -> list[DraftPass]:
    rough = [Operation("face", 1), Operation("rough", 1)]
    operations = (*rough, *(Operation("finish", tool) for tool in tools))
    return [p for step in fold(ctx, operations).steps[2:] for p in step.passes]


def cuts(made: DraftPass) -> list[Move]:
    return [d.move for d in made.moves if d.move.kind == "cut"]


def test_turn_to_the_shoulder_then_face_out(stepped: Context) -> None:
    passes = finishing(stepped, 2)
    assert [p.section for p in passes] == sorted(p.section or 0 for p in passes)
    for made, shoulder, radius, top in zip(
        passes[:2], (-22.0, -58.0), (6.0, 12.5), (12.5, 15.0), strict=True
    ):
        along, out = cuts(made)
        assert along.to.distance(Point(shoulder, radius)) < EXACT
        assert out.to.z == along.to.z, "the carriage stands still while the slide faces out"
        assert out.to.r > top


def test_only_one_wheel_turns_in_every_straight_motion(stepped: Context, necked: Context) -> None:
    """But for tapers, which have their own means."""
    for ctx in (stepped, necked):
        for made in finishing(ctx, 2, 3):
            places = [made.start, *(d.move.to for d in made.moves)]
            for draft, (a, b) in zip(made.moves, pairwise(places), strict=True):
                if made.direction == "taper" and draft.move.kind == "cut":
                    continue
                assert abs(a.z - b.z) < EXACT or abs(a.r - b.r) < EXACT


def test_a_surface_that_stands_is_not_cut_again(stepped: Context) -> None:
    assert finishing(stepped, 2)
    assert len(finishing(stepped, 2, 2)) == len(finishing(stepped, 2))


def test_what_stands_too_high_for_one_cut_is_taken_in_levels(make_context: MakeContext) -> None:
    ctx = make_context(polyline((0, 0), (0, 20), (-30, 20), (-30, 0)), 24.8)
    steps = fold(ctx, (Operation("face", 1), Operation("finish", 2))).steps
    depths = [p.depth for p in steps[1].passes]
    assert len(depths) > 1
    assert all(depth <= 1.0 + 0.011 for depth in depths)
    assert [p.last_on_surface for p in steps[1].passes] == [False] * (len(depths) - 1) + [True]
    measured = [p.measure is not None for p in steps[1].passes]
    assert measured == [p.last_on_surface for p in steps[1].passes]


def test_the_neck_behind_the_part_is_no_surface(stepped: Context) -> None:
    """The last cylinder runs on over the blade's room; the neck has no row of its own."""
    last = rows(stepped)[-1]
    assert last.source is not None
    assert last.elements[-1].end.z < -66.0
    assert all(row.source is not None for row in rows(stepped))


def test_a_left_hand_tool_goes_from_back_to_front(necked: Context) -> None:
    found = [r for r in rows(necked, 3) if r.direction in ("turn", "taper")]
    starts = [r.elements[0].start.z for r in found]
    assert starts == sorted(starts)
    for row in found:
        level = row.elements[0]
        assert isinstance(level, Line)
        assert level.end.z >= level.start.z


def test_a_centre_in_front_of_a_bore_leaves_no_way_into_it() -> None:
    """The bore is told as not made; the centre's place is no bad input."""

    def cylinder(diameter: str, length: str | None = None) -> Section:
        return Section("cylinder", diameter=diameter, length=length)

    sections = (cylinder("23", "12"), cylinder("43", "40"))
    steps = (cylinder("16", "7"), cylinder("13"))
    part = PartRecord("bush", sections, material="bronze", bore=Bore(steps, through=True))
    setup = Setup(Holding("Three-jaw 160", "32", centre=True))
    made = Planner().plan(Job(part, Blank("47", "96"), "Slipway 2", (setup,)))
    assert "bore-not-made" in {f.code for f in made.findings}
