"""The half section turned inside out for a bore, and back again."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tests.planning.bored import bored, section, start_of
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Move
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftMove, DraftPass
from turnsketch.planning.inside import hole_radius, inside_context, inside_outline
from turnsketch.planning.inside_out import AXIS_R, inside_out, outward
from turnsketch.units import from_mm


def test_a_bore_looks_like_an_outside() -> None:
    ctx = bored(section("24", "12"), section("16"))
    assert ctx.part.bore is not None
    outline = inside_outline(ctx.part.bore.aim)
    levels = [e.shape.start.r for e in outline.elements if e.role == "cylinder"]
    assert levels == pytest.approx([AXIS_R - 12, AXIS_R - 8])
    # The shoulder inside is a step outward to the planner, as on any shaft.
    assert levels[1] > levels[0]


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_the_axis_stands_on_a_step_of_the_readout(units: str) -> None:
    whole = from_mm(2 * AXIS_R, units)  # type: ignore[arg-type]
    assert whole == pytest.approx(round(whole))


def test_metal_is_turned_and_turned_back() -> None:
    ctx = bored(section("24"))
    state = start_of(ctx)
    there = inside_out(state)
    assert there.position == Point(state.position.z, AXIS_R - state.position.r)
    back = inside_out(there)
    assert back.remaining.symmetric_difference(state.remaining).area < 1e-6
    assert back.position == state.position


CTX = bored(section("24"))
START = start_of(CTX)
radii = st.floats(0.0, 30.0).map(lambda r: round(r, 3))


@given(r0=radii, r1=radii, turn=st.sampled_from(["cw", "ccw"]))
def test_moves_come_back_with_true_radii(r0: float, r1: float, turn: str) -> None:
    start, end, centre = (Point(0.0, AXIS_R - r) for r in (r0, r1, r0 + r1))
    moves = (DraftMove(Move("cut", end, centre, turn)),)  # type: ignore[arg-type]
    made = DraftPass(20, start, moves, "bore", "arc", 0.5, 10.0)
    state = State(shapely.box(-40, AXIS_R - 22, 0, AXIS_R - 12), end, 20)
    (back,), _ = outward(CTX, START, [made], state)
    move = back.moves[0].move
    assert back.inside
    assert move.to.r == pytest.approx(r1, abs=1e-9)
    assert move.centre is not None
    assert move.centre.r == pytest.approx(r0 + r1, abs=1e-9)
    assert move.turn == ("cw" if turn == "ccw" else "ccw")
    assert back.speed_diameter == pytest.approx(2 * r1, abs=1e-9)


def test_the_hole_is_the_narrowest_as_deep_as_asked() -> None:
    metal = shapely.union_all([shapely.box(-10, 12, 0, 22), shapely.box(-40, 8, -10, 22)])
    assert hole_radius(metal, 5.0) == pytest.approx(12)
    assert hole_radius(metal, 30.0) == pytest.approx(8)
    assert hole_radius(shapely.box(-40, 0, 0, 22), 5.0) == 0.0


def test_levels_begin_in_the_narrowest_part_of_a_stepped_hole() -> None:
    """Once it was that of the front half: a narrow section further in was never finished."""
    ctx = bored(section("33", "3"), section("29", "8"), section("20", "8"), through=False)
    hole = [(0, 14.0), (-11, 14.0), (-11, 9.7), (-19, 9.7), (-19, 0), (-40, 0), (-40, 22), (0, 22)]
    inside = inside_context(ctx, shapely.Polygon(hole))
    assert inside.clear_r >= AXIS_R - 9.7


def test_only_tools_for_bores_are_there() -> None:
    ctx = bored(section("24"))
    inside = inside_context(ctx, start_of(ctx).remaining)
    kinds = {ctx.shapes[number].tool.kind for number in inside.shapes}
    assert "boring" in kinds
    assert not kinds & {"turning", "drill", "parting"}


def test_a_part_without_a_bore_has_no_inside() -> None:
    ctx = bored(section("24"))
    bare = inside_context(ctx, start_of(ctx).remaining)
    with pytest.raises(ValueError, match="no bore"):
        inside_context(bare, start_of(ctx).remaining)
