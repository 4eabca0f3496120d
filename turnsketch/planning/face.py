"""Facing: the front face, from outside to beyond the axis by the nose.

Where the end has a centre hole the cut stops at its rim, with the centre in it at the centre.
"""

from __future__ import annotations

import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.levels import even_steps
from turnsketch.planning.route import Mover, path_points
from turnsketch.planning.space import holder_blocked, upright_slice
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["plan_face"]

DEPTH_MM = 1.02
"""Axial depth of a facing cut where nothing else is said: 1 mm or 0.040 in (common practice)."""

_LEAST_MM = 1e-3
"""Nothing thinner is faced off."""


def plan_face(
    ctx: Context, operation: Operation, state: State, where: str
) -> tuple[list[DraftPass], State]:
    """Return the facing passes from the front of the metal to the finished face.

    The tip goes beyond the axis by the nose radius, so that no pip stays (X = -2 r), or as far
    beyond a centre hole's rim. The tool leaves the face along Z first, then X.
    """
    shape = ctx.shape(operation.tool, where)
    mover = Mover.of(ctx, shape)
    depth = setting_mm(operation.depth, DEPTH_MM, ctx.units, f"{where}.depth")
    allowance = setting_mm(operation.z_allowance, 0.0, ctx.units, f"{where}.z_allowance")
    passes: list[DraftPass] = []
    before = float(state.remaining.bounds[2])
    if before - allowance < _LEAST_MM:
        return [], state
    for z in even_steps(before, allowance, min(depth, shape.tool.greatest_depth_mm)):
        z = z if z == allowance else ctx.rough_z(z)
        end_r = _end_radius(ctx, shape, state, z)
        if end_r is None:
            break
        start_z = max(ctx.return_z, before + ctx.shop.clearances.approach)
        here = Point(z, end_r)
        swept = mover.removed(path_points(Point(z, ctx.clear_r), [cut(here)]))
        # The nose's chords stand a little inside its circle; the face itself is exact.
        faced = box(z, max(0.0, end_r + shape.nose_radius), before + 1.0, ctx.clear_r)
        metal = clean(state.remaining.difference(shapely.union_all([swept, faced])))
        moves = [
            *_way_in(ctx, state, start_z),
            position(Point(z, ctx.clear_r)),
            cut(here, z_mode="nearest" if z == allowance else "keep metal"),
            *_way_out(ctx, mover, here, start_z, metal),
        ]
        made = DraftPass(
            tool=shape.tool.number,
            start=state.position,
            moves=tuple(moves),
            surface="front face",
            direction="face",
            depth=before - z,
            speed_diameter=2 * ctx.held.radius,
            power_until=max(end_r, 0.0) + ctx.shop.clearances.power_until / 2,
            last_on_surface=z == 0.0,
        )
        passes.append(made)
        state = State(metal, made.end, shape.tool.number)
        before = z
    return passes, state


def _way_in(ctx: Context, state: State, start_z: float) -> list[DraftMove]:
    """Return the way in front of the face; beside a centre the tool comes in along Z last."""
    moves: list[DraftMove] = []
    here = state.position
    if ctx.held.centre_in and here.r < ctx.over_centre_r:
        here = Point(here.z, ctx.over_centre_r)
        moves.append(position(here))
    if abs(here.z - start_z) > 1e-9:
        moves.append(position(Point(start_z, here.r)))
    if abs(here.r - ctx.clear_r) > 1e-9:
        moves.append(position(Point(start_z, ctx.clear_r)))
    return moves


def _way_out(
    ctx: Context, mover: Mover, here: Point, start_z: float, metal: BaseGeometry
) -> list[DraftMove]:
    """Return the way back: off the face along Z, then X; where something stands there, X first."""
    home = Point(start_z, ctx.clear_r)
    for corner in (Point(start_z, here.r), Point(here.z, ctx.clear_r)):
        if mover.free([here, corner, home], metal):
            return [position(corner), position(home)]
    return [position(Point(here.z, ctx.clear_r)), position(home)]


def _end_radius(ctx: Context, shape: ToolShape, state: State, z: float) -> float | None:
    """Return the r at which a facing cut at `z` ends; None when the centre bars it altogether."""
    slab = shapely.clip_by_rect(state.remaining, z, 0.0, z + 1e3, 1e4)
    rim = 0.0 if slab.is_empty else float(slab.bounds[1])
    end = (0.0 if rim < 1e-6 else rim) - shape.nose_radius
    if not ctx.held.centre_in:
        return end
    barred = upright_slice(holder_blocked(ctx, shape, Polygon()), z)
    lowest = max((high for _, high in barred), default=end)
    stop = ctx.easy_radius(lowest, lowest + 0.5) if lowest > end + 1e-6 else end
    return stop if stop < ctx.held.radius else None
