"""The proposal for the bore in the end that is in front: spot, drill, bore or ream, countersink.

Order and choices after common practice: a drill as large as the narrowest place lets, a pilot
before a thick one, a reamer where the shop has one of the size, else the stiffest bar that goes in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import msgspec
from shapely import Point as Spot
from shapely import clip_by_rect

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.job import Operation
from turnsketch.part.centre_holes import CentreHole, centre_hole
from turnsketch.part.drills import ream_allowance
from turnsketch.part.outline_records import ResolvedBore, SectionInfo
from turnsketch.planning.context import Context, State
from turnsketch.planning.drill import deepest
from turnsketch.planning.fold import change_point
from turnsketch.planning.inside import hole_radius
from turnsketch.planning.operations import Request, planned
from turnsketch.planning.part_solid import void_region
from turnsketch.planning.propose_grooves import bore_grooves
from turnsketch.planning.propose_threads import bore_thread_operations, tap_drill_tools
from turnsketch.planning.stage import made_here
from turnsketch.shop.records import Tool
from turnsketch.shop.suited import for_undercuts

__all__ = ["Inside", "propose_boring", "propose_drilling"]

REAM_LEAVES_MM = (0.1, 0.4)
"""What a drill may leave on the diameter for a reamer (0.2 to 0.3 at 20 mm; common practice)."""

BORE_LEAVES_MM = 0.6
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

_WORTH_MM2 = 0.02
_WORTH_BOTTOM_MM2 = 1.0
"""Area of metal at a flat bottom for which a slimmer bar is worth its change."""

_WORTH_CORNER_MM2 = 0.3
"""The same for a finishing cut."""

_ABOUT = 0.9
"""Share of the most metal that counts as about as much."""

_SIZE_MM = 1e-3
_REAMED_MM = 0.06
"""Wider tolerances are bored or drilled."""

_UNDER_MM = 0.02
_MOUTH_MM = 0.3
"""The hole must be open so deep that a bar goes in."""

_SPOT = "a true start for the drill"
_PILOT = "clears the way for the web of the next drill"
_DRILL = "takes out the middle as wide as the narrowest place lets"
_FOR_BAR = "leaves just enough to bore, and lets the bar in"
_SHORT = "no drill reaches the bottom: this one goes as deep as it can"
_WIDER = "opens the wider step before the bar"
_FOR_REAMER = "leaves the reamer what it should take"
_TO_SIZE = "the drill makes this hole to size: the print allows it"
_FOR_TAP = "the drill for the tap: it makes the thread's bore to size"
_REAM = "the shop has the reamer: it makes the size"
_BORE = "the stiffest bar that goes in takes the rest"
_ACROSS = "a wide and shallow recess: cuts across, from the hole outward, are the fewest"
_BOTTOM = "opens the cone of the drill's point from the axis outward: a thicker bar can't get there"
_CORNER = "makes the bottom, where the thicker bar does not get to"
_FINISH = "makes the bore to size"
_MOUTH = "breaks the edge of the mouth with one wheel"


@dataclass(frozen=True)
class Inside:
    """Operations for the bore, and the metal after them."""

    operations: tuple[Operation, ...]
    state: State


def propose_drilling(ctx: Context, state: State) -> Inside:
    """Return spot and drills, as far as the bore is not open already."""
    bore = ctx.part.bore
    if bore is None or ctx.held.centre_in or _waits(ctx) or _is_cored(ctx, bore):
        return Inside((), state)
    found: list[Operation] = []
    spot = _spot(ctx, state)
    if spot is not None:
        found, state = _tried(ctx, [spot], state, found)
    drill, reason = _main_drill(ctx, bore, state)
    if drill is None:
        return Inside(tuple(found), state)
    pilot = _pilot(ctx, drill, state) if drill.diameter_mm > _PILOT_FROM_MM else None
    wider = [(tool, _FOR_TAP) for tool in tap_drill_tools(ctx, bore).values()]
    for tool, why in ((pilot, _PILOT), (drill, reason), *wider):
        if tool is not None and (tool != drill or why == reason):
            found, state = _tried(ctx, [Operation("drill", tool.number, reason=why)], state, found)
    steps = [Operation("drill", t.number, reason=_WIDER) for t in _step_drills(ctx, bore, state)]
    found, state = _tried(ctx, steps, state, found)
    return Inside(tuple(found), state)


def propose_boring(ctx: Context, state: State) -> Inside:
    """Return what makes the bore to size once it is drilled, and its mouth's edge."""
    bore = ctx.part.bore
    if bore is None or _waits(ctx):
        return Inside((), state)
    found: list[Operation] = []
    reamer = _reamer(ctx, bore)
    if reamer is not None and _leaves_it_little(reamer, bore, state):
        found, state = _tried(ctx, [Operation("ream", reamer.number, reason=_REAM)], state, found)
    rest = tuple(s.number for s in bore.sections if not _made(s, state))
    mouth = _countersink(ctx, bore)
    bars = [t for t in _bars(ctx) if _goes_in(t, state)]
    bars.sort(key=_stiffness, reverse=True)
    if _short_and_wide(bore, state):
        across = [Operation("bore", b.number, direction="across", reason=_ACROSS) for b in bars]
        found, state = _tried(ctx, across, state, found)
    rough = [Operation("bore", bar.number, reason=_BORE) for bar in bars]
    found, state = _tried(ctx, rough, state, found)
    if _is_flat(bore):
        used = {o.tool for o in found}
        slimmer = [o for o in rough if o.tool not in used]
        slimmer = [msgspec.structs.replace(o, reason=_BOTTOM) for o in slimmer]
        found, state = _tried(ctx, slimmer, state, found, worth=_WORTH_BOTTOM_MM2)
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
    found, state = _tried(ctx, finish, state, found, mouth=mouth is None)
    if _is_flat(bore):
        done = {o.tool for o in found if o.kind == "finish bore"}
        slimmer = [msgspec.structs.replace(o, reason=_CORNER) for o in finish if o.tool not in done]
        worth = _WORTH_CORNER_MM2
        found, state = _tried(ctx, slimmer, state, found, mouth=mouth is None, worth=worth)
    if mouth is not None:
        last = Operation("countersink", mouth.number, reason=_MOUTH)
        found, state = _tried(ctx, [last], state, found)
    late, state = bore_grooves(ctx, State(state.remaining, change_point(ctx), None), found)
    found += late
    threads = bore_thread_operations(ctx, State(state.remaining, change_point(ctx), None))
    return Inside((*found, *threads), state)


