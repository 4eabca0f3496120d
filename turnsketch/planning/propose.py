"""The proposal: an operation list in the order of the trade, each with its reason.

Order after common practice: face; rough; grooves; finish; chamfers; threads; part off. A second
tool is added where the first cannot reach and another in the shop file can: every candidate is
tried on the metal that stands, and the one that leaves least is taken.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

import msgspec

from turnsketch.geometry.elements import Arc, chain_chords
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, ResolvedKnurl
from turnsketch.planning.chamfer import corner_stands, corners_for
from turnsketch.planning.context import Context, State
from turnsketch.planning.fold import change_point, outline_for_turning
from turnsketch.planning.keep import part_area
from turnsketch.planning.knurl import knurls_here, plan_knurl
from turnsketch.planning.necks import in_front_of_weak_neck
from turnsketch.planning.opening import opening
from turnsketch.planning.operations import Request, planned
from turnsketch.planning.part_off import blade_overrun
from turnsketch.planning.propose_grooves import groove_operations
from turnsketch.planning.propose_inside import propose_boring, propose_drilling
from turnsketch.planning.propose_threads import thread_operations
from turnsketch.planning.stepped import stepped_sections
from turnsketch.shop.records import Tool
from turnsketch.units import from_mm

__all__ = ["propose"]

_WORTH_MM2 = 1.0
"""Area of metal (half section) for which a second roughing tool is worth its change."""

_LEAST_BAR_MM = 0.5
"""With less behind the part there is nothing to part off."""

_TO_FACE_MM = 0.5
"""Left behind a part that is turned around after parting (common practice)."""

_SQUARE_DEG = 100.0
"""Tools whose edge leans farther over are for undercuts; they are too weak for anything else."""

_ABOUT = 0.93
"""Share of the best tool's metal that counts as about as much."""

_WORTH_FINISH_MM2 = 0.15
"""The same for a second finishing tool."""


_MORE_VALLEYS = 2
"""So many tools at most come after the first into a valley."""

_MORE_FINISHES = 3
"""So many tools at most come back for what the first finishing tools cannot reach."""

_ACROSS = "short and wide: facing cuts take most of the metal in the fewest passes"
_THE_OUTSIDE = "takes the outside, along the axis"
_MOST_METAL = "takes most of the metal, large diameters toward the chuck first"
_INTO_VALLEY = "goes straight into the valley that the first tool cannot enter"
_OTHER_SIDE = "takes what the first tool leaves before a wall of the valley, from inside it"
_BEFORE_NECK = "makes what the neck carries while the neck is still thick"
_TO_SIZE = "makes the surfaces to size, from the front shoulder by shoulder"
_STEPS = "a round nose makes the arc with the fewest steps"
_BLANK = "makes the blank of the knurl to size, before anything fine stands"
_KNURL = "the wheels press hard: as soon as the blank stands, before what is fine"
_THE_REST = "reaches surfaces that the tools before cannot"


@dataclass(frozen=True)
class _Scene:
    """What the proposed operations work on."""

    ctx: Context
    outline: Outline
    overrun: float
    pressed: frozenset[int] = frozenset()
    """Sections with their knurl on: they are not to be touched again."""


def propose(ctx: Context) -> tuple[Operation, ...]:
    """Return the operation list for a setup."""
    begun = opening(ctx, _rougher(ctx))
    ctx, operations = begun.ctx, list(begun.operations)
    chamfers, off = _chamfers(ctx), _part_off(ctx)
    tail = [*chamfers, *off]
    scene = _Scene(ctx, outline_for_turning(ctx, tail), blade_overrun(ctx, tuple(tail)))
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
    start = State(state.remaining, change_point(ctx), None)
    threads = thread_operations(ctx, scene.outline, scene.overrun, start)
    return _limited((*operations, *chamfers, *threads, *off), ctx.setup.sections)


