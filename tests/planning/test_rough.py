"""Roughing: the rules of slices, entries, withdraws and what is kept."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
import shapely
from shapely import Polygon, box
from shapely.affinity import translate

from turnsketch.geometry.elements import Point
from turnsketch.job import Operation
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.fold import change_point
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.rough import plan_rough
from turnsketch.planning.route import path_points

OVERRUN = 3.0


def rough(ctx: Context, tool: int, state: State | None = None) -> tuple[list[DraftPass], State]:
    start = state or State(ctx.held.region, change_point(ctx), tool)
    operation = Operation("rough", tool)
    return plan_rough(ctx, operation, start, "rough", ctx.part.aim, OVERRUN)


def solid(ctx: Context) -> Polygon:
    return keep_region(keep_of(ctx.part.aim, ctx.held, OVERRUN).elements, ctx.held, 1e-3)


def placed(ctx: Context, made: DraftPass, kinds: Iterable[str]) -> Iterable[Polygon]:
    """Yield every tool piece of the given kinds at closely spaced points of the cuts."""
    pieces = [p for p in ctx.shapes[made.tool].pieces if ("cuts" if p.cuts else "holder") in kinds]
    here = made.start
    for draft in made.moves:
        if draft.move.kind == "cut":
            for share in (0.0, 0.37, 0.71, 1.0):
                at = Point(
                    here.z + share * (draft.move.to.z - here.z),
                    here.r + share * (draft.move.to.r - here.r),
                )
                for piece in pieces:
                    yield translate(Polygon(piece.ring(1e-4)), at.z, at.r)
        here = draft.move.to


def test_levels_stand_on_shoulders_plus_allowance(stepped: Context) -> None:
    passes, _ = rough(stepped, 1)
    diameters = [2 * p.moves[1].move.to.r for p in passes]
    for shoulder in (30.0, 25.0, 12.0):
        assert any(shoulder + 0.6 - 1e-9 <= d <= shoulder + 0.81 for d in diameters)


def test_no_piece_of_the_tool_meets_what_must_stand(stepped: Context, necked: Context) -> None:
    for ctx, tool in ((stepped, 1), (necked, 1), (necked, 5)):
        body = solid(ctx).buffer(-2e-4)
        for made in rough(ctx, tool)[0]:
            assert not any(
                piece.intersects(body) for piece in placed(ctx, made, ("cuts", "holder"))
            )


def test_the_bar_behind_the_part_stands(stepped: Context) -> None:
    _, after = rough(stepped, 1)
    bar = box(stepped.held.back, 0.0, -66.0 - OVERRUN, stepped.held.radius)
    assert bar.difference(after.remaining).area < 1e-6


def test_allowances_in_x_and_z_are_separate(stepped: Context) -> None:
    operation = Operation("rough", 1, x_allowance="0.5", z_allowance="1")
    start = State(stepped.held.region, change_point(stepped), 1)
    passes, after = plan_rough(stepped, operation, start, "rough", stepped.part.aim, OVERRUN)
    ends = {round(m.move.to.z, 3) for p in passes for m in p.moves if m.move.kind == "cut"}
    assert {-21.0, -57.0} <= ends
    strip = shapely.clip_by_rect(after.remaining, -40.0, 0.0, -39.0, 50.0)
    assert 12.5 + 0.5 - 1e-6 <= strip.bounds[3] <= 12.5 + 0.5 + 0.06


def test_a_valley_is_left_to_a_tool_that_may_plunge(necked: Context) -> None:
    passes, after = rough(necked, 1)
    floor = shapely.clip_by_rect(after.remaining, -33.0, 0.0, -32.0, 50.0)
    assert floor.bounds[3] > 15.0, "a square-shouldered tool cannot go down between two collars"
    more, after = rough(necked, 5, State(after.remaining, change_point(necked), 5))
    floor = shapely.clip_by_rect(after.remaining, -33.0, 0.0, -32.0, 50.0)
    assert floor.bounds[3] == pytest.approx(8.3, abs=0.06)
    assert passes
    assert more


def test_entries_into_a_valley_are_cuts_not_positioning(necked: Context) -> None:
    """A positioning move must never touch metal: every one is swept against what stands."""
    state = State(necked.held.region, change_point(necked), 5)
    passes, _ = rough(necked, 5, state)
    metal = state.remaining
    shape = necked.shapes[5]
    for made in passes:
        here = made.start
        for draft in made.moves:
            hulls = [
                Polygon(piece.ring(1e-4)).union(Polygon(piece.ring(1e-4))) for piece in shape.pieces
            ]
            swept = [
                shapely.MultiPoint(
                    [
                        *translate(hull, here.z, here.r).exterior.coords,
                        *translate(hull, draft.move.to.z, draft.move.to.r).exterior.coords,
                    ]
                ).convex_hull
                for hull in hulls
            ]
            if draft.move.kind == "position":
                assert all(s.buffer(-5e-3).intersection(metal).area == 0 for s in swept)
            else:
                cutting = [s for s, p in zip(swept, shape.pieces, strict=True) if p.cuts]
                metal = metal.difference(shapely.union_all(cutting))
            here = draft.move.to


def test_no_pass_takes_next_to_nothing(stepped: Context, necked: Context) -> None:
    for ctx, tool in ((stepped, 1), (necked, 1), (necked, 5)):
        state = State(ctx.held.region, change_point(ctx), tool)
        passes, _ = rough(ctx, tool, state)
        for made in passes:
            cuts = [m.move.to for m in made.moves if m.move.kind == "cut"]
            assert abs(made.moves[0].move.to.z - cuts[-1].z) >= 0.05
            assert made.depth > 0.01


def test_passes_return_to_one_fixed_z(stepped: Context) -> None:
    passes, _ = rough(stepped, 1)
    assert {round(p.end.z, 6) for p in passes} == {stepped.return_z}


def test_the_holder_keeps_clear_of_the_metal_that_stands(make_context: object) -> None:
    """A short insert in a wide holder: a deep narrow valley stops it, not the keep alone."""
    from tests.planning.conftest import polyline

    assert callable(make_context)
    ctx = make_context(
        polyline((0, 0), (0, 60), (-20, 60), (-20, 20), (-32, 20), (-32, 60), (-40, 60), (-40, 0)),
        62.0,
    )
    passes, after = rough(ctx, 5)
    assert passes
    metal = after.remaining.buffer(-1e-3)
    for made in passes:
        assert not any(p.intersects(metal) for p in placed(ctx, made, ("holder",)))


def test_moves_join_up(stepped: Context) -> None:
    passes, _ = rough(stepped, 1)
    here = change_point(stepped)
    for made in passes:
        assert made.start == here
        assert path_points(made.start, made.moves)[0] == here
        here = made.end
