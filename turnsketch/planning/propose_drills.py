"""The proposal for the hole in the end that is in front: spot, pilot, drills.

Order and choices after common practice: a drill as large as the narrowest place lets, a pilot
before a thick one, a thicker one for a wider step where it saves the bar several cuts.
"""

from __future__ import annotations

import math

from shapely import Point as Spot

from turnsketch.job import Operation
from turnsketch.part.centre_holes import CentreHole, centre_hole
from turnsketch.part.outline_records import ResolvedBore
from turnsketch.planning.context import Context, State
from turnsketch.planning.inside import hole_radius
from turnsketch.planning.propose_inside_tools import (
    MOUTH_MM,
    SIZE_MM,
    Inside,
    bore_bars,
    goes_in,
    narrowest,
    reamer_for,
    stiffness,
    try_each,
    waits,
)
from turnsketch.planning.propose_threads import tap_drill_tools
from turnsketch.shop.records import Tool

__all__ = ["propose_drilling"]

_REAM_LEAVES_MM = (0.1, 0.4)
"""What a drill may leave on the diameter for a reamer (0.2 to 0.3 at 20 mm; common practice)."""

_BORE_LEAVES_MM = 0.6
"""What a drill leaves on the diameter for a boring bar at least: it may run off (common
practice)."""

_RUNS_OFF_MM = 0.3
"""The least that a drill leaves where a bar gets in only so (common practice)."""

_PILOT_FROM_MM = 13.0
"""Thicker drills follow a pilot hole as wide as their web (common practice)."""

_PILOT_SHARE = (0.2, 0.5)

_SAVED_CUTS = 5
"""A wider step is drilled, too, where that saves the bar so many cuts (common practice)."""

_DEEP = 8.0
"""A pilot that goes deeper than so many of its diameters wanders (common practice)."""

_UNDER_MM = 0.02

_SPOT = "a true start for the drill"
_PILOT = "clears the way for the web of the next drill"
_DRILL = "takes out the middle as wide as the narrowest place lets"
_FOR_BAR = "leaves just enough to bore, and lets the bar in"
_SHORT = "no drill reaches the bottom: this one goes as deep as it can"
_WIDER = "opens the wider step before the bar"
_FOR_REAMER = "leaves the reamer what it should take"
_TO_SIZE = "the drill makes this hole to size: the print allows it"
_FOR_TAP = "the drill for the tap: it makes the thread's bore to size"


def propose_drilling(ctx: Context, state: State) -> Inside:
    """Return spot and drills, as far as the bore is not open already."""
    bore = ctx.part.bore
    if bore is None or ctx.held.centre_in or waits(ctx) or _is_cored(ctx, bore):
        return Inside((), state)
    found: list[Operation] = []
    spot = _spot(ctx, state)
    if spot is not None:
        found, state = try_each(ctx, [spot], state, found)
    drill, reason = _main_drill(ctx, bore, state)
    if drill is None:
        return Inside(tuple(found), state)
    pilot = _pilot(ctx, drill, state) if drill.diameter_mm > _PILOT_FROM_MM else None
    wider = [(tool, _FOR_TAP) for tool in tap_drill_tools(ctx, bore).values()]
    for tool, why in ((pilot, _PILOT), (drill, reason), *wider):
        if tool is not None and (tool != drill or why == reason):
            found, state = try_each(
                ctx, [Operation("drill", tool.number, reason=why)], state, found
            )
    steps = [Operation("drill", t.number, reason=_WIDER) for t in _step_drills(ctx, bore, state)]
    found, state = try_each(ctx, steps, state, found)
    return Inside(tuple(found), state)


def _is_cored(ctx: Context, bore: ResolvedBore) -> bool:
    """Return whether a cast or pre-machined blank comes with a hole that a bar goes into.

    A drill follows a cored or cast hole, wherever that runs; a bar makes it true (common practice).
    """
    if ctx.index > 0 or ctx.job.blank.shape != "steps":
        return False
    hole = 2 * hole_radius(ctx.held.region, bore.depth)
    return any(bar.least_bore_mm <= hole + SIZE_MM for bar in bore_bars(ctx))


def _spot(ctx: Context, state: State) -> Operation | None:
    """Return the centre hole that starts the drill: a small one, inside the mouth."""
    bore = ctx.part.bore
    inside = Spot(float(state.remaining.bounds[2]) - _UNDER_MM, _UNDER_MM)
    solid = state.remaining.covers(inside)
    drills = sorted(ctx.tools("centre drill"), key=lambda t: t.centre_size_mm)
    if bore is not None:
        drills = [t for t in drills if _spot_fits(centre_hole(t.centre_size_mm), bore)]
    if bore is None or not solid or not drills:
        return None
    middle = drills[min(1, len(drills) - 1)]
    return Operation("centre hole", middle.number, reason=_SPOT)