def _limited(
    operations: tuple[Operation, ...], sections: tuple[int, ...] | None
) -> tuple[Operation, ...]:
    """Return the operations with their sections kept to those that the setup makes."""
    if sections is None:
        return operations
    found: list[Operation] = []
    for operation in operations:
        if operation.kind in ("finish", "chamfer", "thread", "tap", "die"):
            wanted = operation.sections or sections
            kept = tuple(n for n in wanted if n in sections)
            if not kept:
                continue
            operation = msgspec.structs.replace(operation, sections=kept)
        found.append(operation)
    return tuple(found)


def _square_tools(ctx: Context) -> list[Tool]:
    """Return the right-hand tools that turn square shoulders."""
    return [
        t
        for t in ctx.tools("turning")
        if t.hand == "right" and 90 <= t.edge_angle_deg <= _SQUARE_DEG and t.nose_radius_mm > 0
    ]


def _rougher(ctx: Context) -> Tool | None:
    """Return the stiffest square-shoulder tool: the widest corner, then the largest nose."""

    def order(tool: Tool) -> tuple[float, float, int]:
        return (tool.edge_angle_deg + tool.end_edge_angle_deg, -tool.nose_radius_mm, tool.number)

    return min(_square_tools(ctx), key=order, default=None)


def _finisher(ctx: Context) -> Tool | None:
    """Return the square-shoulder tool with the smallest nose; a slim one enters valleys besides."""

    def order(tool: Tool) -> tuple[float, float, int]:
        return (tool.nose_radius_mm, -tool.end_edge_angle_deg, tool.number)

    return min(_square_tools(ctx), key=order, default=None)


