"""The proposal: an operation list in the order of the trade, each with its reason.

Order after common practice: face; rough; grooves; finish; chamfers; threads; part off. A second
tool is added where the first cannot reach and another in the shop file can: every candidate is
tried on the metal that stands, and the one that leaves least is taken.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import msgspec

from turnsketch.geometry.elements import Arc, chain_chords
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, ResolvedKnurl
from turnsketch.planning.context import Context, State
from turnsketch.planning.fold import change_point, outline_for_turning
from turnsketch.planning.knurl import knurls_here, plan_knurl
from turnsketch.planning.necks import in_front_of_weak_neck, weak_cores
from turnsketch.planning.part_off import blade_overrun
from turnsketch.planning.propose_choice import (
    WORTH_FINISH_MM2,
    WORTH_MM2,
    Scene,
    best_of,
    finisher_of,
    finishers_of,
    more_finishes,
    rougher_of,
)
from turnsketch.planning.propose_drills import propose_drilling
from turnsketch.planning.propose_ends import corner_operations, parting_operations
from turnsketch.planning.propose_grooves import groove_operations, weak_groove_operations
from turnsketch.planning.propose_inside import propose_boring
from turnsketch.planning.propose_steady import begun_with
from turnsketch.planning.propose_threads import thread_operations
from turnsketch.planning.rough_work import greatest_slant
from turnsketch.planning.stepped import stepped_sections
from turnsketch.planning.thin_walls import bored_before_finish, thinnest_wall
from turnsketch.shop.suited import goes_straight_in

__all__ = ["propose"]

_MORE_VALLEYS = 2
"""So many tools at most come after the first into a valley."""

_ACROSS = "short and wide: facing cuts take most of the metal in the fewest passes"
_THE_OUTSIDE = "takes the outside, along the axis"
_MOST_METAL = (
    "takes most of the metal along the axis, large diameters toward the chuck first: the part is "
    "longer than its radius"
)
_INTO_VALLEY = "goes straight into the valley that the first tool cannot enter"
_SINKS = "sinks into the valley along its trailing edge: no tool that goes straight in reaches it"
_OTHER_SIDE = "takes what the first tool leaves before a wall of the valley, from inside it"
_BEFORE_NECK = "makes what the neck carries while the neck is still thick"
_TO_SIZE = "makes the surfaces to size, from the front shoulder by shoulder"
_STEPS = "a round nose makes the arc with the fewest steps"
_BLANK = "makes the blank of the knurl to size, before anything fine stands"
_KNURL = "the wheels press hard: as soon as the blank stands, before what is fine"


def propose(ctx: Context) -> tuple[Operation, ...]:
    """Return the operation list for a setup."""
    begun = begun_with(ctx, rougher_of(ctx), finisher_of(ctx))
    ctx, operations = begun.ctx, list(begun.operations)
    chamfers, off = corner_operations(ctx), parting_operations(ctx)
    tail = [*chamfers, *off]
    scene = Scene(ctx, outline_for_turning(ctx, tail), blade_overrun(ctx, tuple(tail)))
    drilled = propose_drilling(ctx, State(begun.metal, change_point(ctx), None))
    operations += drilled.operations
    state = State(drilled.state.remaining, change_point(ctx), None)
    for stage in (_main_roughing, _before_the_neck, _valley_roughing, _knurling):
        found, state = stage(scene, state)
        operations += found
    pressed = {o.sections[0] for o in operations if o.kind == "knurl" and o.sections}
    scene = replace(scene, pressed=frozenset(pressed))
    for stage in (_grooving, _finishing, _knurling_at_last):
        found, state = stage(scene, state)
        operations += found
    operations += propose_boring(ctx, state).operations
    if thinnest_wall(ctx.part) is not None and ctx.held.track is None:
        operations = bored_before_finish(operations)
    start = State(state.remaining, change_point(ctx), None)
    threads = thread_operations(ctx, scene.outline, scene.overrun, start)
    weak = weak_groove_operations(ctx, scene.outline, scene.overrun, start)
    return _limited((*operations, *chamfers, *threads, *weak, *off), ctx)


def _limited(operations: tuple[Operation, ...], ctx: Context) -> tuple[Operation, ...]:
    """Return the operations with their sections kept to those that the setup makes."""
    sections = ctx.setup.sections
    if sections is None:
        return operations
    found: list[Operation] = []
    for operation in operations:
        if operation.kind in ("finish", "chamfer", "thread", "tap", "die"):
            wanted = operation.sections or sections
            kept = tuple(n for n in wanted if n in sections)
            outside = operation.kind != "chamfer" or any(n in ctx.sections for n in kept)
            if not kept or not outside:
                continue
            operation = msgspec.structs.replace(operation, sections=kept)
        found.append(operation)
    return tuple(found)


def _main_roughing(scene: Scene, state: State) -> tuple[list[Operation], State]:
    rougher = rougher_of(scene.ctx)
    if rougher is None:
        return [], state
    found: list[Operation] = []
    if _short_and_wide(scene.ctx):
        faced = Operation("rough", rougher.number, direction="across", reason=_ACROSS)
        found, state = best_of(scene, [faced], state, WORTH_MM2)
    along = Operation("rough", rougher.number, reason=_THE_OUTSIDE if found else _MOST_METAL)
    more, state = best_of(scene, [along], state, WORTH_MM2)
    return [*found, *more], state


def _short_and_wide(ctx: Context) -> bool:
    """Return whether a part is a disc, which facing cuts rough with the fewest passes."""
    return ctx.part.greatest_diameter / 2 > ctx.part.total_length


def _before_the_neck(scene: Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finish of what stands in front of a weak neck, while the neck is still thick.

    What needs a step table waits for the round nose, which comes when the valley is open.
    """
    stepped = stepped_sections(scene.ctx, scene.outline)
    front = tuple(
        n for n in in_front_of_weak_neck(scene.ctx.part, scene.outline) if n not in stepped
    )
    finisher = finisher_of(scene.ctx)
    if not front or finisher is None:
        return [], state
    operation = Operation("finish", finisher.number, sections=front, reason=_BEFORE_NECK)
    return best_of(scene, [operation], state, 1e-3)


