"""The centre hole, facing around it, and what a setup leaves to another."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import msgspec
import pytest
from shapely import Polygon

from tests.planning.conftest import outline_of, polyline
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Holding, Operation
from turnsketch.part.centre_holes import centre_hole
from turnsketch.planning.centre import (
    hole_of,
    plan_centre_hole,
    starts_on_centre,
    usual_drill,
    with_centre,
)
from turnsketch.planning.context import Context, State
from turnsketch.planning.face import plan_face
from turnsketch.planning.fold import change_point, fold
from turnsketch.planning.propose import propose
from turnsketch.planning.stage import limit_behind, made_here, stage_outline
from turnsketch.planning.tailstock import Seat

DRILL = Operation("centre hole", 14)
SHAFT = polyline((0, 0), (0, 20), (-30, 20), (-30, 26), (-70, 26), (-70, 0))


@pytest.fixture
def shaft(make_context: Callable[..., Context]) -> Context:
    """Return a shaft Ø20, Ø26 in bar Ø28 that is to be held by the centre."""
    ctx = make_context(SHAFT, 28.0)
    holding = msgspec.structs.replace(ctx.setup.holding, centre=True)
    setup = msgspec.structs.replace(ctx.setup, holding=holding)
    part = replace(ctx.part, sharp=ctx.part.aim)
    job = msgspec.structs.replace(ctx.job, setups=(setup,))
    return replace(ctx, setup=setup, part=part, job=job)


def faced(ctx: Context) -> State:
    start = State(ctx.held.region, change_point(ctx), 1)
    return plan_face(ctx, Operation("face", 1), start, "face")[1]


def drilled(ctx: Context) -> State:
    state = replace(faced(ctx), position=change_point(ctx), tool=14)
    return plan_centre_hole(ctx, DRILL, state, "drill")[1]


def test_the_drill_goes_along_the_axis_to_the_holes_depth(shaft: Context) -> None:
    state = replace(faced(shaft), position=change_point(shaft), tool=14)
    (made,), after = plan_centre_hole(shaft, DRILL, state, "drill")
    assert all(m.move.to.r == 0.0 for m in made.moves)
    assert [m.move.to.z for m in made.moves if m.move.kind == "cut"] == [-4.6]
    assert made.quill is not None
    assert made.quill.depth == 4.6
    assert (made.quill.touch_z, made.quill.tip_z) == (0.0, -4.6)
    taken = state.remaining.difference(after.remaining)
    assert taken.symmetric_difference(Polygon(centre_hole(2.5).section(0.0))).area < 1e-3


def test_no_second_hole_in_the_same_end(shaft: Context) -> None:
    state = drilled(shaft)
    assert plan_centre_hole(shaft, DRILL, state, "drill")[0] == []


def test_another_tool_is_no_centre_drill(shaft: Context) -> None:
    with pytest.raises(InputError, match="no centre drill"):
        hole_of(shaft, Operation("centre hole", 1), "here")
    with pytest.raises(InputError, match=r"A 2, T14 drills 2.5"):
        hole_of(shaft, Operation("centre hole", 14, size="2"), "here")
    assert hole_of(shaft, Operation("centre hole", 14, size="2.5"), "here") == centre_hole(2.5)


def test_the_size_goes_by_the_bar_and_stays_inside_the_face(
    make_context: Callable[..., Context], shaft: Context
) -> None:
    """Ø28 asks for A 3.15; an end of Ø8 takes the next smaller one whose rim it holds."""
    found = usual_drill(shaft)
    assert found is not None
    assert found.centre_size_mm == 3.15
    thin = make_context(polyline((0, 0), (0, 8), (-20, 8), (-20, 26), (-70, 26), (-70, 0)), 28.0)
    found = usual_drill(thin)
    assert found is not None
    assert found.centre_size_mm == 2.5
    assert usual_drill(make_context(polyline((0, 0), (0, 4), (-20, 4), (-20, 0)), 28.0)) is None


def test_facing_stops_at_the_holes_rim(shaft: Context) -> None:
    """The nose passes the rim by its radius: X = rim - 2 r."""
    start = State(shaft.held.region, change_point(shaft), 14)
    state = plan_centre_hole(shaft, DRILL, start, "drill")[1]
    state = replace(state, position=change_point(shaft), tool=1)
    (made,), _ = plan_face(shaft, Operation("face", 1), state, "face")
    end = next(m.move.to for m in made.moves if m.move.kind == "cut")
    rim = 5.3 / 2 - 1.0 * math.tan(math.radians(30))  # 1 mm under the old face
    assert end.z == 0.0
    assert end.r == pytest.approx(rim - 0.8)


def test_facing_stops_at_the_centre_when_it_is_in(shaft: Context) -> None:
    ctx = with_centre(replace(shaft, held=replace(shaft.held, seat=Seat(centre_hole(2.5), 1.0))))
    start = State(ctx.held.region, change_point(ctx), 1)
    passes, _ = plan_face(ctx, Operation("face", 1), start, "face")
    room = ctx.held.blocked(1.9)
    for made in passes:
        for draft in made.moves:
            at = draft.move.to
            ring = [at.plus(p) for p in ctx.shapes[1].cutting[0].ring(1e-3)]
            assert not Polygon(ring).intersects(room)


def test_when_the_centre_is_in_from_the_start(shaft: Context) -> None:
    assert not starts_on_centre(shaft, (Operation("face", 1), DRILL))
    assert starts_on_centre(shaft, (Operation("face", 1),))
    off = msgspec.structs.replace(DRILL, enabled=False)
    assert starts_on_centre(shaft, (off,))
    ready = replace(shaft, held=replace(shaft.held, seat=Seat(centre_hole(2.5), 1.0)))
    assert starts_on_centre(ready, (DRILL,))


def test_the_proposal_faces_drills_and_works_on_the_centre(shaft: Context) -> None:
    operations = propose(shaft)
    assert [o.kind for o in operations[:3]] == ["face", "centre hole", "rough"]
    planned = fold(shaft, operations)
    assert planned.centre_from == 2
    assert planned.ctx.held.centre_in
    assert not any(o.kind == "part off" for o in operations)


def test_tools_change_beyond_the_quill(shaft: Context) -> None:
    low = msgspec.structs.replace(shaft.lathe, change_point=Point(60.0, 5.0))
    assert change_point(replace(shaft, lathe=low)).r == shaft.over_centre_r == 25.0
    alone = msgspec.structs.replace(shaft.setup, holding=Holding("Three-jaw 160", "25"))
    assert change_point(replace(shaft, lathe=low, setup=alone)).r == shaft.clear_r


def test_a_setup_ends_at_a_section(shaft: Context) -> None:
    outline = outline_of(SHAFT)
    assert limit_behind(outline, (1,)) == -30.0
    assert limit_behind(outline, (1, 2)) is None
    limited = replace(shaft, limit_z=-30.0)
    cut_off = stage_outline(limited, outline)
    assert [e.shape.end for e in cut_off.elements] == [
        Point(0, 10),
        Point(-30, 10),
        Point(-30, 0),
    ]
    assert made_here(limited, -29.0)
    assert not made_here(limited, -30.0)
    assert stage_outline(shaft, outline) == outline


def test_what_carries_the_hole_stays_in_front(shaft: Context) -> None:
    ctx = replace(shaft, held=replace(shaft.held, seat=Seat(centre_hole(2.5), 7.0)))
    longer = stage_outline(ctx, outline_of(SHAFT))
    assert [e.shape.end for e in longer.elements[:2]] == [Point(7, 10), Point(0, 10)]
    assert longer.joins[1] == "smooth"
    assert ctx.return_z == 9.0
