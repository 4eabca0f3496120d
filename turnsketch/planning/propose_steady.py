"""The proposal with a steady rest that is set on a track: the track comes first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import msgspec
from shapely.geometry.base import BaseGeometry

from turnsketch.cutting.surface import Purpose, surface_speed
from turnsketch.job import Operation
from turnsketch.planning.context import Context, State
from turnsketch.planning.fold import change_point, outline_for_turning
from turnsketch.planning.opening import Opening, opening
from turnsketch.planning.operations import Request, planned
from turnsketch.planning.part_off import blade_overrun
from turnsketch.planning.stage import made_here
from turnsketch.planning.steady import set_on, track_stands
from turnsketch.shop.records import Tool

__all__ = ["begun_with"]

_LIGHT = {"mm": "1", "inch": "0.04"}
"""Greatest depth of a cut on work that overhangs without its steady rest (common practice)."""

_SLOW = 0.5
"""So much of the usual cutting speed it turns at meanwhile (common practice)."""

_DOWN = "light cuts down to the steady rest's track: what lies in front waits for its help"
_TRACK = "the steady rest runs on this surface: it is set when that stands"


def begun_with(ctx: Context, rougher: Tool | None, finisher: Tool | None) -> Opening:
    """Return the first operations: face, centre hole, and the track of a steady rest.

    Without a centre the track comes before all else: what overhangs is not to be faced or bored.
    """
    if ctx.held.track is None:
        return opening(ctx, rougher)
    if ctx.supported:
        first = opening(ctx, rougher)
        second = _steady_opening(first.ctx, first.metal, rougher, finisher)
    else:
        first = _steady_opening(ctx, ctx.held.region, rougher, finisher)
        second = opening(first.ctx, rougher, first.metal)
    return replace(second, operations=(*first.operations, *second.operations))


def _gently(
    ctx: Context, listed: Sequence[Operation], tools: Sequence[Tool]
) -> tuple[Operation, ...]:
    """Return the operations with light cuts at a low speed: nothing holds the far end yet."""
    purposes: tuple[Purpose, ...] = ("rough", "finish")
    return tuple(
        msgspec.structs.replace(
            operation,
            depth=_LIGHT[ctx.units] if purpose == "rough" else None,
            surface_speed=float(round(_SLOW * surface_speed(ctx.material, tool.material, purpose))),
        )
        for operation, tool, purpose in zip(listed, tools, purposes, strict=True)
    )


def _steady_opening(
    ctx: Context, metal: BaseGeometry, rougher: Tool | None, finisher: Tool | None
) -> Opening:
    """Return the operations that turn the steady rest's track, and the setup with it set.

    They make the track's section and those behind it, which no tool reaches later.
    """
    track = ctx.held.track
    if track is None or rougher is None or finisher is None:
        return Opening((), ctx, metal)
    top = ctx.sections[track.section].front.z
    behind = tuple(
        s.number
        for s in ctx.part.sections
        if s.kind != "face"
        and max(s.front.z, s.back.z) <= top + 1e-6
        and made_here(ctx, (s.front.z + s.back.z) / 2)
    )
    wanted = tuple(n for n in behind if ctx.setup.sections is None or n in ctx.setup.sections)
    listed = (
        Operation("rough", rougher.number, sections=wanted, reason=_DOWN),
        Operation("finish", finisher.number, sections=wanted, reason=_TRACK),
    )
    made: list[Operation] = []
    for operation in listed if ctx.supported else _gently(ctx, listed, (rougher, finisher)):
        start = State(metal, change_point(ctx), None)
        outline, overrun = outline_for_turning(ctx, ()), blade_overrun(ctx, ())
        request = Request(ctx, operation, start, "proposed track", outline, overrun)
        passes, after = planned(request)
        if passes:
            made.append(operation)
            metal = after.remaining
    if track_stands(track, metal):
        ctx = replace(ctx, held=set_on(ctx.held))
    return Opening(tuple(made), ctx, metal)
