"""Arcs and tapers without a guided move: steps, each fed in X while Z stands still."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Element, Point, moved, reversed_chain
from turnsketch.job import Operation
from turnsketch.plan_records import StepTable
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, cut, position
from turnsketch.planning.route import Mover
from turnsketch.readings.moves import Rounder
from turnsketch.readings.steps import SteppedSurface, StepTool, step_table
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["CUSP_MM", "Stepped", "cusp_limit", "step_moves"]

CUSP_MM = 0.05
"""Largest cusp that may stay where nothing is said (filed off to the gauge; common practice)."""

Stepped = tuple[tuple[DraftMove, ...], tuple[Point, ...], StepTable, BaseGeometry, float]
"""Moves, where the steps stand (part frame), the table in readings, the metal that is left, and the
deepest cut of a step."""


def step_moves(
    ctx: Context,
    operation: Operation,
    shape: ToolShape,
    mover: Mover,
    path: Sequence[Element],
    state: State,
    where: str,
    *,
    free_front: bool,
) -> Stepped | None:
    """Return the moves of a step table along `path`, or None when the tool cannot go there.

    Each step: Z to its figure above the metal, X in to its figure (a cut), X out again.
    `free_front`: Z may be rounded past the path's front end; no part stands there.
    """
    try:
        surface = _surface(ctx, operation, shape, path, where, free_front=free_front)
    except InputError:
        return None  # the tool's own path overhangs: it cannot be stepped, and says so by no pass
    steps = [Point(p.z - ctx.zero, p.r) for p in surface.read]
    highest = max(p.r for p in steps)
    out = ctx.out_radius(highest + 1.0)
    start = Point(steps[0].z, out)
    way = mover.route(state.position, start, state.remaining)
    if way is None:
        return None
    moves: list[DraftMove] = [position(p) for p in way]
    here, metal, deepest = start, state.remaining, 0.0
    for step in steps:
        top = Point(step.z, out)
        if not mover.free([here, top], metal):
            return None
        if here != top:
            moves.append(position(top))
        deepest = max(deepest, _above(shape, step, metal))
        metal = metal.difference(mover.removed([top, step]))
        if not mover.holder_free([top, step], metal):
            return None
        moves += [cut(step, "keep metal", "nearest"), position(top)]
        here = top
    if not mover.free([here, Point(ctx.return_z, out)], metal):
        return None
    moves.append(position(Point(ctx.return_z, out)))
    return tuple(moves), tuple(steps), surface.table, metal, deepest


def cusp_limit(ctx: Context, operation: Operation, where: str) -> float:
    """Return the largest cusp that may stay, millimetres."""
    return setting_mm(operation.cusp, CUSP_MM, ctx.units, f"{where}.cusp")


def _above(shape: ToolShape, step: Point, metal: BaseGeometry) -> float:
    """Return how much metal stands over the tool's lowest point before a step."""
    tool = shape.tool
    offset = {"left": 1.0, "centre": 0.0, "right": -1.0}[tool.reference] * shape.nose_radius
    middle = step.z + offset
    strip = shapely.clip_by_rect(metal, middle - 0.1, step.r, middle + 0.1, step.r + 1e3)
    return 0.0 if strip.is_empty else float(strip.bounds[3] - step.r)


def _surface(
    ctx: Context,
    operation: Operation,
    shape: ToolShape,
    path: Sequence[Element],
    where: str,
    *,
    free_front: bool,
) -> SteppedSurface:
    limit = cusp_limit(ctx, operation, where)
    tool = StepTool(
        shape.nose_radius,
        "left" if shape.tool.hand == "left" else "right",
        math.radians(shape.tool.end_edge_angle_deg),
    )
    forward = reversed_chain(path) if shape.tool.hand == "left" else path
    shifted = [moved(element, Point(ctx.zero, 0.0)) for element in forward]
    return step_table(
        shifted, tool, limit, Rounder.of(ctx.lathe.readout, ctx.units), free_front=free_front
    )
