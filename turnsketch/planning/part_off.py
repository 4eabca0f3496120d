"""Parting off: the blade behind the finished back face, in X to beyond the axis by its corner."""

from __future__ import annotations

import math

import shapely

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.rough_depth import depth_taken
from turnsketch.planning.route import Mover
from turnsketch.planning.stage import face_alone

__all__ = ["behind_bore", "blade_overrun", "plan_part_off"]

DEFAULT_OVERRUN_MM = 3.0
"""Room behind the back face where the shop has no blade (a usual blade's width)."""

INTO_HOLE_MM = 0.25
"""The blade goes so far into the part's hole at least."""

SIDE_ROOM_MM = 0.5
"""Room between the blade's left side and the bar's wall, so that it does not rub."""


def blade_overrun(ctx: Context, operations: tuple[Operation, ...]) -> float:
    """Return the room behind the back face: the width of the blade that parts off, now or later.

    Without a blade in the list it is the shop's narrowest. Where the setup ends before the part
    does, there is none: the bar begins at once.
    """
    if ctx.limit_z is not None:
        return 0.0
    for operation in operations:
        if operation.kind == "part off" and operation.enabled and operation.tool is not None:
            shape = ctx.shapes.get(operation.tool)
            if shape is not None and shape.tool.width_mm > 0:
                more = setting_mm(operation.z_allowance, 0.0, ctx.units, "part off.z_allowance")
                return shape.tool.width_mm + SIDE_ROOM_MM + more
    blades = [s.tool for s in ctx.shapes.values() if s.tool.kind == "parting"]
    # A blade for ring grooves parts nothing off: those that reach the axis count, if there are any.
    long = [t for t in blades if t.reach_mm >= ctx.part.greatest_diameter / 2] or blades
    return min(t.width_mm for t in long) + SIDE_ROOM_MM if long else DEFAULT_OVERRUN_MM


def behind_bore(ctx: Context) -> float:
    """Return how far a through bore goes on behind the part where the outside is left alone; mm.

    The part comes off there, and its blade is to meet the hole. 0 in every other setup: there
    `blade_overrun` is room enough.
    """
    room = -ctx.part.total_length - ctx.held.back
    widest = max((t.width_mm for t in ctx.tools("parting")), default=DEFAULT_OVERRUN_MM)
    whole = widest + 2 * SIDE_ROOM_MM
    return whole if face_alone(ctx.limit_z) and ctx.turned_later and room > whole else 0.0


def plan_part_off(
    ctx: Context, operation: Operation, state: State, where: str
) -> tuple[list[DraftPass], State]:
    """Return the parting pass. Its right side stands on the back face, whichever side reads."""
    shape = ctx.shape(operation.tool, where)
    tool = shape.tool
    if tool.kind != "parting":
        return [], state
    width = tool.width_mm
    more = setting_mm(operation.z_allowance, 0.0, ctx.units, f"{where}.z_allowance")
    back = -ctx.part.total_length - more
    reference = {"left": -width, "centre": -width / 2, "right": 0.0}[tool.reference]
    z = back + reference
    mover = Mover.of(ctx, shape, CHORD_FINE)
    end = _through(state, back - width, back) - tool.corner_radius_mm
    top, goal = Point(z, ctx.clear_r), Point(z, max(end, -tool.corner_radius_mm))
    way = mover.route(state.position, top, state.remaining)
    if way is None:
        way = (Point(state.position.z, ctx.clear_r), top)
        if not mover.clear_of_obstacles([state.position, *way]):
            return [], state  # a steady rest stands in the way
    if not mover.clear_of_obstacles([top, goal]):
        return [], state
    touch = _touch_radius(mover, top, goal, state)
    near = Point(z, min(top.r, ctx.out_radius(touch)))
    notes = [f"reference: the blade's {tool.reference} corner"]
    depth_r = _deepest(ctx, mover, near, goal, state)
    if depth_r is None:
        return [], state
    if depth_r > goal.r:
        goal = Point(z, depth_r)
        notes.append("the blade reaches no deeper: saw the part off")
    else:
        notes.append("it drops: never catch it by hand")
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
        depth=depth_taken(state.remaining, max(goal.r, 0.0), back - width, back),
        speed_diameter=2 * min(touch, ctx.held.radius),
        notes=tuple(notes),
    )
    metal = clean(state.remaining.difference(mover.removed([near, goal])))
    return [made], State(metal, top, tool.number)


def _through(state: State, low: float, high: float) -> float:
    """Return the radius at which the blade is through: a little into a hole, or the axis."""
    strip = shapely.clip_by_rect(state.remaining, low, 0.0, high, 1e4)
    hole = 0.0 if strip.is_empty else float(strip.bounds[1])
    return max(0.0, math.floor(hole / INTO_HOLE_MM - 1.0) * INTO_HOLE_MM)


def _touch_radius(mover: Mover, top: Point, goal: Point, state: State) -> float:
    """Return the radius to which the blade comes in air, half a millimetre at most above metal."""
    radius = top.r
    while radius - 0.5 > goal.r and mover.free([top, Point(top.z, radius - 0.5)], state.remaining):
        radius -= 0.5
    return radius


def _deepest(ctx: Context, mover: Mover, near: Point, goal: Point, state: State) -> float | None:
    """Return the lowest r to which the blade goes before its holder comes to the metal.

    None when it comes there before the blade has cut at all.
    """

    def free(r: float) -> bool:
        way = [near, Point(near.z, r)]
        return mover.holder_free(way, state.remaining.difference(mover.removed(way)))

    if free(goal.r):
        return goal.r
    good, bad = near.r, goal.r
    while good - bad > 0.01:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if free(middle) else (good, middle)
    stop = ctx.easy_radius(good, good + 0.5)
    return stop if stop < near.r - 0.5 else None
