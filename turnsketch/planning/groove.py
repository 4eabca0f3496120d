"""Grooving: plunges of a blade, step by step across the groove, then its walls and its bottom.

A slant or a round that two handwheels cannot follow is cut in steps, each fed in X at its own Z,
from the surface down. Under an undercut's shoulder the tool is fed in Z from the bottom. No
compensation stands here: every place comes from `turnsketch.planning.groove_space`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.job import Operation
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import Outline, ResolvedGroove
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.groove_cuts import groove_passes
from turnsketch.planning.groove_space import GrooveSpace, groove_metal, groove_space
from turnsketch.planning.groove_work import GrooveWork
from turnsketch.planning.stage import made_here
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["GROOVING_TOOLS", "grooves_for", "plan_groove"]

GROOVING_TOOLS = (
    "parting",
    "round",
    "turning",
    "groove form",
    "threading",
    "inside grooving",
    "inside threading",
)
"""Kinds of tools that can make a groove; in a bore's frame a boring bar is a turning tool."""

_REMEMBERED = 64
"""Spaces kept: a part has some grooves, each with a few tools that are worth trying."""

_LEFT_MM2 = 2e-3
"""Area (half section) of metal in a groove that is not worth a pass."""


def grooves_for(ctx: Context, numbers: Sequence[int] | None = None) -> list[ResolvedGroove]:
    """Return the grooves that this setup makes, front first; `numbers` chooses among them.

    In a bore's frame (`Context.axis_r`) they are those of the bore, else those of the outside.
    """
    inside = ctx.axis_r is not None
    found = [
        g
        for g in ctx.part.grooves
        if g.inside == inside
        and (_in_setup(ctx, g) if numbers is None else g.number in numbers)
        and made_here(ctx, min(min(e.start.z, e.end.z) for e in g.elements) + 1e-3)
    ]
    return sorted(found, key=lambda g: -g.elements[0].start.z)


def _in_setup(ctx: Context, groove: ResolvedGroove) -> bool:
    return ctx.setup.sections is None or groove.section in ctx.setup.sections


@dataclass(frozen=True)
class _Asked:
    """A question for the space of a tool in a groove, and all that its answer depends on."""

    key: tuple[object, ...]
    ctx: Context = field(compare=False)
    shape: ToolShape = field(compare=False)
    groove: ResolvedGroove = field(compare=False)
    grooved: Outline = field(compare=False)
    metal: BaseGeometry = field(compare=False)
    overrun: float = field(compare=False)

    @classmethod
    def of(
        cls,
        ctx: Context,
        shape: ToolShape,
        groove: ResolvedGroove,
        with_groove: Outline,
        metal: BaseGeometry,
        overrun: float,
    ) -> _Asked:
        about = ctx.held, ctx.shop.clearances, ctx.axis_r, ctx.clear_r
        key = (*about, shape, groove, with_groove, overrun, shapely.to_wkb(metal))
        return cls(key, ctx, shape, groove, with_groove, metal, overrun)


@lru_cache(maxsize=_REMEMBERED)
def _remembered(ask: _Asked) -> GrooveSpace | None:
    """Return the space; the proposal's trials are asked for again when its list is planned."""
    return groove_space(ask.ctx, ask.shape, ask.groove, ask.grooved, ask.metal, ask.overrun)


def plan_groove(
    ctx: Context, operation: Operation, state: State, where: str, outline: Outline, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return the passes for every groove that the tool makes, front first.

    A groove that the tool does not come down into has no pass: a finding says so.
    """
    shape = ctx.shape(operation.tool, where)
    if shape.tool.kind not in GROOVING_TOOLS:
        return [], state
    passes: list[DraftPass] = []
    for groove in grooves_for(ctx, operation.grooves):
        with_groove = grooved(outline, (groove,), inside=ctx.axis_r is not None)
        metal = groove_metal(ctx, outline, with_groove, overrun)
        if metal.intersection(state.remaining).area < _LEFT_MM2:
            continue
        space = _remembered(_Asked.of(ctx, shape, groove, with_groove, metal, overrun))
        if space is None:
            continue
        work = GrooveWork.of(ctx, operation, shape, groove, space, state, where)
        made = groove_passes(work)
        if made is not None:
            passes += made[0]
            state = made[1]
    return passes, state
