"""The proposal: an operation list in the order of the trade, each with its reason.

Order after common practice: face; rough; finish; chamfers; part off. A second tool is added where
the first cannot reach and another in the shop file can: every candidate is tried on the metal that
stands, and the one that leaves least is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import msgspec

from turnsketch.geometry.elements import Arc, chain_chords
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline
from turnsketch.planning.chamfer import corner_stands, corners_for
from turnsketch.planning.context import Context, State
from turnsketch.planning.finish import plan_finish
from turnsketch.planning.fold import change_point, outline_for_turning
from turnsketch.planning.keep import part_area
from turnsketch.planning.means import arc_means, taper_way
from turnsketch.planning.opening import opening
from turnsketch.planning.part_off import blade_overrun
from turnsketch.planning.rough import plan_rough
from turnsketch.shop.records import Tool

__all__ = ["propose"]

_WORTH_MM2 = 1.0
"""Area of metal (half section) for which a second roughing tool is worth its change."""

_WEAK = 0.5
"""A neck thinner than this share of what it carries is turned last (common practice)."""

_ABOUT = 0.93
"""Share of the best tool's metal that counts as about as much."""

_WORTH_FINISH_MM2 = 0.15
"""The same for a second finishing tool."""


_MORE_FINISHES = 3
"""So many tools at most come back for what the first finishing tools cannot reach."""

_MOST_METAL = "takes most of the metal, large diameters toward the chuck first"
_INTO_VALLEY = "goes straight into the valley that the first tool cannot enter"
_BEFORE_NECK = "makes what the neck carries while the neck is still thick"
_TO_SIZE = "makes the surfaces to size, from the front shoulder by shoulder"
_STEPS = "a round nose makes the arc with the fewest steps"
_THE_REST = "reaches surfaces that the tools before cannot"


@dataclass(frozen=True)
class _Scene:
    """What the proposed operations work on."""

    ctx: Context
    outline: Outline
    overrun: float


def propose(ctx: Context) -> tuple[Operation, ...]:
    """Return the operation list for a setup."""
    begun = opening(ctx, _rougher(ctx))
    ctx, operations = begun.ctx, list(begun.operations)
    tail = [*_chamfers(ctx), *_part_off(ctx)]
    scene = _Scene(ctx, outline_for_turning(ctx, tail), blade_overrun(ctx, tuple(tail)))
    state = State(begun.metal, change_point(ctx), None)
    for stage in (_main_roughing, _before_the_neck, _valley_roughing, _finishing):
        found, state = stage(scene, state)
        operations += found
    return _limited((*operations, *tail), ctx.setup.sections)


def _limited(
    operations: tuple[Operation, ...], sections: tuple[int, ...] | None
) -> tuple[Operation, ...]:
    """Return the operations with their sections kept to those that the setup makes."""
    if sections is None:
        return operations
    found: list[Operation] = []
    for operation in operations:
        if operation.kind in ("finish", "chamfer"):
            wanted = operation.sections or sections
            kept = tuple(n for n in wanted if n in sections)
            if not kept:
                continue
            operation = msgspec.structs.replace(operation, sections=kept)
        found.append(operation)
    return tuple(found)


def _tools(ctx: Context, *kinds: str) -> list[Tool]:
    return [s.tool for s in ctx.shapes.values() if s.tool.kind in kinds]


