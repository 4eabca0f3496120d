"""Taps and dies: from the tailstock, the spindle turned by hand.

They follow their own thread, so their moves are thread moves and are not swept.
"""

from __future__ import annotations

import math
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, ResolvedBore, ResolvedThread, SectionInfo
from turnsketch.part.thread_record import Thread
from turnsketch.part.thread_sections import thread_of
from turnsketch.plan_records import QuillWork
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, DraftPass, position, threaded
from turnsketch.planning.inside import bore_threads
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.route import Mover
from turnsketch.planning.stage import made_here
from turnsketch.shop.thread_shapes import DIE_LEAD_PITCHES, TAP_LEAD_PITCHES, tool_thread
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["cuts_it", "plan_tap_or_die", "room_for_tap", "tapped_here"]

_BOTTOM_MM: Final = 0.5
"""A tap keeps so much from the bottom of a blind hole."""
_BEYOND_MM: Final = 1.0
_OPEN_SHARE: Final = 0.4
_SLIM_SHARE: Final = 0.75
"""A tap's front end against the hole."""
_CLEAR_MM: Final = 0.1
_HALVINGS: Final = 40
_SAME: Final = 1e-6


def cuts_it(tool_cuts: Thread, wanted: Thread) -> bool:
    """Return whether a tap or die of one thread cuts the other: diameter, pitch and hand."""
    return (
        abs(tool_cuts.diameter - wanted.diameter) < _SAME
        and abs(tool_cuts.pitch - wanted.pitch) < _SAME
        and tool_cuts.left_hand == wanted.left_hand
        and tool_cuts.inside == wanted.inside
    )


def tapped_here(
    ctx: Context, shape: ToolShape, operation: Operation | None = None
) -> tuple[ResolvedThread, ...]:
    """Return the threads that a tap cuts in the front end's bore, or a die outside; front first."""
    own = tool_thread(shape.tool)
    sections = _sections(ctx, inside=own.inside)
    wanted = None if operation is None else operation.sections
    found = [
        t
        for t in ctx.part.threads
        if t.section in sections
        and cuts_it(own, thread_of(t))
        and (wanted is None or t.section in wanted)
        and (own.inside or made_here(ctx, (t.front_z + t.back_z) / 2))
    ]
    return tuple(sorted(found, key=lambda t: -t.front_z))


def _sections(ctx: Context, *, inside: bool) -> dict[int, SectionInfo]:
    if not inside:
        return dict(ctx.sections)
    bore = ctx.part.bore
    return {} if bore is None else {info.number: info for info in bore.sections}


