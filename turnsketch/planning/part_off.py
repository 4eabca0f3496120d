"""Parting off: the blade behind the finished back face, in X to beyond the axis by its corner."""

from __future__ import annotations

from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.route import Mover

__all__ = ["blade_overrun", "plan_part_off"]

DEFAULT_OVERRUN_MM = 3.0
"""Room behind the back face where no blade is chosen (a usual blade's width)."""

SIDE_ROOM_MM = 0.5
"""Room between the blade's left side and the bar's wall, so that it does not rub."""


def blade_overrun(ctx: Context, operations: tuple[Operation, ...]) -> float:
    """Return the room behind the back face: the width of the blade that parts off."""
    for operation in operations:
        if operation.kind == "part off" and operation.enabled and operation.tool is not None:
            shape = ctx.shapes.get(operation.tool)
            if shape is not None and shape.tool.width_mm > 0:
                return shape.tool.width_mm + SIDE_ROOM_MM
    return DEFAULT_OVERRUN_MM


def plan_part_off(
    ctx: Context, operation: Operation, state: State, where: str
) -> tuple[list[DraftPass], State]:
    """Return the parting pass. Its right side stands on the back face, whichever side reads."""
    shape = ctx.shape(operation.tool, where)
    tool = shape.tool
    width = tool.width_mm
    back = -ctx.part.total_length
    reference = {"left": -width, "centre": -width / 2, "right": 0.0}[tool.reference]
    z = back + reference
    mover = Mover.of(ctx, shape)
    top, goal = Point(z, ctx.clear_r), Point(z, -tool.corner_radius_mm)
    way = mover.route(state.position, top, state.remaining)
    if way is None:
        way = (Point(state.position.z, ctx.clear_r), top)
    if not mover.clear_of_obstacles([top, goal]):
        return [], state
    start_r = _touch_radius(mover, top, goal, ctx, state)
    near = Point(z, start_r)
    moves: list[DraftMove] = [position(p) for p in way]
    if near != top:
        moves.append(position(near))
    moves += [cut(goal), position(top)]
    made = DraftPass(
        tool=tool.number,
        start=state.position,
        moves=tuple(moves),
        surface="part off",
        direction="plunge",
        depth=near.r - max(goal.r, 0.0),
        speed_diameter=2 * min(start_r, ctx.held.radius),
        notes=(f"reference: the blade's {tool.reference} corner",),
    )
    metal = clean(state.remaining.difference(mover.removed([near, goal])))
    return [made], State(metal, top, tool.number)


def _touch_radius(mover: Mover, top: Point, goal: Point, ctx: Context, state: State) -> float:
    """Return the lowest easy radius above the metal to which the blade comes in air."""
    radius = top.r
    while radius - 0.5 > goal.r and mover.free([top, Point(top.z, radius - 0.5)], state.remaining):
        radius -= 0.5
    return radius
