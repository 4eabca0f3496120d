"""How a setup begins in the proposal: the faced end, and the centre hole where one is wanted."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely.geometry.base import BaseGeometry

from turnsketch.job import Operation
from turnsketch.part.centre_holes import CentreHole, centre_hole
from turnsketch.planning.centre import plan_centre_hole, starts_on_centre, usual_drill, with_centre
from turnsketch.planning.context import Context, State
from turnsketch.planning.face import plan_face
from turnsketch.planning.fold import change_point
from turnsketch.planning.tailstock import Seat
from turnsketch.shop.records import Tool
from turnsketch.units import from_mm

__all__ = ["Opening", "opening", "wants_hole"]

_LEAST_MM = 1e-3
_ZERO = "gives the zero and a true end to measure from"
_EXTRA = "a true end for the centre hole; what stays is cut off with the hole"
_FOR_CENTRE = "seat for the tailstock centre that holds the slender end"
_PRINT = "the print asks for it"


@dataclass(frozen=True)
class Opening:
    """The first operations, and how setup and metal stand after them."""

    operations: tuple[Operation, ...]
    ctx: Context
    metal: BaseGeometry


def wants_hole(ctx: Context) -> bool:
    """Return whether this setup has to drill the front end's centre hole."""
    if ctx.held.seat is not None or ctx.held.between_centres:
        return False
    return ctx.supported or (ctx.part_record.centre_hole == "required" and ctx.index == 0)


def opening(ctx: Context, facer: Tool | None, metal: BaseGeometry | None = None) -> Opening:
    """Return the proposal's first operations, on `metal` (by default the blank).

    Where the print allows no hole, the face is left so far in front that the hole goes with what
    is cut off later; a blank too short for that is faced as usual (and a finding says so).
    """
    drill = usual_drill(ctx) if wants_hole(ctx) else None
    hole = centre_hole(drill.centre_size_mm) if drill is not None else None
    if hole is None and starts_on_centre(ctx, ()):
        ctx = with_centre(ctx)
    operations: list[Operation] = []
    state = State(ctx.held.region if metal is None else metal, change_point(ctx), None)
    extra = _extra(ctx, hole)
    if facer is not None and ctx.held.raw_front > extra + _LEAST_MM:
        face = _face(ctx, facer, extra)
        operations.append(face)
        state = plan_face(ctx, face, state, "proposed face")[1]
    if drill is not None and hole is not None:
        why = _FOR_CENTRE if ctx.supported else _PRINT
        drilled = Operation("centre hole", drill.number, reason=why)
        start = State(state.remaining, change_point(ctx), drill.number)
        passes, state = plan_centre_hole(ctx, drilled, start, "proposed centre hole")
        if passes:
            operations.append(drilled)
            seat = Seat(hole, float(start.remaining.bounds[2]))
            ctx = replace(ctx, held=replace(ctx.held, seat=seat))
        ctx = with_centre(ctx) if ctx.supported else ctx
    return Opening(tuple(operations), ctx, state.remaining)


def _extra(ctx: Context, hole: CentreHole | None) -> float:
    """Return the length that stays in front for the hole."""
    if hole is None or ctx.part_record.centre_hole != "not allowed":
        return 0.0
    return hole.cutoff if ctx.held.raw_front >= hole.cutoff - _LEAST_MM else 0.0


def _face(ctx: Context, facer: Tool, extra: float) -> Operation:
    places = 4 if ctx.units == "inch" else 2
    return Operation(
        "face",
        facer.number,
        z_allowance=f"{from_mm(extra, ctx.units):.{places}f}" if extra else None,
        constant_surface_speed=ctx.lathe.constant_surface_speed,
        reason=_EXTRA if extra else _ZERO,
    )
