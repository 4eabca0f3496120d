"""Chamfers and small corner rounds: by an edge or a form tool fed in X, not by two wheels."""

from __future__ import annotations

import math
from collections.abc import Iterable

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import CornerInfo, ResolvedPart
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass, cut, position
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.route import Mover
from turnsketch.planning.stage import made_here
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["corner_stands", "corners_for", "plan_chamfer"]


def corners_for(tool: Tool, part: ResolvedPart) -> tuple[CornerInfo, ...]:
    """Return the corners that `tool` makes by its own shape: outside ones, open to the front.

    A corner that falls toward the chuck would need the tool between the part and the bar.
    """
    rising = {
        element.corner
        for element in part.aim.elements
        if element.corner is not None and element.shape.end.r > element.shape.start.r
    }
    return tuple(c for c in part.corners if c.convex and c.index in rising and _matches(tool, c))


def _matches(tool: Tool, corner: CornerInfo) -> bool:
    if tool.kind == "chamfer":
        slope = math.radians(tool.chamfer_angle_deg)
        usable = tool.usable_edge_mm or tool.edge_length_mm * 2 / 3
        short = corner.size / math.cos(slope) <= usable
        return corner.kind == "chamfer" and abs(corner.angle - slope) < 1e-6 and short
    if tool.kind == "form":
        return corner.kind == "round" and abs(corner.size - tool.form_radius_mm) < 1e-6
    return False


def corner_stands(ctx: Context, corner: CornerInfo) -> bool:
    """Return whether a corner is still to be made, and in this setup."""
    if ctx.held.stock is None:
        return made_here(ctx, corner.at.z)
    near = ctx.held.stock.region.buffer(1e-3)
    return made_here(ctx, corner.at.z) and bool(near.covers(shapely.Point(corner.at)))


def plan_chamfer(
    ctx: Context, operation: Operation, state: State, where: str, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return one plunge per corner, front first."""
    shape = ctx.shape(operation.tool, where)
    keep = keep_of(ctx.part.aim, ctx.held, overrun)
    solid = keep_region(keep.elements, ctx.held, CHORD_FINE)
    mover = Mover.of(ctx, shape, CHORD_FINE)
    passes: list[DraftPass] = []
    corners = corners_for(shape.tool, ctx.part)
    if operation.sections is not None:
        corners = tuple(c for c in corners if set(c.between) & set(operation.sections))
    corners = tuple(c for c in corners if made_here(ctx, c.at.z))
    for corner in sorted(corners, key=lambda c: -c.at.z):
        made = _corner_pass(ctx, shape, mover, corner, solid, state)
        if made is not None:
            passes.append(made[0])
            state = made[1]
    return passes, state


def _corner_pass(
    ctx: Context,
    shape: ToolShape,
    mover: Mover,
    corner: CornerInfo,
    solid: BaseGeometry,
    state: State,
) -> tuple[DraftPass, State] | None:
    """Return the plunge that makes one corner; None when the tool cannot get there."""
    for goal in _goals(shape.tool, corner, _low_end(ctx, corner)):
        top = Point(goal.z, ctx.clear_r)
        way = mover.route(state.position, top, state.remaining)
        clear = mover.clear_of_obstacles([top, goal]) and mover.free([top, goal], solid)
        if way is None or not clear:
            continue
        near = _touch(mover, goal, top, state.remaining)
        usable = shape.tool.usable_edge_mm or shape.tool.edge_length_mm
        if near is None or near.r - goal.r > usable:
            return None  # too much stands there for an edge that only breaks corners
        metal = clean(state.remaining.difference(mover.removed([near, goal])))
        if state.remaining.area - metal.area < 1e-4:
            return None
        back = [position(top)]
        if abs(ctx.return_z - goal.z) > 1e-9:
            back.append(position(Point(ctx.return_z, ctx.clear_r)))
        moves = [position(p) for p in way]
        moves += [position(near)] if near != top else []
        moves += [cut(goal, "aim"), *back]
        made = DraftPass(
            tool=shape.tool.number,
            start=state.position,
            moves=tuple(moves),
            surface=f"{corner.kind} {corner.text}",
            section=corner.between[1] if corner.between[1] is not None else corner.between[0],
            direction="plunge",
            depth=near.r - goal.r,
            speed_diameter=2 * corner.at.r,
            last_on_surface=True,
        )
        return made, State(metal, back[-1].move.to, shape.tool.number)
    return None


def _low_end(ctx: Context, corner: CornerInfo) -> Point:
    """Return the chamfer's end in front; on a taper it is not its size under the corner."""
    made = (e.shape.start for e in ctx.part.aim.elements if e.corner == corner.index)
    plain = Point(corner.at.z, corner.at.r - corner.size * math.tan(corner.angle))
    return next(made, plain)


def _goals(tool: Tool, corner: CornerInfo, low: Point) -> Iterable[Point]:
    """Return where the reference ends: the edge on the corner's surface, more or less overlapped.

    A chamfer's tip may stand anywhere along the chamfer's own line beyond its lower end; the way
    beyond is shortened until the tip clears the smaller section in front.
    """
    if tool.kind == "form":
        yield Point(corner.at.z - corner.size, corner.at.r)
        return
    rise = math.tan(corner.angle)
    for beyond in (1.0, 0.6, 0.3, 0.15, 0.05, 0.0):
        yield Point(low.z + beyond, low.r - beyond * rise)


def _touch(mover: Mover, goal: Point, top: Point, metal: BaseGeometry) -> Point | None:
    """Return the lowest place above `goal`, on a whole 0.5 mm, to which the tool comes in air."""
    height = goal.r + 0.25
    while height < top.r:
        near = Point(goal.z, math.ceil(height * 2) / 2)
        if mover.free([top, near], metal):
            return near
        height += 0.5
    return top if mover.free([top, top], metal) else None