def _square_tools(ctx: Context) -> list[Tool]:
    """Return the right-hand tools that turn square shoulders."""
    return [
        t
        for t in _tools(ctx, "turning")
        if t.hand == "right" and t.edge_angle_deg >= 90 and t.nose_radius_mm > 0
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
    first = [] if rougher is None else [Operation("rough", rougher.number, reason=_MOST_METAL)]
    return _best_of(scene, first, state, _WORTH_MM2)


def _before_the_neck(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finish of what stands in front of a weak neck, while the neck is still thick."""
    front = _in_front_of_weak_neck(scene)
    finisher = _finisher(scene.ctx)
    if not front or finisher is None:
        return [], state
    operation = Operation("finish", finisher.number, sections=front, reason=_BEFORE_NECK)
    return _best_of(scene, [operation], state, 1e-3)


def _valley_roughing(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the roughing of valleys, by the tool that may plunge and leaves least."""
    ctx = scene.ctx
    if not _has_valley(scene.outline):
        return [], state
    tools = [t for t in _tools(ctx, "round", "turning") if t.plunge_angle_deg >= 90]
    tools += [t for t in _tools(ctx, "turning") if t.hand == "left"]
    others = [Operation("rough", t.number, valleys_only=True, reason=_INTO_VALLEY) for t in tools]
    return _best_of(scene, others, state, _WORTH_MM2)


def _finishing(scene: _Scene, state: State) -> tuple[list[Operation], State]:
    """Return the finishing operations: the main tool, then what reaches the rest best.

    Sections that need a step table are left to a round nose, which needs far fewer steps.
    """
    ctx = scene.ctx
    stepped = _stepped_sections(ctx)
    rounds = _tools(ctx, "round")
    plain = tuple(s.number for s in ctx.part.sections if s.number not in stepped)
    sections = plain if stepped and rounds else None
    finisher = _finisher(ctx)
    first = (
        []
        if finisher is None or sections == ()
        else [Operation("finish", finisher.number, sections=sections, reason=_TO_SIZE)]
    )
    operations, state = _best_of(scene, first, state, 1e-3)
    if not (_has_valley(scene.outline) or _has_arc(scene.outline) or stepped):
        return operations, state
    if sections is not None:
        chosen = tuple(sorted(stepped))
        others = [Operation("finish", t.number, sections=chosen, reason=_STEPS) for t in rounds]
        more, state = _best_of(scene, others, state, _WORTH_FINISH_MM2)
        operations += more
    for _ in range(_MORE_FINISHES):
        used = {o.tool for o in operations if o.sections is None}
        others = [
            Operation("finish", t.number, reason=_THE_REST)
            for t in _tools(ctx, "turning", "round")
            if t.number not in used and t.nose_radius_mm > 0
        ]
        more, state = _best_of(scene, others, state, _WORTH_FINISH_MM2)
        if not more:
            break
        operations += more
    return operations, state


def _in_front_of_weak_neck(scene: _Scene) -> tuple[int, ...]:
    """Return the sections in front of a neck that is too weak to finish them behind it."""
    sections = [s for s in scene.ctx.part.sections if s.kind != "face"]
    thickest = 0.0
    for index, section in enumerate(sections):
        reach = max(section.front.r, section.back.r, _crest(scene.outline, section.number))
        if max(section.front.r, section.back.r) < _WEAK * thickest:
            return tuple(s.number for s in sections[:index])
        thickest = max(thickest, reach)
    return ()


def _crest(outline: Outline, number: int) -> float:
    """Return the greatest radius of a section."""
    shapes = [e.shape for e in outline.elements if e.section == number]
    return max((p.r for shape in shapes for p in shape.chords(0.1)), default=0.0)


def _stepped_sections(ctx: Context) -> set[int]:
    """Return the sections that this lathe can only make in steps."""
    plain = Operation("finish")
    found: set[int] = set()
    for element in ctx.part.aim.elements:
        if element.section is None:
            continue
        shape = element.shape
        if isinstance(shape, Arc):
            if arc_means(ctx.lathe, plain) == "steps":
                found.add(element.section)
        elif element.role == "taper":
            along = abs(shape.end.z - shape.start.z)
            angle = math.atan2(abs(shape.end.r - shape.start.r), along)
            if taper_way(ctx.lathe, angle, along, plain, ctx.between_centres_mm)[0] == "steps":
                found.add(element.section)
    return found


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
        plan = plan_rough if operation.kind == "rough" else plan_finish
        where = f"proposed {operation.kind}"
        passes, after = plan(ctx, operation, start, where, scene.outline, scene.overrun)
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
    for tool in _tools(ctx, "chamfer", "form"):
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
    blades = _tools(ctx, "parting")
    if not blades or ctx.supported or not ctx.last:
        return []

    def missing(tool: Tool) -> float:
        reach = tool.reach_mm - ctx.shop.clearances.holder_to_metal
        return max(0.0, _beside_blade(ctx, tool) + tool.corner_radius_mm - reach)

    blade = min(blades, key=lambda t: (missing(t), t.width_mm, t.number))
    return [Operation("part off", blade.number, reason="last: the part comes off the bar")]


def _beside_blade(ctx: Context, blade: Tool) -> float:
    """Return the greatest radius of the part under the blade's holder while it parts off."""
    right = max((point.z for ring in blade.holder for point in ring), default=0.0)
    shift = {"left": -blade.width_mm, "centre": -blade.width_mm / 2, "right": 0.0}[blade.reference]
    edge = -ctx.part.total_length + shift + right
    points = chain_chords([e.shape for e in ctx.part.aim.elements], 0.05)
    beside = [pair for pair in pairwise(points) if min(pair[0].z, pair[1].z) <= edge]
    return max((p.r for pair in beside for p in pair), default=ctx.held.radius)
