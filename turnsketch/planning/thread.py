"""Threads cut with a single point: the infeed list, the run along the thread, the run-out.

A right-hand thread is cut toward the chuck, a left-hand one away from it, the spindle turning
forward in both. Thread moves follow the groove and are not swept: of metal they take next to
nothing. Moves tell where the tip stands across and where the carriage stands along the axis; the
top slide's own way along the axis (infeed by the flank) is kept free at the run-out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, ResolvedThread
from turnsketch.part.thread_infeed import InfeedPass
from turnsketch.part.thread_record import Thread, thread_speed_rpm, wire_check
from turnsketch.part.thread_sections import thread_of
from turnsketch.plan_records import ThreadSetting, ThreadWires
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position, threaded
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.route import Mover
from turnsketch.planning.stage import made_here
from turnsketch.planning.thread_feeds import feeds_of
from turnsketch.planning.thread_run import Run, run_of
from turnsketch.planning.thread_work import FLANK_FEED_DEG, Work
from turnsketch.shop.gearbox import ThreadGearing, thread_gearing
from turnsketch.shop.records import Lathe

__all__ = ["plan_thread", "threads_here"]


def threads_here(ctx: Context, operation: Operation | None = None) -> tuple[ResolvedThread, ...]:
    """Return the threads of the outside, or of the bore that `ctx` is told in, front first.

    Parameters
    ----------
    operation : Operation, optional
        Its sections, when it names some, are the only ones, also behind the setup's limit: their
        metal may be turned already, and the thread not.
    """
    wanted = None if operation is None else operation.sections
    inside = ctx.axis_r is not None
    found = [
        t
        for t in ctx.part.threads
        if t.inside == inside
        and t.section in ctx.sections
        and (made_here(ctx, (t.front_z + t.back_z) / 2) if wanted is None else t.section in wanted)
    ]
    return tuple(sorted(found, key=lambda t: -t.front_z))


def plan_thread(
    ctx: Context, operation: Operation, state: State, where: str, outline: Outline, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return the passes of every thread that the tool is made for, and the state after them.

    The metal stays as it is: thread moves are not swept. No pass where the tool is no threading
    tool for this side, or does not get there.
    """
    shape = ctx.shape(operation.tool, where)
    kind = "threading" if ctx.axis_r is None else "inside threading"
    passes: list[DraftPass] = []
    if shape.tool.kind != kind:
        return passes, state
    keep = keep_of(outline, ctx.held, overrun)
    solid = keep_region(keep.elements, ctx.held, CHORD_FINE)
    mover = Mover.of(ctx, shape, CHORD_FINE)
    for place in threads_here(ctx, operation):
        thread, info = thread_of(place), ctx.sections[place.section]
        # Behind the setup's limit the bar is thought to stand; its metal may be turned already.
        here = made_here(ctx, (place.front_z + place.back_z) / 2)
        stands = solid if here else solid.intersection(state.remaining)
        behind = overrun if ctx.axis_r is not None and _ends_the_part(ctx, place) else 0.0
        if behind:
            scrap = shapely.clip_by_rect(state.remaining, -1e4, 0.0, place.back_z, 1e4)
            stands = shapely.union_all([stands, scrap])
        work = Work(ctx, operation, where, shape, mover, place, thread, info, stands, behind)
        work = replace(work, solid=_without_surface(work))
        made = _passes(work, state)
        if made:
            passes += made
            metal = _fed_in(work, made, state.remaining)
            state = State(metal, made[-1].end, shape.tool.number)
    return passes, state


def _ends_the_part(ctx: Context, place: ResolvedThread) -> bool:
    return place.back_z < -ctx.part.total_length + 1e-3


def _fed_in(work: Work, made: Sequence[DraftPass], metal: BaseGeometry) -> BaseGeometry:
    """Return the metal without the ring in which a left-hand thread starts behind the part."""
    deepest = [m.move.to for one in made for m in one.moves if m.move.kind == "cut"][-1:]
    if not deepest:
        return metal
    return clean(
        metal.difference(work.mover.removed([Point(deepest[0].z, work.out_r), deepest[0]]))
    )


def _without_surface(work: Work) -> BaseGeometry:
    """Return what must stand without the section's metal down to the tip at full depth."""
    low, high = work.r_of(work.full_x), work.info.front.r + 1e-3
    band = shapely.box(work.info.back.z - work.behind, low, work.info.front.z + 1e-3, high)
    return work.solid.difference(band)


