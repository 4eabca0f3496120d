"""The proposal's grooves: which tool makes which, in the order of the trade, with reasons."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

import msgspec

from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, ResolvedGroove
from turnsketch.part.records import AT_SHOULDER
from turnsketch.planning.context import Context, State
from turnsketch.planning.groove import grooves_for
from turnsketch.planning.groove_choice import best_tool
from turnsketch.planning.inside import inside_work
from turnsketch.planning.inside_out import inside_out
from turnsketch.planning.necks import weak_cores
from turnsketch.planning.propose_inside_tools import goes_in
from turnsketch.shop.records import Tool

__all__ = ["bore_grooves", "groove_operations", "weak_groove_operations"]

_REASONS = {
    "undercut E": "after roughing: what turns or grinds the seat later runs out into it",
    "undercut F": "after roughing: what turns or grinds seat and shoulder later runs out into it",
    "thread relief": "after roughing and before the thread: the threading tool runs out into it",
    "ring": "before the last cut on its seat: its burr would spoil the seat",
    "plain": "before the last cuts, which take its burr away",
    "round": "before the last cuts, which take its burr away",
    "vee": "before the last cuts, which take its burr away",
}

_WEAK_CORE = (
    "last of all: its core is too weak for cuts in front of it; its burr is taken off by hand"
)

_AT_LAST = "when the bore's bottom stands at its size: before, the bar does not get to the corner"
_TOO_DEEP = (
    "after the last cuts: with their allowance on, it is too deep for the bar; its burr is taken "
    "off by hand"
)


def groove_operations(
    ctx: Context,
    outline: Outline,
    overrun: float,
    state: State,
    done: Collection[int] = (),
) -> tuple[list[Operation], State]:
    """Return the grooving operations of a setup, reliefs and undercuts first, and what they leave.

    A groove that no tool of the shop makes has no operation: a finding tells of it.

    Parameters
    ----------
    done : collection of int
        Numbers of grooves that are made already.
    """
    grooves = [g for g in grooves_for(ctx) if g.number not in done]
    first = [g for g in grooves if g.kind in AT_SHOULDER]
    rest = [g for g in grooves if g.kind not in AT_SHOULDER]
    operations: list[Operation] = []
    for group in (first, rest):
        chosen: list[tuple[ResolvedGroove, Tool]] = []
        for groove in group:
            best = best_tool(ctx, groove, outline, overrun, state)
            if best is not None:
                chosen.append((groove, best.tool))
                state = best.after
        operations += _operations(chosen)
    return operations, state


def weak_groove_operations(
    ctx: Context, outline: Outline, overrun: float, state: State
) -> list[Operation]:
    """Return the grooving operations that leave a weak core: behind the cuts in front of it."""
    weak = {g.number for g in weak_cores(ctx.part)}
    others = {g.number for g in ctx.part.grooves} - weak
    if not weak:
        return []
    found, _ = groove_operations(ctx, outline, overrun, state, others)
    return [msgspec.structs.replace(o, reason=_WEAK_CORE) for o in found]


def bore_grooves(
    ctx: Context, state: State, before: Sequence[Operation] | None = None
) -> tuple[list[Operation], State]:
    """Return the grooving operations for the bore in front, and what they leave.

    Parameters
    ----------
    before : sequence of Operation, optional
        What was found before the last cuts: those that are asked for now come after them. At a
        flat bottom with its allowance on, a bar does not get into the corner.
    """
    done = {n for o in before or () if o.kind == "groove" for n in o.grooves or ()}
    wanted = any(g.inside and g.number not in done for g in ctx.part.grooves)
    work = inside_work(ctx, state, 0.0) if wanted else None
    if work is None:
        return [], state
    fitting = {n: s for n, s in work.ctx.shapes.items() if goes_in(s.tool, state)}
    inside = replace(work.ctx, shapes=fitting)
    found, after = groove_operations(inside, work.outline, work.overrun, work.state, done)
    if before is not None:
        corners = {g.number for g in ctx.part.grooves if g.kind in AT_SHOULDER}
        found = [
            msgspec.structs.replace(
                o, reason=_AT_LAST if corners.intersection(o.grooves or ()) else _TOO_DEEP
            )
            for o in found
        ]
    return found, inside_out(after)


def _operations(chosen: Sequence[tuple[ResolvedGroove, Tool]]) -> list[Operation]:
    """Return one operation for each tool, in the order of its first groove."""
    by_tool: dict[int, list[ResolvedGroove]] = {}
    for groove, tool in chosen:
        by_tool.setdefault(tool.number, []).append(groove)
    return [
        Operation(
            "groove",
            number,
            grooves=tuple(g.number for g in made),
            reason=_REASONS[made[0].kind],
        )
        for number, made in by_tool.items()
    ]
