"""The proposal for the bore in the end that is in front: bore or ream, countersink.

Order and choices after common practice: a reamer where the shop has one of the size, else the
stiffest bar that goes in. The drills before them: `turnsketch.planning.propose_drills`.
"""

from __future__ import annotations

import math

import msgspec
from shapely import clip_by_rect

from turnsketch.job import Operation
from turnsketch.part.drills import ream_allowance
from turnsketch.part.outline_records import ResolvedBore, SectionInfo
from turnsketch.planning.context import Context, State
from turnsketch.planning.fold import change_point
from turnsketch.planning.inside import hole_radius
from turnsketch.planning.propose_grooves import bore_grooves
from turnsketch.planning.propose_inside_tools import (
    SIZE_MM,
    Inside,
    bore_bars,
    goes_in,
    reamer_for,
    stiffness,
    try_each,
    waits,
)
from turnsketch.planning.propose_threads import bore_thread_operations
from turnsketch.shop.records import Tool

__all__ = ["propose_boring"]

_WORTH_BOTTOM_MM2 = 1.0
"""Area of metal at a flat bottom for which a slimmer bar is worth its change."""

_WORTH_CORNER_MM2 = 0.3
"""The same for a finishing cut."""

_UNDER_MM = 0.02

_REAM = "the shop has the reamer: it makes the size"
_BORE = "the stiffest bar that goes in takes the rest"
_ACROSS = "a wide and shallow recess: cuts across, from the hole outward, are the fewest"
_BOTTOM = "opens the cone of the drill's point from the axis outward: a thicker bar can't get there"
_CORNER = "makes the bottom, where the thicker bar does not get to"
_FINISH = "makes the bore to size"
_MOUTH = "breaks the edge of the mouth with one wheel"


def propose_boring(ctx: Context, state: State) -> Inside:
    """Return what makes the bore to size once it is drilled, and its mouth's edge."""
    bore = ctx.part.bore
    if bore is None or waits(ctx):
        return Inside((), state)
    found: list[Operation] = []
    reamer = reamer_for(ctx, bore)
    if reamer is not None and _leaves_it_little(reamer, bore, state):
        found, state = try_each(ctx, [Operation("ream", reamer.number, reason=_REAM)], state, found)
    rest = tuple(s.number for s in bore.sections if not _made(s, state))
    mouth = _countersink(ctx, bore)
    bars = [t for t in bore_bars(ctx) if goes_in(t, state)]
    bars.sort(key=stiffness, reverse=True)
    if _short_and_wide(bore, state):
        across = [Operation("bore", b.number, direction="across", reason=_ACROSS) for b in bars]
        found, state = try_each(ctx, across, state, found)
    rough = [Operation("bore", bar.number, reason=_BORE) for bar in bars]
    found, state = try_each(ctx, rough, state, found)
    if _is_flat(bore):
        used = {o.tool for o in found}
        slimmer = [o for o in rough if o.tool not in used]
        slimmer = [msgspec.structs.replace(o, reason=_BOTTOM) for o in slimmer]
        found, state = try_each(ctx, slimmer, state, found, worth=_WORTH_BOTTOM_MM2)
    grooves, state = bore_grooves(ctx, State(state.remaining, change_point(ctx), None))
    found += grooves
    if not rest and mouth is None and bore.mouth is not None:
        rest = (bore.sections[0].number,)  # only the corner at the mouth is left
    sections = rest if len(rest) < len(bore.sections) else None
    finish = [
        Operation("finish bore", bar.number, sections=sections, reason=_FINISH) for bar in bars
    ]
    if not rest:
        finish = []
    found, state = try_each(ctx, finish, state, found, mouth=mouth is None)
    if _is_flat(bore):
        done = {o.tool for o in found if o.kind == "finish bore"}
        slimmer = [msgspec.structs.replace(o, reason=_CORNER) for o in finish if o.tool not in done]
        worth = _WORTH_CORNER_MM2
        found, state = try_each(ctx, slimmer, state, found, mouth=mouth is None, worth=worth)
    if mouth is not None:
        last = Operation("countersink", mouth.number, reason=_MOUTH)
        found, state = try_each(ctx, [last], state, found)
    late, state = bore_grooves(ctx, State(state.remaining, change_point(ctx), None), found)
    found += late
    threads = bore_thread_operations(ctx, State(state.remaining, change_point(ctx), None))
    return Inside((*found, *threads), state)


def _short_and_wide(bore: ResolvedBore, state: State) -> bool:
    """Return whether a bore is a recess, which cuts across make with the fewest passes."""
    widest = max(max(info.front.r, info.back.r) for info in bore.sections)
    return widest - hole_radius(state.remaining, bore.depth) > bore.depth


def _leaves_it_little(reamer: Tool, bore: ResolvedBore, state: State) -> bool:
    """Return whether the hole leaves a reamer no more than it can take."""
    hole = 2 * hole_radius(state.remaining, bore.depth)
    return reamer.diameter_mm - hole <= 1.5 * ream_allowance(reamer.diameter_mm)[1]


def _made(section: SectionInfo, state: State) -> bool:
    """Return whether a cylinder is within its limits already: a drill or a reamer made it."""
    size = section.diameter
    if size is None or section.kind != "cylinder":
        return False
    middle = (section.front.z + section.back.z) / 2
    strip = clip_by_rect(state.remaining, middle - _UNDER_MM, 0.0, middle + _UNDER_MM, 1e4)
    there = 0.0 if strip.is_empty else 2 * float(strip.bounds[1])
    return size.lower - SIZE_MM <= there <= size.upper + SIZE_MM


def _is_flat(bore: ResolvedBore) -> bool:
    """Return whether a blind bore has a flat bottom, which a drill leaves as a cone."""
    return not bore.through and bore.aim.elements[-1].role == "face"


def _countersink(ctx: Context, bore: ResolvedBore) -> Tool | None:
    """Return the countersink that makes the chamfer at the mouth."""
    mouth = bore.mouth
    if mouth is None or mouth.kind != "chamfer":
        return None
    rim = 2 * bore.aim.elements[0].shape.end.r
    half = math.degrees(mouth.angle)
    fitting = [
        t
        for t in ctx.tools("countersink")
        if t.diameter_mm >= rim and abs(t.point_angle_deg / 2 - half) < 0.01
    ]
    return min(fitting, key=lambda t: t.diameter_mm, default=None)