def _spot_fits(hole: CentreHole, bore: ResolvedBore) -> bool:
    """Return whether nothing of a centre hole stays in the part once the bore is made."""
    first = bore.sections[0]
    narrow = min(first.front.r, first.back.r)
    return hole.depth <= bore.depth and hole.countersink / 2 <= narrow


def _main_drill(ctx: Context, bore: ResolvedBore, state: State) -> tuple[Tool | None, str]:
    """Return the drill for the bore: to size where the print allows, else the largest."""
    narrow = narrowest(bore)
    least = 2 * min(narrow.front.r, narrow.back.r)
    drills = [t for t in ctx.tools("drill") if _gets_there(ctx, t, bore, state)]
    size = narrow.diameter
    for_tap = tap_drill_tools(ctx, bore).get(narrow.number)
    if for_tap in drills:
        return for_tap, _FOR_TAP
    if size is not None and len(bore.sections) == 1:
        exact = [t for t in drills if size.lower <= t.diameter_mm <= size.upper]
        if exact and size.upper - size.lower > 0.1:
            return min(exact, key=lambda t: abs(t.diameter_mm - size.nominal)), _TO_SIZE
    reamer = reamer_for(ctx, bore)
    if reamer is not None:
        low, high = (reamer.diameter_mm - d for d in _REAM_LEAVES_MM[::-1])
        fitting = [t for t in drills if low <= t.diameter_mm <= high]
        if fitting:
            return max(fitting, key=lambda t: t.diameter_mm), _FOR_REAMER
    return _roughing_drill(ctx, drills, least)


def _roughing_drill(ctx: Context, deep: list[Tool], least: float) -> tuple[Tool | None, str]:
    """Return the largest drill for a place `least` wide, of those that go `deep` or else of all."""
    bar = min((t.least_bore_mm for t in bore_bars(ctx)), default=math.inf)
    for drills, why in ((deep, _DRILL), (ctx.tools("drill"), _SHORT)):
        narrower = [t for t in drills if t.diameter_mm <= least - _BORE_LEAVES_MM]
        usual = max(narrower, key=lambda t: t.diameter_mm, default=None)
        close = [t for t in drills if bar <= t.diameter_mm <= least - _RUNS_OFF_MM]
        if close and (usual is None or usual.diameter_mm < bar):
            return min(close, key=lambda t: t.diameter_mm), _FOR_BAR
        if usual is not None:
            return usual, why
    return None, _DRILL


def _step_drills(ctx: Context, bore: ResolvedBore, state: State) -> list[Tool]:
    """Return the drills worth while for the bore's wider steps, the thickest first.

    Their points go ahead into the narrower hole. Where a bar gets in anyway, they must save it
    several cuts.
    """
    hole = 2 * hole_radius(state.remaining, MOUTH_MM)
    bar = max((t for t in bore_bars(ctx) if goes_in(t, state)), key=stiffness, default=None)
    least = hole + (SIZE_MM if bar is None else 2 * _SAVED_CUTS * bar.greatest_depth_mm)
    mouth = 2 * min(bore.sections[0].front.r, bore.sections[0].back.r)
    fitting = [t for t in ctx.tools("drill") if least <= t.diameter_mm <= mouth - _BORE_LEAVES_MM]
    return sorted(fitting, key=lambda t: -t.diameter_mm)


def _gets_there(ctx: Context, drill: Tool, bore: ResolvedBore, state: State) -> bool:
    """Return whether the drill reaches the bottom, as far as its point lets it."""
    front = float(state.remaining.bounds[2])
    return drill.length_mm - 1.0 - max(front, 0.0) >= bore.depth


def _pilot(ctx: Context, drill: Tool, state: State) -> Tool | None:
    low, high = (share * drill.diameter_mm for share in _PILOT_SHARE)
    bore = ctx.part.bore
    assert bore is not None
    fitting = [
        t
        for t in ctx.tools("drill")
        if low <= t.diameter_mm <= high and _gets_there(ctx, t, bore, state)
    ]
    stiff = [t for t in fitting if bore.depth + t.diameter_mm <= _DEEP * t.diameter_mm]
    if stiff:
        return min(stiff, key=lambda t: t.diameter_mm)
    return max(fitting, key=lambda t: t.diameter_mm, default=None)
