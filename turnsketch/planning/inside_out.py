"""Radii told the other way: of points, metal and passes, into a bore's frame and out again.

Every radius r is told as ``AXIS_R - r``. `AXIS_R` is 20 inches, so that a reading and its
counterpart stand on the same steps in both units, and easy figures stay easy figures.
"""

from __future__ import annotations

from dataclasses import replace

import msgspec
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point, Turn
from turnsketch.geometry.minkowski import clean
from turnsketch.plan_records import (
    Move,
    PathCaution,
    Reading,
    Ring,
    StepRow,
    StepTable,
)
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.units import from_mm

__all__ = ["AXIS_R", "inside_out", "outward", "point_inside", "region_inside", "ring_inside"]

AXIS_R = 508.0


def inside_out(state: State) -> State:
    """Return metal and tool as they look in a bore; done twice, as they truly are."""
    return State(region_inside(state.remaining), point_inside(state.position), state.tool)


def outward(
    ctx: Context, before: State, passes: list[DraftPass], after: State
) -> tuple[list[DraftPass], State]:
    """Return passes and state that were planned in a bore, told with true radii.

    Parameters
    ----------
    before : State
        As it was outside, before them.
    """
    if not passes:
        return [], before
    back = inside_out(after)
    made = [_pass(ctx, one) for one in passes]
    made[0] = replace(made[0], start=before.position)  # there and back rounds the last bit
    return made, back


def point_inside(point: Point) -> Point:
    """Return a point with its radius told the other way."""
    return Point(point.z, AXIS_R - point.r)


def ring_inside(ring: Ring) -> Ring:
    """Return a ring with every radius told the other way."""
    return tuple(point_inside(point) for point in ring)


def region_inside(shape: BaseGeometry) -> BaseGeometry:
    """Return a half section with every radius told the other way."""
    return clean(shapely.transform(shape, lambda xy: xy * (1.0, -1.0) + (0.0, AXIS_R)))


def _pass(ctx: Context, one: DraftPass) -> DraftPass:
    moves = tuple(replace(m, move=_move(m.move)) for m in one.moves)
    reached = [m.move.to.r for m in moves if m.move.kind != "position"]
    facing = one.direction == "face" and one.power_until is not None
    return replace(
        one,
        start=point_inside(one.start),
        moves=moves,
        speed_diameter=2 * max(map(abs, reached), default=0.0),
        power_until=AXIS_R - one.power_until if facing and one.power_until else one.power_until,
        step_places=tuple(point_inside(p) for p in one.step_places),
        steps=None if one.steps is None else _steps(ctx, one.steps),
        cautions=tuple(_caution(c) for c in one.cautions),
        inside=True,
    )


def _move(move: Move) -> Move:
    if move.centre is None or move.turn is None:
        return Move(move.kind, point_inside(move.to), None, None, move.pitch)
    turn: Turn = "cw" if move.turn == "ccw" else "ccw"
    return Move(move.kind, point_inside(move.to), point_inside(move.centre), turn, move.pitch)


def _caution(caution: PathCaution) -> PathCaution:
    return msgspec.structs.replace(caution, r=AXIS_R - caution.r)


def _steps(ctx: Context, table: StepTable) -> StepTable:
    whole = from_mm(2 * AXIS_R, ctx.units)
    rows = tuple(StepRow(round(whole - row.x, 6), row.z) for row in table.rows)
    tangents = tuple(
        msgspec.structs.replace(
            cut,
            angle=-cut.angle,
            start=Reading(round(whole - cut.start.x, 6), cut.start.z),
            end=Reading(round(whole - cut.end.x, 6), cut.end.z),
        )
        for cut in table.tangents
    )
    return msgspec.structs.replace(table, rows=rows, tangents=tangents)