def _short_and_wide(bore: ResolvedBore, state: State) -> bool:
    """Return whether a bore is a recess, which cuts across make with the fewest passes."""
    widest = max(max(info.front.r, info.back.r) for info in bore.sections)
    return widest - hole_radius(state.remaining, bore.depth) > bore.depth


def _is_cored(ctx: Context, bore: ResolvedBore) -> bool:
    """Return whether a cast or pre-machined blank comes with a hole that a bar goes into.

    A drill follows a cored or cast hole, wherever that runs; a bar makes it true (common practice).
    """
    if ctx.index > 0 or ctx.job.blank.shape != "steps":
        return False
    hole = 2 * hole_radius(ctx.held.region, bore.depth)
    return any(bar.least_bore_mm <= hole + _SIZE_MM for bar in _bars(ctx))


def _leaves_it_little(reamer: Tool, bore: ResolvedBore, state: State) -> bool:
    """Return whether the hole leaves a reamer no more than it can take."""
    hole = 2 * hole_radius(state.remaining, bore.depth)
    return reamer.diameter_mm - hole <= 1.5 * ream_allowance(reamer.diameter_mm)[1]


def _waits(ctx: Context) -> bool:
    """Return whether a through bore, here seen from behind, is left to a later setup.

    From behind nothing gets into what widens inward, and what the print ties to it may be made
    only later.
    """
    bore = ctx.part.bore
    behind = ctx.setup.turned and ctx.part_record.bore_back is None
    if bore is None or not behind or not ctx.turned_later:
        return False
    radii = [r for s in bore.sections for r in (s.front.r, s.back.r)]
    return radii != sorted(radii, reverse=True) or _tied_later(ctx, bore)


def _tied_later(ctx: Context, bore: ResolvedBore) -> bool:
    """Return whether the print ties the bore to an outside section that this setup leaves."""
    tied = {n for tie in ctx.part_record.ties if bore.numbers & set(tie.sections)
            for n in tie.sections}  # fmt: skip
    outside = [s for s in ctx.part.sections if s.number in tied]
    return not all(made_here(ctx, (s.front.z + s.back.z) / 2) for s in outside)


def _tried(
    ctx: Context,
    operations: Iterable[Operation],
    state: State,
    found: list[Operation],
    *,
    mouth: bool = True,
    worth: float = _WORTH_MM2,
) -> tuple[list[Operation], State]:
    """Take the operation that takes about most of the bore's metal, the first among equals."""
    start = State(state.remaining, change_point(ctx), None)
    tried: list[tuple[float, Operation, State]] = []
    for operation in operations:
        where = f"proposed {operation.kind}"
        request = Request(ctx, operation, start, where, ctx.part.aim, 0.0, mouth)
        made, after = planned(request)
        taken = start.remaining.area - after.remaining.area
        if made and taken > worth:
            tried.append((taken, operation, after))
    if not tried:
        return found, state
    most = max(taken for taken, *_ in tried)
    _, operation, after = next(one for one in tried if one[0] >= _ABOUT * most)
    return [*found, operation], after


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


