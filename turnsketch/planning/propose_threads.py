"""The proposal's threads: single point, tap or die, and the drill for a tapped hole.

A single point comes first where the shop has one of the form and the lathe's gearbox cuts the
pitch; otherwise a die, or a tap where no threading bar goes into the bore.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely

from turnsketch.job import Operation, OperationKind
from turnsketch.part.drills import Drill, tap_drill
from turnsketch.part.outline_records import Outline, ResolvedBore, ResolvedThread
from turnsketch.part.thread_record import Thread
from turnsketch.part.thread_sections import thread_of
from turnsketch.planning.context import Context, State
from turnsketch.planning.inside import bore_threads, hole_radius
from turnsketch.planning.operations import Request, planned
from turnsketch.planning.stage import made_here
from turnsketch.planning.tap import cuts_it
from turnsketch.shop.gearbox import thread_gearing
from turnsketch.shop.records import Tool, ToolKind
from turnsketch.shop.thread_shapes import tool_thread

__all__ = ["bore_thread_operations", "tap_drill_tools", "tapped", "thread_operations"]

_Choice = tuple[OperationKind, Tool, ResolvedThread, str]
"""Operation, tool, thread and the reason."""

_PROFILE_DEG = 60.0
_SAME = 1e-6
_OVER_MM = 0.02
_MOUTH_MM = 0.6

_SINGLE = "single point: the gearbox cuts the pitch; behind chamfers and reliefs"
_DIE = "the die makes it: no single point of the shop does on this lathe"
_TAP = "the tap makes it: no threading bar of the shop goes in, or the gearbox has not the pitch"


def thread_operations(
    ctx: Context, outline: Outline, overrun: float, state: State
) -> list[Operation]:
    """Return the operations for the outside threads of a setup, front first.

    Parameters
    ----------
    outline, overrun
        What turning tools leave, and the room behind the back face.
    state : State
        After the finishing cuts.
    """
    found: list[_Choice] = []
    for place in ctx.part.threads:
        if place.inside or place.section not in ctx.sections or not _is_due(ctx, place):
            continue
        thread = thread_of(place)
        choices: list[_Choice] = [
            *(("thread", t, place, _SINGLE) for t in _single_points(ctx, thread, "threading")),
            *(("die", t, place, _DIE) for t in _makers(ctx, thread, "die")),
        ]
        found += _first_that_gets_there(ctx, choices, outline, overrun, state)
    return _grouped(found)


def bore_thread_operations(ctx: Context, state: State) -> list[Operation]:
    """Return the operations for the threads of the bore in front, after it is bored to size."""
    found: list[_Choice] = []
    bore = ctx.part.bore
    if bore is None:
        return []
    for place in bore_threads(ctx, bore):
        if not _stands(ctx, place):
            continue
        thread = thread_of(place)
        choices: list[_Choice] = [
            *(("thread", t, place, _SINGLE) for t in _bars(ctx, thread, state)),
            *(("tap", t, place, _TAP) for t in _makers(ctx, thread, "tap")),
        ]
        found += _first_that_gets_there(ctx, choices, ctx.part.aim, 0.0, state)
    return _grouped(found)


def _first_that_gets_there(
    ctx: Context, choices: Sequence[_Choice], outline: Outline, overrun: float, state: State
) -> list[_Choice]:
    """Return the first choice that makes a pass; empty: none does."""
    start = replace(state, tool=None)
    for choice in choices:
        kind, tool, place, _ = choice
        operation = Operation(kind, tool.number, sections=(place.section,))
        if planned(Request(ctx, operation, start, f"proposed {kind}", outline, overrun))[0]:
            return [choice]
    return []


def _grouped(found: Sequence[_Choice]) -> list[Operation]:
    """Return one operation for each tool, in the order of its first thread."""
    sections: dict[tuple[OperationKind, int, str], list[int]] = {}
    for kind, tool, place, reason in found:
        sections.setdefault((kind, tool.number, reason), []).append(place.section)
    return [
        Operation(kind, number, sections=tuple(made), reason=reason)
        for (kind, number, reason), made in sections.items()
    ]


def _is_due(ctx: Context, place: ResolvedThread) -> bool:
    """Return whether an outside thread is to be made in this setup.

    Before a shoulder that hides its start it waits until the part is turned around, if it will be.
    """
    front = _starts_free(ctx, place, place.front_z, 1.0)
    back = _starts_free(ctx, place, place.back_z, -1.0)
    if back and not front and ctx.turned_later:
        return False
    waited = front and not back and ctx.turned_before
    return waited or (made_here(ctx, (place.front_z + place.back_z) / 2) and _stands(ctx, place))


def _stands(ctx: Context, place: ResolvedThread) -> bool:
    """Return whether a thread is still to be made: its metal stands when the setup begins."""
    if ctx.index == 0:
        return True
    middle = (place.front_z + place.back_z) / 2
    r = (place.minor.lower / 2 - _OVER_MM) if place.inside else (place.major.upper / 2 + _OVER_MM)
    return bool(ctx.held.region.covers(shapely.Point(middle, r)))


def _starts_free(ctx: Context, place: ResolvedThread, end: float, way: float) -> bool:
    """Return whether nothing of the part stands over the thread's crests beyond one of its ends."""
    points = (p for e in ctx.part.aim.elements for p in (e.shape.start, e.shape.end))
    return all(p.r <= place.major.upper / 2 for p in points if way * (p.z - end) > _OVER_MM)


def _single_points(ctx: Context, thread: Thread, kind: ToolKind) -> list[Tool]:
    """Return the tools whose point suits a thread, the bluntest first: it lasts longest."""
    if not thread_gearing(ctx.lathe, thread.pitch).possible:
        return []
    fitting = [
        tool
        for tool in ctx.tools(kind)
        if abs(tool.profile_angle_deg - _PROFILE_DEG) < _SAME
        and tool.pitch_range_mm[0] - _SAME <= thread.pitch <= tool.pitch_range_mm[1] + _SAME
        and tool.nose_radius_mm <= thread.greatest_tip_radius + _SAME
    ]
    return sorted(fitting, key=lambda t: (-t.nose_radius_mm, -t.bar_diameter_mm, t.number))


def _bars(ctx: Context, thread: Thread, state: State) -> list[Tool]:
    hole = 2 * hole_radius(state.remaining, _MOUTH_MM)
    bars = _single_points(ctx, thread, "inside threading")
    return [bar for bar in bars if bar.least_bore_mm <= hole + _SAME]


def _makers(ctx: Context, thread: Thread, kind: ToolKind) -> list[Tool]:
    return [tool for tool in ctx.tools(kind) if cuts_it(tool_thread(tool), thread)]


def tapped(ctx: Context, place: ResolvedThread) -> bool:
    """Return whether a bore's thread is to be tapped: no threading bar goes into its bore."""
    thread = thread_of(place)
    bars = _single_points(ctx, thread, "inside threading")
    if any(bar.least_bore_mm <= thread.minor.lower + _SAME for bar in bars):
        return False
    return bool(_makers(ctx, thread, "tap"))


def tap_drill_tools(ctx: Context, bore: ResolvedBore) -> dict[int, Tool]:
    """Return the shop's drill for each threaded section that is tapped, by its number."""
    drills = ctx.tools("drill")
    stock = [Drill(t.diameter_mm, t.name, "mm") for t in drills]
    found: dict[int, Tool] = {}
    for place in bore_threads(ctx, bore):
        drill = tap_drill(thread_of(place), stock) if tapped(ctx, place) else None
        tool = next((t for t in drills if drill and t.name == drill.name), None)
        if tool is not None:
            found[place.section] = tool
    return found
