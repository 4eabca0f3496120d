"""The proposal with a steady rest that is set on a track: the track comes first."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry.base import BaseGeometry

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
    for operation in listed:
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