def plan_tap_or_die(
    ctx: Context, operation: Operation, state: State, where: str, outline: Outline, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return one pass for each thread that the tool cuts; the metal stays as it is.

    No pass where the tool is of another kind or another thread, the hole is not open or the work
    not turned yet, or the tool does not get onto it.
    """
    shape = ctx.shape(operation.tool, where)
    tool = shape.tool
    passes: list[DraftPass] = []
    if tool.kind != operation.kind or (tool.kind == "die" and ctx.held.centre_in):
        return passes, state
    mover = Mover.of(ctx, shape, CHORD_FINE)
    infos = _sections(ctx, inside=tool.kind == "tap")
    for place in tapped_here(ctx, shape, operation):
        info = infos[place.section]
        if tool.kind == "tap":
            goal = _tap_goal(ctx, place, info, state.remaining)
        else:
            goal = _die_goal(ctx, place, info, mover, state.remaining, outline, overrun)
        made = None if goal is None else _pass(ctx, operation, shape, mover, place, state, goal)
        if made is not None:
            passes.append(made)
            state = State(state.remaining, made.end, tool.number)
    return passes, state


def _pass(
    ctx: Context,
    operation: Operation,
    shape: ToolShape,
    mover: Mover,
    place: ResolvedThread,
    state: State,
    goal_z: float,
) -> DraftPass | None:
    tool, pitch = shape.tool, place.pitch
    front = float(state.remaining.bounds[2])
    near = Point(max(front, 0.0) + ctx.shop.clearances.approach, 0.0)
    home, goal = Point(state.position.z, 0.0), Point(goal_z, 0.0)
    if not mover.free([state.position, home, near], state.remaining):
        return None
    if not mover.clear_of_obstacles([near, goal]):
        return None
    lead: list[DraftMove] = [position(home)] if state.position != home else []
    depth = front - goal_z
    return DraftPass(
        tool=tool.number,
        start=state.position,
        moves=(
            *lead,
            position(near),
            threaded(goal, pitch),
            threaded(near, pitch),
            position(home),
        ),
        surface=f"{operation.kind} {thread_of(place).text}",
        direction="drill",
        depth=0.0,
        speed_diameter=place.major.nominal,
        section=place.section,
        quill=QuillWork(front, depth, goal_z),
        notes=_notes(tool.kind, place, depth),
        inside=tool.kind == "tap",
    )


def _notes(kind: str, place: ResolvedThread, depth: float) -> tuple[str, ...]:
    turns = math.ceil(depth / place.pitch - _SAME)
    hand = ", left hand" if place.left_hand else ""
    what = "tap" if kind == "tap" else "die"
    return (
        f"spindle out of gear, turn the chuck by hand: {turns} turns{hand}, half a turn back after "
        f"each; the tailstock slides along, the quill keeps the {what} straight",
    )


def _tap_goal(
    ctx: Context, place: ResolvedThread, info: SectionInfo, metal: BaseGeometry
) -> float | None:
    """Return where the tap's front end stops; None where the hole is not open yet."""
    bore = ctx.part.bore
    assert bore is not None
    minor = place.minor.lower
    open_to = shapely.clip_by_rect(metal, place.back_z, 0.0, 1e3, _OPEN_SHARE * minor)
    if not open_to.is_empty and open_to.area > _SAME:
        return None
    wanted = place.back_z - TAP_LEAD_PITCHES * place.pitch
    narrow = next(
        (
            s
            for s in bore.sections
            if s.front.z < info.front.z - _SAME and 2 * s.back.r < _SLIM_SHARE * minor
        ),
        None,
    )
    if narrow is not None:
        wanted = max(wanted, narrow.front.z + _BOTTOM_MM)
    elif bore.through:
        wanted = max(wanted, -bore.depth - TAP_LEAD_PITCHES * place.pitch - _BEYOND_MM)
    else:
        wanted = max(wanted, -bore.depth + _BOTTOM_MM)
    # What the drill leaves, its cone or the bar behind the part, stops the tap's front end.
    below = shapely.clip_by_rect(metal, wanted - _BOTTOM_MM, 0.0, 1e3, _SLIM_SHARE * minor / 2)
    if below.is_empty or below.area < _SAME:
        return wanted
    return max(wanted, float(below.bounds[2]) + _BOTTOM_MM)


def room_for_tap(ctx: Context, bore: ResolvedBore) -> float:
    """Return how far behind a through bore the hole must go on for the taps of the shop file.

    A tap's lead goes beyond the thread's end before its last turns are full, and its front end
    meets no metal there. 0 where no thread is near the end, or the shop has no tap for it.
    """
    taps = [tool_thread(t) for t in ctx.tools("tap")]
    ends = [
        TAP_LEAD_PITCHES * place.pitch + _BOTTOM_MM - (bore.depth + place.back_z)
        for place in bore_threads(ctx, bore)
        if any(cuts_it(own, thread_of(place)) for own in taps)
    ]
    return max(0.0, *ends) if bore.through and ends else 0.0


def _die_goal(
    ctx: Context,
    place: ResolvedThread,
    info: SectionInfo,
    mover: Mover,
    metal: BaseGeometry,
    outline: Outline,
    overrun: float,
) -> float | None:
    """Return where the die's front face stops: at the shoulder at the latest.

    None where something in front is too thick, or the thread's own cylinder stands too thick.
    """
    # What stands in the corner behind the thread stops the die, as the shoulder does.
    lead = DIE_LEAD_PITCHES * place.pitch
    keep = keep_of(outline, ctx.held, overrun)
    corner = shapely.clip_by_rect(metal, place.back_z - lead, 0.0, place.back_z + lead, 1e3)
    solid = shapely.union_all([keep_region(keep.elements, ctx.held, CHORD_FINE), corner])
    band = shapely.box(info.back.z, place.minor.lower / 2, info.front.z + 1e-3, info.front.r + 1e-3)
    solid = solid.difference(band)
    tall = shapely.clip_by_rect(metal, place.back_z + lead, info.front.r + _CLEAR_MM, 1e3, 1e3)
    if not tall.is_empty and tall.area > _SAME:
        return None
    start = float(metal.bounds[2]) + ctx.shop.clearances.approach
    wanted = place.back_z - lead

    def free(z: float) -> bool:
        return mover.free([Point(start, 0.0), Point(z - _CLEAR_MM, 0.0)], solid)

    if not free(place.front_z - place.pitch):
        return None
    if free(wanted):
        return wanted
    low, high = place.front_z, wanted
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if free(middle) else (low, middle)
    return low
