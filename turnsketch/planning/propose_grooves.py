"""The proposal's grooves: which tool makes which, in the order of the trade, with reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from turnsketch.job import Operation
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import Outline, ResolvedGroove
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.groove import grooves_for, plan_groove
from turnsketch.planning.groove_space import groove_metal
from turnsketch.planning.inside import inside_out, inside_work
from turnsketch.planning.order import RELIEFS
from turnsketch.shop.records import Tool

__all__ = ["bore_grooves", "groove_operations"]

_REASONS = {
    "undercut E": "after roughing: what turns or grinds the seat later runs out into it",
    "undercut F": "after roughing: what turns or grinds seat and shoulder later runs out into it",
    "thread relief": "after roughing and before the thread: the threading tool runs out into it",
    "ring": "before the last cut on its seat: its burr would spoil the seat",
    "plain": "before the last cuts, which take its burr away",
    "round": "before the last cuts, which take its burr away",
    "vee": "before the last cuts, which take its burr away",
}

_ABOUT = 0.97
"""Share of the best tool's metal that counts as about as much."""

_NOSED = ("undercut E", "undercut F", "round")
"""Kinds that a blade, which has two corners, makes badly."""

_KEEN_MM = 0.2
"""A nose so small does for a sharp corner."""

_BLADES = ("parting", "inside grooving")


@dataclass(frozen=True)
class _Trial:
    """What one tool makes of one groove."""

    tool: Tool
    passes: tuple[DraftPass, ...]
    after: State
    taken: float

    @property
    def order(self) -> tuple[bool, int, float]:
        """Best first: no steps, few motions, a wide tool."""
        stepped = any(p.steps is not None for p in self.passes)
        moves = sum(len(p.moves) for p in self.passes)
        return stepped, moves, -self.tool.width_mm


def groove_operations(
    ctx: Context, outline: Outline, overrun: float, state: State
) -> tuple[list[Operation], State]:
    """Return the grooving operations of a setup, reliefs and undercuts first, and what they leave.

    A groove that no tool of the shop makes has no operation: a finding tells of it.
    """
    grooves = grooves_for(ctx)
    first = [g for g in grooves if g.kind in RELIEFS]
    rest = [g for g in grooves if g.kind not in RELIEFS]
    operations: list[Operation] = []
    for group in (first, rest):
        chosen: list[tuple[ResolvedGroove, Tool]] = []
        for groove in group:
            best = _best(ctx, groove, outline, overrun, state)
            if best is not None:
                chosen.append((groove, best.tool))
                state = best.after
        operations += _operations(chosen)
    return operations, state


def bore_grooves(ctx: Context, state: State) -> tuple[list[Operation], State]:
    """Return the grooving operations for the bore in front, and what they leave."""
    work = inside_work(ctx, state, 0.0) if any(g.inside for g in ctx.part.grooves) else None
    if work is None:
        return [], state
    found, after = groove_operations(work.ctx, work.outline, work.overrun, work.state)
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


def _best(
    ctx: Context, groove: ResolvedGroove, outline: Outline, overrun: float, state: State
) -> _Trial | None:
    cut = grooved(outline, (groove,), inside=ctx.axis_r is not None)
    metal = groove_metal(ctx, outline, cut, overrun)
    standing = metal.intersection(state.remaining).area
    tried: list[_Trial] = []
    for shape in ctx.shapes.values():
        tool = shape.tool
        if not _suits(tool, groove):
            continue
        operation = Operation("groove", tool.number, grooves=(groove.number,))
        start = replace(state, tool=None)
        passes, after = plan_groove(ctx, operation, start, "proposed groove", outline, overrun)
        if passes:
            taken = standing - metal.intersection(after.remaining).area
            tried.append(_Trial(tool, tuple(passes), after, taken))
    if not tried:
        return None
    most = max(t.taken for t in tried)
    return min((t for t in tried if t.taken >= _ABOUT * most), key=lambda t: t.order)


def _suits(tool: Tool, groove: ResolvedGroove) -> bool:
    """Return whether a tool is worth trying: a blade for walls, a nose for slants and rounds."""
    if groove.inside != tool.kind.startswith("inside"):
        return False
    wide = max(e.start.z for e in groove.elements) - min(e.end.z for e in groove.elements)
    if tool.kind in _BLADES:
        return tool.width_mm <= wide + 1e-6 and groove.kind not in _NOSED
    if groove.kind in ("plain", "ring"):
        return False
    nose = tool.nose_radius_mm
    fits = nose <= max(groove.corner_mm, _KEEN_MM) + 1e-3 and nose > 0
    return fits and tool.kind in ("round", "turning")