def _made(section: SectionInfo, state: State) -> bool:
    """Return whether a cylinder is within its limits already: a drill or a reamer made it."""
    size = section.diameter
    if size is None or section.kind != "cylinder":
        return False
    middle = (section.front.z + section.back.z) / 2
    strip = clip_by_rect(state.remaining, middle - _UNDER_MM, 0.0, middle + _UNDER_MM, 1e4)
    there = 0.0 if strip.is_empty else 2 * float(strip.bounds[1])
    return size.lower - _SIZE_MM <= there <= size.upper + _SIZE_MM


def _is_flat(bore: ResolvedBore) -> bool:
    """Return whether a blind bore has a flat bottom, which a drill leaves as a cone."""
    return not bore.through and bore.aim.elements[-1].role == "face"


def _narrowest(bore: ResolvedBore) -> SectionInfo:
    return min(bore.sections, key=lambda s: min(s.front.r, s.back.r))


def _main_drill(ctx: Context, bore: ResolvedBore, state: State) -> tuple[Tool | None, str]:
    """Return the drill for the bore: to size where the print allows, else the largest."""
    narrow = _narrowest(bore)
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
    reamer = _reamer(ctx, bore)
    if reamer is not None:
        low, high = (reamer.diameter_mm - d for d in REAM_LEAVES_MM[::-1])
        fitting = [t for t in drills if low <= t.diameter_mm <= high]
        if fitting:
            return max(fitting, key=lambda t: t.diameter_mm), _FOR_REAMER
    return _roughing_drill(ctx, drills, least)


def _roughing_drill(ctx: Context, deep: list[Tool], least: float) -> tuple[Tool | None, str]:
    """Return the largest drill for a place `least` wide, of those that go `deep` or else of all."""
    bar = min((t.least_bore_mm for t in _bars(ctx)), default=math.inf)
    for drills, why in ((deep, _DRILL), (ctx.tools("drill"), _SHORT)):
        narrower = [t for t in drills if t.diameter_mm <= least - BORE_LEAVES_MM]
        usual = max(narrower, key=lambda t: t.diameter_mm, default=None)
        close = [t for t in drills if bar <= t.diameter_mm <= least - _RUNS_OFF_MM]
        if close and (usual is None or usual.diameter_mm < bar):
            return min(close, key=lambda t: t.diameter_mm), _FOR_BAR
        if usual is not None:
            return usual, why
    return None, _DRILL


def _bars(ctx: Context) -> list[Tool]:
    """Return the bars for bores, without those for undercuts: these are too weak."""
    return [t for t in ctx.tools("boring") if not for_undercuts(t)]


def _stiffness(bar: Tool) -> tuple[float, int]:
    return bar.bar_diameter_mm, -bar.number


def _goes_in(bar: Tool, state: State) -> bool:
    return bar.least_bore_mm <= 2 * hole_radius(state.remaining, _MOUTH_MM) + _SIZE_MM


def _step_drills(ctx: Context, bore: ResolvedBore, state: State) -> list[Tool]:
    """Return the drills worth while for the bore's wider steps, the thickest first.

    Their points go ahead into the narrower hole. Where a bar gets in anyway, they must save it
    several cuts.
    """
    hole = 2 * hole_radius(state.remaining, _MOUTH_MM)
    bar = max((t for t in _bars(ctx) if _goes_in(t, state)), key=_stiffness, default=None)
    least = hole + (_SIZE_MM if bar is None else 2 * _SAVED_CUTS * bar.greatest_depth_mm)
    mouth = 2 * min(bore.sections[0].front.r, bore.sections[0].back.r)
    fitting = [t for t in ctx.tools("drill") if least <= t.diameter_mm <= mouth - BORE_LEAVES_MM]
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


def _reamer(ctx: Context, bore: ResolvedBore) -> Tool | None:
    """Return the reamer inside the narrowest section's limits; a blind hole is bored instead."""
    narrow = _narrowest(bore)
    size = narrow.diameter
    if (
        not bore.through
        or size is None
        or narrow.kind != "cylinder"
        or size.upper - size.lower > 0.06
    ):
        return None
    fitting = [
        t
        for t in ctx.tools("reamer")
        if size.lower - _SIZE_MM <= t.diameter_mm <= size.upper + _SIZE_MM
        and deepest(ctx, ctx.shapes[t.number], void_region(bore, CHORD_FINE)) > -narrow.back.z - 1.0
    ]
    return min(fitting, key=lambda t: abs(t.diameter_mm - size.aim), default=None)


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