def _main_roughing(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    rougher = _rougher(scene.ctx)
    if rougher is None:
        return [], state
    found: list[Operation] = []
    if _short_and_wide(scene.ctx):
        faced = Operation("rough", rougher.number, direction="across", reason=_ACROSS)
        found, state = _best_of(scene, [faced], state, _WORTH_MM2)
    along = Operation("rough", rougher.number, reason=_THE_OUTSIDE if found else _MOST_METAL)
    more, state = _best_of(scene, [along], state, _WORTH_MM2)
    return [*found, *more], state


def _short_and_wide(ctx: Context) -> bool:
    """Return whether a part is a disc, which facing cuts rough with the fewest passes."""
    return ctx.part.greatest_diameter / 2 > ctx.part.total_length


def _before_the_neck(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finish of what stands in front of a weak neck, while the neck is still thick.

    What needs a step table waits for the round nose, which comes when the valley is open.
    """
    stepped = stepped_sections(scene.ctx)
    front = tuple(
        n for n in in_front_of_weak_neck(scene.ctx.part, scene.outline) if n not in stepped
    )
    finisher = _finisher(scene.ctx)
    if not front or finisher is None:
        return [], state
    operation = Operation("finish", finisher.number, sections=front, reason=_BEFORE_NECK)
    return _best_of(scene, [operation], state, 1e-3)


def _valley_roughing(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the roughing of valleys: the tool that may plunge and leaves least, then others.

    Where that one leaves a slope before a wall, a tool of the other hand takes it from inside the
    valley.
    """
    ctx = scene.ctx
    if not _has_valley(scene.outline):
        return [], state
    tools = [t for t in ctx.tools("round", "turning") if t.plunge_angle_deg >= 90]
    tools += [t for t in ctx.tools("turning") if t.hand == "left"]
    others = [Operation("rough", t.number, valleys_only=True, reason=_INTO_VALLEY) for t in tools]
    found, state = _best_of(scene, others, state, _WORTH_MM2)
    for _ in range(_MORE_VALLEYS if found else 0):
        used = {o.tool for o in found}
        beside = [t for t in _finishers(ctx) if t.number not in used and t.hand != "neutral"]
        others = [Operation("rough", t.number, reason=_OTHER_SIDE) for t in beside]
        more, state = _best_of(scene, others, state, _WORTH_MM2)
        if not more:
            break
        found += more
    return found, state


def _knurling(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finish of each knurl's blank, and the knurl, where both can be made already."""
    ctx = scene.ctx
    found: list[Operation] = []
    for place in knurls_here(ctx):
        sections, finisher = (place.section,), _finisher(ctx)
        tools = [] if finisher is None else [finisher]
        turned = [Operation("finish", t.number, sections=sections, reason=_BLANK) for t in tools]
        made, after = _best_of(scene, turned, state, 1e-3)
        more, after = _more_finishes(scene, after, sections, {o.tool for o in made})
        pressed = _pressed(ctx, place, after)
        if pressed:
            found += [*made, *more, *pressed]
            state = after
    return found, state


def _knurling_at_last(scene: _Scene, state: State) -> tuple[list[Operation], State]:
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


def _grooving(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the grooves: before the finish, whose last cut takes their burr away."""
    start = State(state.remaining, change_point(scene.ctx), None)
    return groove_operations(scene.ctx, scene.outline, scene.overrun, start)


def _finishing(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finishing operations: the main tool, then what reaches the rest best.

    Sections that need a step table are left to a round nose, which needs far fewer steps.
    """
    ctx = scene.ctx
    stepped = stepped_sections(ctx)
    rounds = ctx.tools("round")
    whole = tuple(s.number for s in ctx.part.sections if s.number not in scene.pressed)
    plain = tuple(n for n in whole if n not in stepped)
    rest = whole if scene.pressed else None
    sections = plain if stepped and rounds else rest
    finisher = _finisher(ctx)
    first = (
        []
        if finisher is None or sections == ()
        else [Operation("finish", finisher.number, sections=sections, reason=_TO_SIZE)]
    )
    operations, state = _best_of(scene, first, state, 1e-3)
    if not (_has_valley(scene.outline) or _has_arc(scene.outline) or stepped):
        return operations, state
    if stepped and rounds:
        chosen = tuple(sorted(stepped))
        others = [Operation("finish", t.number, sections=chosen, reason=_STEPS) for t in rounds]
        more, state = _best_of(scene, others, state, _WORTH_FINISH_MM2)
        operations += more
    used = {o.tool for o in operations if o.sections == rest}
    more, state = _more_finishes(scene, state, rest, used)
    return operations + more, state


def _more_finishes(
    scene: _Scene, state: State, sections: tuple[int, ...] | None, used: set[int | None]
) -> tuple[list[Operation], State]:
    """Return the finishes by other tools that come back for what the first cannot reach."""
    operations: list[Operation] = []
    for _ in range(_MORE_FINISHES):
        done = used | {o.tool for o in operations}
        others = [
            Operation("finish", t.number, sections=sections, reason=_THE_REST)
            for t in _finishers(scene.ctx)
            if t.number not in done
        ]
        more, state = _best_of(scene, others, state, _WORTH_FINISH_MM2)
        if not more:
            break
        operations += more
    return operations, state


def _finishers(ctx: Context) -> list[Tool]:
    """Return every tool that finishes an outside."""
    return [
        t
        for t in ctx.tools("turning", "round")
        if t.nose_radius_mm > 0 and t.edge_angle_deg <= _SQUARE_DEG
    ]


def _best_of(
    scene: _Scene, operations: Iterable[Operation], state: State, worth: float
) -> tuple[list[Operation], State]:
    """Try each operation and return the one to take, if it takes enough metal, and what it leaves.

    Of those that take about as much as the best, one is preferred whose nose the print allows in
    inside corners, then one with few passes, then one with a large nose: it is the stiffest.
    """
    ctx = scene.ctx
    tried: list[tuple[float, tuple[bool, int, float], Operation, State]] = []
    start = State(state.remaining, change_point(ctx), None)
    allowed = ctx.part.inside_corner_mm
    for operation in operations:
        where = f"proposed {operation.kind}"
        request = Request(ctx, operation, start, where, scene.outline, scene.overrun)
        passes, after = planned(request)
        taken = part_area(ctx.part, start.remaining) - part_area(ctx.part, after.remaining)
        if passes and taken > worth:
            nose = ctx.shape(operation.tool, where).nose_radius
            order = (allowed is not None and nose > allowed, len(passes), -nose)
            tried.append((taken, order, operation, after))
    if not tried:
        return [], state
    most = max(t[0] for t in tried)
    best = min((t for t in tried if t[0] >= _ABOUT * most), key=lambda t: t[1])
    return [best[2]], best[3]


def _has_valley(outline: Outline) -> bool:
    """Return whether the outline falls anywhere on its way to the chuck (the back face aside)."""
    points = chain_chords([e.shape for e in outline.elements[:-1]], 0.05)
    return any(b.r < a.r - 1e-3 for a, b in pairwise(points))


def _has_arc(outline: Outline) -> bool:
    return any(isinstance(e.shape, Arc) for e in outline.elements)


def _chamfers(ctx: Context) -> list[Operation]:
    """Return an operation for each edge or form tool that makes a corner of the print."""
    found: list[Operation] = []
    done: set[int] = set()
    for tool in ctx.tools("chamfer", "form"):
        corners = {c.index for c in corners_for(tool, ctx.part) if corner_stands(ctx, c)}
        if corners - done:
            done |= corners
            what = "chamfer" if tool.kind == "chamfer" else "round"
            found.append(
                Operation(
                    "chamfer",
                    tool.number,
                    reason=f"an edge of the {what}'s own shape makes it with one wheel",
                )
            )
    return found


def _part_off(ctx: Context) -> list[Operation]:
    """Return the parting operation with the narrowest blade that reaches the axis.

    Where none does, the one that goes deepest: the rest is sawn.
    """
    blades = ctx.tools("parting")
    behind = ctx.held.back < -ctx.part.total_length - _LEAST_BAR_MM
    if not blades or ctx.supported or not (ctx.last or ctx.turned_later):
        return []
    if not behind or ctx.chuck.kind == "mandrel":
        return []  # nothing stands behind the part: it was cut to length, or is off the bar

    def missing(tool: Tool) -> float:
        reach = tool.reach_mm - ctx.shop.clearances.holder_to_metal
        # Behind the setup's end the whole bar stands beside the blade.
        whole = ctx.limit_z is not None and not ctx.last
        beside = ctx.held.radius if whole else _beside_blade(ctx, tool)
        return max(0.0, beside + tool.corner_radius_mm - reach)

    blade = min(blades, key=lambda t: (missing(t), t.width_mm, t.number))
    line = ctx.held.jaw_face + ctx.shop.clearances.never_beyond_jaws
    left = -ctx.part.total_length - _TO_FACE_MM - blade.width_mm
    if not ctx.last and ctx.limit_z is not None and left < line:
        return []  # the other end stands in the jaws: it is turned around as it is
    why = "last: the part comes off the bar"
    if ctx.turned_later:
        places = 3 if ctx.units == "inch" else 1
        more = f"{from_mm(_TO_FACE_MM, ctx.units):.{places}f}"
        why = "the part comes off the bar, with what is faced off its back later"
        return [Operation("part off", blade.number, z_allowance=more, reason=why)]
    return [Operation("part off", blade.number, reason=why)]


def _beside_blade(ctx: Context, blade: Tool) -> float:
    """Return the greatest radius of the part under the blade's holder while it parts off."""
    right = max((point.z for ring in blade.holder for point in ring), default=0.0)
    shift = {"left": -blade.width_mm, "centre": -blade.width_mm / 2, "right": 0.0}[blade.reference]
    edge = -ctx.part.total_length + shift + right
    points = chain_chords([e.shape for e in ctx.part.aim.elements], 0.05)
    beside = [pair for pair in pairwise(points) if min(pair[0].z, pair[1].z) <= edge]
    return max((p.r for pair in beside for p in pair), default=ctx.held.radius)
