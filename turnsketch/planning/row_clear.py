"""Ways of a finishing row as the readout shows them: rounded, they keep clear of the metal.

The exact way may touch what stands beside it: a row begins in a corner, against a wall or on a
surface that another tool has made. Rounded to the nearest figure the tool could then stand a part
of a step in the metal, so the figure is taken on the side of the air.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Move
from turnsketch.planning.context import Context
from turnsketch.planning.draft import DraftMove, XMode, ZMode, position
from turnsketch.planning.row_work import RowWork
from turnsketch.rounding import RoundMode, round_step
from turnsketch.units import from_mm, to_mm

__all__ = ["LEG_ROOM_MM", "leg_is_clear", "shown_clear"]

LEG_ROOM_MM = 0.02
"""A way along Z keeps so far off the metal: more than a step of the readout."""

_X_MODES: tuple[XMode, ...] = ("nearest", "keep metal")
_Z_MODES: tuple[ZMode, ...] = ("nearest", "keep metal", "toward chuck")
_ROOMS = (((-1, -1), (1, -1)), ((-1, 0), (1, 0)), ((0, 0),))
"""Where the tool must be free besides, in halves of a step along z and r."""

_ROUNDED: dict[str, RoundMode] = {"nearest": "nearest", "keep metal": "up", "toward chuck": "down"}


def shown_clear(work: RowWork, way: Sequence[Point], metal: BaseGeometry) -> list[DraftMove]:
    """Return the moves of a way through the air, rounded so that its end stays in the air.

    What stands there is itself made to rounded figures: half a step of room is kept where there is
    some, first on both axes.
    """
    ctx, end = work.ctx, way[-2:]
    half = to_mm(ctx.x_step / 4, ctx.units), to_mm(ctx.z_step / 2, ctx.units)
    for room, x_mode, z_mode in product(_ROOMS, _X_MODES, _Z_MODES):
        shown = [_shown(ctx, p, x_mode, z_mode) for p in end]
        beside = [Point(half[1] * z, half[0] * r) for z, r in room]
        if all(work.mover.free([p.plus(b) for p in shown], metal) for b in beside if shown):
            made = [DraftMove(Move("position", p), x_mode, z_mode) for p in way]
            return made if room != _ROOMS[-1] else _cut_down(work, made)
    return [position(p) for p in way]


def _cut_down(work: RowWork, way: list[DraftMove]) -> list[DraftMove]:
    """Return a way that has no room at its end; where that goes down along a wall it is a cut.

    The wall may stand half a step nearer than the print has it.
    """
    if len(way) < 2 or way[-1].move.to.r >= way[-2].move.to.r:
        return way
    before, last = way[-2].move.to, way[-1]
    over = Point(before.z, work.ctx.clear_r)
    more = [replace(last, move=Move("position", over))] if before.r > over.r else []
    return [*way[:-1], *more, replace(last, move=Move("cut", last.move.to))]


def leg_is_clear(work: RowWork, here: Point, home: Point, metal: BaseGeometry) -> bool:
    """Return whether a way along Z does not graze the metal."""
    down = Point(0.0, LEG_ROOM_MM)
    return work.mover.free([here.minus(down), home.minus(down)], metal)


def _shown(ctx: Context, place: Point, x_mode: XMode, z_mode: ZMode) -> Point:
    """Return where the tool stands when the readout shows `place` rounded."""
    x = round_step(from_mm(2 * place.r, ctx.units), ctx.x_step, _ROUNDED[x_mode])
    z = round_step(from_mm(place.z + ctx.zero, ctx.units), ctx.z_step, _ROUNDED[z_mode])
    return Point(to_mm(z, ctx.units) - ctx.zero, to_mm(x, ctx.units) / 2)