def _passes(work: Work, state: State) -> list[DraftPass]:
    feeds = feeds_of(work)
    run = run_of(work, state.remaining) if feeds else None
    if run is None:
        return []
    out = Point(run.start_z, work.out_r)
    deepest = Point(run.start_z, work.r_of(work.full_x))
    path = [out, deepest, Point(run.end_z, deepest.r), Point(run.end_z, out.r), out]
    way = work.mover.route(state.position, out, state.remaining)
    in_air = run.fed_in or work.mover.free([out, deepest], state.remaining)
    if way is None or not in_air or not work.mover.holder_free(path, state.remaining):
        return []
    made: list[DraftPass] = []
    here = state.position
    for feed in feeds:
        lead = [position(p) for p in way] if not made else []
        last = feed.number == len(feeds)
        moves = (*lead, *_moves(work, run, feed, state.remaining, last=last))
        wires = feed.spring and not feeds[feed.number - 2].spring
        made.append(_draft(work, run, feed, here, moves, wires=wires))
        here = made[-1].end
    return made


def _moves(
    work: Work, run: Run, feed: InfeedPass, metal: BaseGeometry, *, last: bool
) -> Iterator[DraftMove]:
    """Yield the moves of a pass: in, along, out of the groove, back."""
    out, deep = work.out_r, work.r_of(feed.diameter)
    end = Point(run.end_z, deep)
    begin = Point(run.start_z, deep)
    yield cut(begin) if run.fed_in else position(begin)
    yield threaded(end, work.thread.pitch)
    off = Point(run.end_z, out)
    in_air = work.mover.free([end, off], metal)
    yield position(off) if in_air else threaded(off, work.thread.pitch)
    home = Point(run.start_z, out)
    front = Point(max(home.z, work.ctx.return_z), out)
    goes_on = last and work.mover.free([home, front], metal)
    yield position(front if goes_on and work.mover.holder_free([home, front], metal) else home)


def _draft(
    work: Work,
    run: Run,
    feed: InfeedPass,
    start: Point,
    moves: Sequence[DraftMove],
    *,
    wires: bool,
) -> DraftPass:
    return DraftPass(
        tool=work.tool.number,
        start=start,
        moves=tuple(moves),
        surface=work.info.label,
        direction="thread",
        depth=feed.step,
        speed_diameter=work.blank,
        section=work.place.section,
        notes=tuple(_notes(feed)),
        thread=_setting(work, run, feed, wires=wires),
    )


def _notes(feed: InfeedPass) -> Iterator[str]:
    if feed.number == 1:
        yield "then lay the pitch gauge on the scratch"
    if feed.spring:
        yield "spring pass: nothing is fed in"


def _setting(work: Work, run: Run, feed: InfeedPass, *, wires: bool) -> ThreadSetting:
    thread = work.thread
    gearing: ThreadGearing = thread_gearing(work.ctx.lathe, thread.pitch)
    toward: Literal["chuck", "tailstock"] = "tailstock" if thread.left_hand else "chuck"
    return ThreadSetting(
        text=thread.text,
        pitch_mm=thread.pitch,
        left_hand=thread.left_hand,
        toward=toward,
        infeed="flank" if work.flank else "straight",
        depth_mm=feed.depth,
        blank_mm=work.blank,
        full_x_mm=work.full_x,
        slide_travel_mm=feed.top_slide,
        slide_angle_deg=FLANK_FEED_DEG if work.flank else None,
        slide_scale_deg=_scale(work.ctx.lathe) if work.flank else None,
        spring=feed.spring,
        gearbox=gearing.setting,
        half_nuts=gearing.half_nuts,
        dial_marks=gearing.marks,
        start_room_mm=run.start_room,
        free_run_mm=run.free,
        relief=run.relief,
        last_z=run.last_z,
        hand_rpm=max(0.0, thread_speed_rpm(_stopping_room(thread, run), thread.pitch)),
        wires=_wires(thread) if wires and not thread.inside else None,
    )


def _stopping_room(thread: Thread, run: Run) -> float:
    """Return the room in which a hand has to stop the run, from where it is to end.

    A left-hand thread ends in the air, but the way back has to stop in the relief.
    """
    return min(run.hand_room, run.start_room) if thread.left_hand else run.hand_room


def _scale(lathe: Lathe) -> float:
    """Return what the top slide's scale shows at the infeed angle."""
    across = lathe.top_slide is not None and lathe.top_slide.scale_zero == "across"
    return FLANK_FEED_DEG if across else 90.0 - FLANK_FEED_DEG


def _wires(thread: Thread) -> ThreadWires:
    check = wire_check(thread)
    return ThreadWires(check.wire, check.lower, check.upper, check.aim)