def _valley_roughing(scene: Scene, state: State) -> tuple[list[Operation], State]:
    """Return the roughing of valleys: the tool that may plunge and leaves least, then others.

    Where that one leaves a slope before a wall, a tool of the other hand takes it from inside the
    valley.
    """
    ctx = scene.ctx
    if not _has_valley(scene.outline):
        return [], state
    tools = ctx.tools("round", "turning")
    straight = [t for t in tools if goes_straight_in(t)]
    others = [
        Operation("rough", t.number, valleys_only=True, reason=_INTO_VALLEY) for t in straight
    ]
    found, state = best_of(scene, others, state, WORTH_MM2)
    if not found:
        slanting = [t for t in finishers_of(ctx) if greatest_slant(t) > 0]
        others = [Operation("rough", t.number, valleys_only=True, reason=_SINKS) for t in slanting]
        found, state = best_of(scene, others, state, WORTH_MM2)
    for _ in range(_MORE_VALLEYS if found else 0):
        used = {o.tool for o in found}
        beside = [t for t in finishers_of(ctx) if t.number not in used and t.hand != "neutral"]
        others = [Operation("rough", t.number, reason=_OTHER_SIDE) for t in beside]
        more, state = best_of(scene, others, state, WORTH_MM2)
        if not more:
            break
        found += more
    return found, state


def _knurling(scene: Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finish of each knurl's blank, and the knurl, where both can be made already."""
    ctx = scene.ctx
    found: list[Operation] = []
    for place in knurls_here(ctx):
        sections, finisher = (place.section,), finisher_of(ctx)
        tools = [] if finisher is None else [finisher]
        turned = [Operation("finish", t.number, sections=sections, reason=_BLANK) for t in tools]
        made, after = best_of(scene, turned, state, 1e-3)
        more, after = more_finishes(scene, after, sections, {o.tool for o in made})
        pressed = _pressed(ctx, place, after)
        if pressed:
            found += [*made, *more, *pressed]
            state = after
    return found, state


def _knurling_at_last(scene: Scene, state: State) -> tuple[list[Operation], State]:
    """Return the knurls whose blank stood only when all was finished."""
    late = [k for k in knurls_here(scene.ctx) if k.section not in scene.pressed]
    return [o for place in late for o in _pressed(scene.ctx, place, state)], state


def _pressed(ctx: Context, place: ResolvedKnurl, state: State) -> list[Operation]:
    """Return the operation that presses a knurl; none where no wheels are here or get there."""
    for tool in ctx.tools("knurl"):
        operation = Operation("knurl", tool.number, sections=(place.section,), reason=_KNURL)
        start = State(state.remaining, change_point(ctx), None)
        if plan_knurl(ctx, operation, start, "proposed knurl")[0]:
            return [operation]
    return []


def _grooving(scene: Scene, state: State) -> tuple[list[Operation], State]:
    """Return the grooves: before the finish, whose last cut takes their burr away.

    Those that leave a weak core wait until all in front of them is made.
    """
    start = State(state.remaining, change_point(scene.ctx), None)
    weak = {g.number for g in weak_cores(scene.ctx.part)}
    return groove_operations(scene.ctx, scene.outline, scene.overrun, start, weak)


def _finishing(scene: Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finishing operations: the main tool, then what reaches the rest best.

    Sections that need a step table are left to a round nose, which needs far fewer steps.
    """
    ctx = scene.ctx
    stepped = stepped_sections(ctx, scene.outline)
    rounds = ctx.tools("round")
    whole = tuple(s.number for s in ctx.part.sections if s.number not in scene.pressed)
    plain = tuple(n for n in whole if n not in stepped)
    rest = whole if scene.pressed else None
    sections = plain if stepped and rounds else rest
    finisher = finisher_of(ctx)
    first = (
        []
        if finisher is None or sections == ()
        else [Operation("finish", finisher.number, sections=sections, reason=_TO_SIZE)]
    )
    operations, state = best_of(scene, first, state, 1e-3)
    if not (_has_valley(scene.outline) or _has_arc(scene.outline) or stepped):
        return operations, state
    if stepped and rounds:
        chosen = tuple(sorted(stepped))
        others = [Operation("finish", t.number, sections=chosen, reason=_STEPS) for t in rounds]
        more, state = best_of(scene, others, state, WORTH_FINISH_MM2)
        operations += more
    used = {o.tool for o in operations if o.sections == rest}
    more, state = more_finishes(scene, state, rest, used)
    return operations + more, state


def _has_valley(outline: Outline) -> bool:
    """Return whether the outline falls anywhere on its way to the chuck (the back face aside)."""
    points = chain_chords([e.shape for e in outline.elements[:-1]], 0.05)
    return any(b.r < a.r - 1e-3 for a, b in pairwise(points))


def _has_arc(outline: Outline) -> bool:
    return any(isinstance(e.shape, Arc) for e in outline.elements)
