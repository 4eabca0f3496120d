"""The fold: operations one after another over the remaining blank.

Unchanged operations at the head of the list are not planned again: the caller may hand in a
`FoldCache`, keyed by everything an operation depends on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import polygons
from turnsketch.job import Operation
from turnsketch.part.grooved_outline import left_for_grooves
from turnsketch.part.outline import outline_without
from turnsketch.part.outline_records import Outline
from turnsketch.planning.centre import (
    drills,
    hole_of,
    starts_on_centre,
    with_centre,
)
from turnsketch.planning.chamfer import corner_stands, corners_for
from turnsketch.planning.context import Context, State, operation_path
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.operations import Request, planned
from turnsketch.planning.part_off import blade_overrun
from turnsketch.planning.stage import stage_outline
from turnsketch.planning.steady import set_on, track_stands
from turnsketch.planning.stepped import stepped_sections
from turnsketch.planning.tailstock import Seat

__all__ = ["FoldCache", "Planned", "Step", "change_point", "fold", "outline_for_turning"]

_CACHED = 64


@dataclass(frozen=True)
class Step:
    """One operation, planned."""

    index: int
    """Index in the operation list, from 0."""
    operation: Operation
    passes: tuple[DraftPass, ...]
    remaining: BaseGeometry
    """Half section after it."""


@dataclass(frozen=True)
class Planned:
    """A setup, planned."""

    steps: tuple[Step, ...]
    outline: Outline
    """What turning tools leave: the part without the corners that edge and form tools make."""
    overrun: float
    ctx: Context
    """As the setup stands at its end: with the centre in, if it is put in at all."""
    centre_from: int | None = None
    """How many passes are made before the centre is put in; null: it is there from the start, or
    never."""
    steady_from: int | None = None
    """The same of the steady rest, which is set when its track is turned."""

    @property
    def passes(self) -> tuple[DraftPass, ...]:
        """All passes in order."""
        return tuple(p for step in self.steps for p in step.passes)


@dataclass
class FoldCache:
    """Remembers planned operations by what they depend on; not for sharing between threads."""

    entries: dict[object, tuple[tuple[DraftPass, ...], State]] = field(default_factory=dict)

    def get(self, key: object) -> tuple[tuple[DraftPass, ...], State] | None:
        """Return what was planned for `key`, if it is remembered."""
        return self.entries.get(key)

    def put(self, key: object, value: tuple[tuple[DraftPass, ...], State]) -> None:
        """Remember `value`; the oldest entry goes when there are too many."""
        if len(self.entries) >= _CACHED:
            self.entries.pop(next(iter(self.entries)))
        self.entries[key] = value


def outline_for_turning(ctx: Context, operations: Sequence[Operation]) -> Outline:
    """Return the outline without the corners that chamfer operations make, now or before."""
    skipped: set[int] = set()
    if ctx.turned_later:
        end = -ctx.part.total_length + 1e-6
        skipped.update(c.index for c in ctx.part.corners if c.convex and c.at.z < end)
    if ctx.index > 0:
        done = (c for c in ctx.part.corners if c.convex and not corner_stands(ctx, c))
        skipped.update(c.index for c in done)
    for operation in operations:
        shape = None if operation.tool is None else ctx.shapes.get(operation.tool)
        if operation.kind == "chamfer" and operation.enabled and shape is not None:
            corners = corners_for(shape.tool, ctx.part)
            if operation.sections is not None:
                corners = tuple(c for c in corners if set(c.between) & set(operation.sections))
            skipped.update(corner.index for corner in corners)
    outline = left_for_grooves(outline_without(ctx.part, skipped), ctx.part.grooves)
    return stage_outline(ctx, outline)


def held_metal(metal: BaseGeometry) -> BaseGeometry:
    """Return the part of `metal` that the holding has: what has come off is cut no more."""
    pieces = polygons(metal)
    if len(pieces) < 2:
        return metal
    return min(pieces, key=lambda piece: piece.bounds[0])


def change_point(ctx: Context) -> Point:
    """Return where tools are changed, in the part frame."""
    place = ctx.lathe.change_point
    return Point(ctx.held.raw_front + place.z, max(place.r, ctx.clear_r, ctx.over_centre_r))


def fold(
    ctx: Context, operations: tuple[Operation, ...], cache: FoldCache | None = None
) -> Planned:
    """Return the passes of every enabled operation, each over what the ones before left."""
    if starts_on_centre(ctx, operations):
        ctx = with_centre(ctx)
    outline = outline_for_turning(ctx, operations)
    overrun = blade_overrun(ctx, operations)
    home = change_point(ctx)
    state = State(ctx.held.region, home, None)
    steps: list[Step] = []
    centre_from: int | None = None
    steady_from: int | None = None
    mouth = not any(o.kind == "countersink" and o.enabled for o in operations)
    base = _base_key(ctx, outline, overrun)
    for index, operation in enumerate(operations):
        if not operation.enabled:
            continue
        before = state
        if operation.tool != state.tool:
            state = State(state.remaining, home, operation.tool)
        where = operation_path(index, operation, ctx.index)
        key = (base, mouth, operation, state.position, shapely.to_wkb(state.remaining))
        found = cache.get(key) if cache is not None else None
        if found is None:
            request = Request(ctx, operation, state, where, outline, overrun, mouth)
            passes, after = planned(request)
            held = replace(after, remaining=held_metal(after.remaining))
            found = (tuple(passes), held)
            if cache is not None:
                cache.put(key, found)
        # Without a pass the tool is not changed either: the one before stands where it was.
        state = found[1] if found[0] else replace(before, remaining=found[1].remaining)
        steps.append(Step(index, operation, found[0], state.remaining))
        if drills(operation) and found[0]:
            ctx = _drilled(ctx, operation, where, steps[-1])
            outline = outline_for_turning(ctx, operations)
            base = _base_key(ctx, outline, overrun)
            centre_from = sum(len(s.passes) for s in steps) if ctx.supported else None
        if ctx.held.track is not None and track_stands(ctx.held.track, state.remaining):
            ctx = replace(ctx, held=set_on(ctx.held))
            base = _base_key(ctx, outline, overrun)
            steady_from = sum(len(s.passes) for s in steps)
    return Planned(tuple(steps), outline, overrun, ctx, centre_from, steady_from)


def _drilled(ctx: Context, operation: Operation, where: str, step: Step) -> Context:
    """Return the setup after a centre hole was made: with the centre in it, if there is one."""
    hole = hole_of(ctx, operation, where)
    seat = Seat(hole, min(m.move.to.z for m in step.passes[-1].moves) + hole.depth)
    ctx = replace(ctx, held=replace(ctx.held, seat=seat))
    return with_centre(ctx) if ctx.supported else ctx


def _base_key(ctx: Context, outline: Outline, overrun: float) -> object:
    """Return what every operation of a setup depends on, besides itself and the metal."""
    return (
        outline,
        overrun,
        ctx.held,
        ctx.limit_z,
        ctx.supported,
        ctx.index > 0,
        ctx.turned_later,
        ctx.setup.sections,
        stepped_sections(ctx),
        ctx.part,
        ctx.units,
        ctx.setup.zero,
        ctx.lathe,
        ctx.material,
        ctx.shop.clearances,
        ctx.shop.limits,
        tuple(shape.tool for shape in ctx.shapes.values()),
    )
