"""Facing: the front face, from outside to beyond the axis by the nose."""

from __future__ import annotations

from turnsketch.geometry.elements import Point
from turnsketch.job import Operation
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.levels import even_steps
from turnsketch.planning.route import Mover, path_points

__all__ = ["plan_face"]

DEPTH_MM = 1.02
"""Axial depth of a facing cut where nothing else is said: 1 mm or 0.040 in (common practice)."""


def plan_face(
    ctx: Context, operation: Operation, state: State, where: str
) -> tuple[list[DraftPass], State]:
    """Return the facing passes from the raw face to the finished one.

    The tip goes beyond the axis by the nose radius, so that no pip stays (X = -2 r). The tool
    leaves the face along Z first, then X.
    """
    shape = ctx.shape(operation.tool, where)
    mover = Mover.of(ctx, shape)
    depth = setting_mm(operation.depth, DEPTH_MM, ctx.units, f"{where}.depth")
    allowance = setting_mm(operation.z_allowance, 0.0, ctx.units, f"{where}.z_allowance")
    end_r = -shape.nose_radius
    passes: list[DraftPass] = []
    before = ctx.held.raw_front
    for z in even_steps(ctx.held.raw_front, allowance, min(depth, shape.tool.greatest_depth_mm)):
        z = z if z == allowance else ctx.rough_z(z)
        start_z = max(ctx.return_z, before + ctx.shop.clearances.approach)
        moves: list[DraftMove] = []
        if abs(state.position.z - start_z) > 1e-9:
            moves.append(position(Point(start_z, state.position.r)))
        if abs(state.position.r - ctx.clear_r) > 1e-9:
            moves.append(position(Point(start_z, ctx.clear_r)))
        moves += [
            position(Point(z, ctx.clear_r)),
            cut(Point(z, end_r), z_mode="nearest" if z == allowance else "keep metal"),
            position(Point(start_z, end_r)),
            position(Point(start_z, ctx.clear_r)),
        ]
        passes.append(
            DraftPass(
                tool=shape.tool.number,
                start=state.position,
                moves=tuple(moves),
                surface="front face",
                direction="face",
                depth=before - z,
                speed_diameter=2 * ctx.held.radius,
                power_until=ctx.shop.clearances.power_until / 2,
                last_on_surface=z == 0.0,
            )
        )
        swept = mover.removed(path_points(Point(z, ctx.clear_r), [cut(Point(z, end_r))]))
        state = State(
            state.remaining.difference(swept), Point(start_z, ctx.clear_r), shape.tool.number
        )
        before = z
    return passes, state
