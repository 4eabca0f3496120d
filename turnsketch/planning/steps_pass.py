"""Arcs and tapers without a guided move: steps, each fed in X while Z stands still."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import msgspec
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Element, Point, moved
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.plan_records import StepTable
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, cut, position
from turnsketch.planning.route import Mover
from turnsketch.planning.row_clear import LEG_ROOM_MM
from turnsketch.readings.moves import Rounder
from turnsketch.readings.steps import MANY_STEPS, SteppedSurface, StepTool, step_table
from turnsketch.readings.tangent_cuts import tangent_cuts
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["CUSP_MM", "Stepped", "cusp_limit", "step_moves"]

CUSP_MM = 0.05
"""Largest cusp that may stay where nothing is said (filed off to the gauge; common practice)."""


@dataclass(frozen=True, slots=True)
class Stepped:
    """A step table as it is cut. Part frame, millimetres."""

    moves: tuple[DraftMove, ...]
    places: tuple[Point, ...]
    """Where the steps stand, as the readout will show them."""
    table: StepTable
    metal: BaseGeometry
    """What is left."""
    deepest: float
    """Thickest chip of a step."""
    widest: float
    """Greatest radius of the metal that a step meets."""


def step_moves(
    ctx: Context,
    shape: ToolShape,
    mover: Mover,
    path: Sequence[Element],
    state: State,
    limit: float,
    *,
    free_front: bool,
) -> Stepped | None:
    """Return the moves of a step table along `path`, or None when the tool cannot go there.

    Each step: Z to its figure above the metal, X in to its figure (a cut), X out again.

    Parameters
    ----------
    path : sequence of Line or Arc
        Way of the reference point, front to back.
    limit : float
        Largest cusp that may stay, millimetres.
    free_front : bool
        Z may be rounded past the path's front end; no part stands there.
    """
    try:
        surface = _surface(ctx, shape, path, limit, free_front=free_front)
        table = _with_tangents(ctx, shape, path, limit, surface.table)
    except InputError:
        return None  # the tool's own path overhangs: it cannot be stepped, and says so by no pass
    steps = [Point(p.z - ctx.zero, p.r) for p in surface.read]
    out = _way_out(ctx, mover, steps, state.remaining)
    start = Point(steps[0].z, out)
    way = mover.route(state.position, start, state.remaining)
    if way is None:
        return None
    moves: list[DraftMove] = [position(p) for p in way]
    here, metal, deepest, widest = start, state.remaining, 0.0, max(p.r for p in steps)
    for step in steps:
        top = Point(step.z, out)
        if not mover.free([here, top], metal):
            return None
        if here != top:
            moves.append(position(top))
        swept = mover.removed([top, step])
        taken = metal.intersection(swept)
        deepest = max(deepest, _depth(taken))
        widest = widest if taken.is_empty else max(widest, taken.bounds[3])
        metal = metal.difference(swept)
        if not mover.holder_free([top, step], metal):
            return None
        moves += [cut(step, "keep metal", "nearest"), position(top)]
        here = top
    if not mover.free([here, Point(ctx.return_z, out)], metal):
        return None
    moves.append(position(Point(ctx.return_z, out)))
    return Stepped(tuple(moves), tuple(steps), table, metal, deepest, widest)


def cusp_limit(ctx: Context, operation: Operation, where: str) -> float:
    """Return the largest cusp that may stay, millimetres."""
    return setting_mm(operation.cusp, CUSP_MM, ctx.units, f"{where}.cusp")


def _way_out(ctx: Context, mover: Mover, steps: Sequence[Point], metal: BaseGeometry) -> float:
    """Return the radius at which the tool goes along Z: not along the top of what stands there."""
    out = ctx.out_radius(max(p.r for p in steps) + 1.0)
    ends = [p.z for p in steps] + [ctx.return_z]

    def is_clear(radius: float) -> bool:
        low = radius - LEG_ROOM_MM
        return mover.free([Point(min(ends), low), Point(max(ends), low)], metal)

    return next((r for r in (out, ctx.out_radius(out)) if is_clear(r)), out)


def _depth(taken: BaseGeometry) -> float:
    """Return how thick a step's chip is: as far as it is fed, or as wide where that is less."""
    chip = clean(taken)
    if chip.is_empty:
        return 0.0
    return 2 * float(shapely.maximum_inscribed_circle(chip, 0.02).length)


def _surface(
    ctx: Context, shape: ToolShape, path: Sequence[Element], limit: float, *, free_front: bool
) -> SteppedSurface:
    tool = StepTool(
        shape.nose_radius,
        "left" if shape.tool.hand == "left" else "right",
        math.radians(shape.tool.end_edge_angle_deg),
        flat=shape.tool.kind == "parting",
    )
    return step_table(
        _as_read(ctx, path),
        tool,
        limit,
        Rounder.of(ctx.lathe.readout, ctx.units),
        free_front=free_front,
    )


def _with_tangents(
    ctx: Context, shape: ToolShape, path: Sequence[Element], limit: float, table: StepTable
) -> StepTable:
    """Return a long table with the cuts by the top slide that would do as well.

    A blade is not drawn along: it breaks sideways.
    """
    slide = ctx.lathe.top_slide
    if len(table.rows) <= MANY_STEPS or slide is None or shape.tool.kind == "parting":
        return table
    cuts = tangent_cuts(_as_read(ctx, path), limit, Rounder.of(ctx.lathe.readout, ctx.units), slide)
    return msgspec.structs.replace(table, tangents=cuts)


def _as_read(ctx: Context, path: Sequence[Element]) -> list[Element]:
    """Return a path in the setup's frame, as the readout counts Z."""
    return [moved(element, Point(ctx.zero, 0.0)) for element in path]
