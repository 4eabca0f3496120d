"""Which tools go into a bore, and which of several operations in it is taken."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedBore, SectionInfo
from turnsketch.planning.context import Context, State
from turnsketch.planning.drill import deepest
from turnsketch.planning.fold import change_point
from turnsketch.planning.inside import hole_radius
from turnsketch.planning.operations import Request, planned
from turnsketch.planning.part_solid import void_region
from turnsketch.planning.stage import made_here
from turnsketch.shop.records import Tool
from turnsketch.shop.suited import for_undercuts

__all__ = [
    "MOUTH_MM",
    "SIZE_MM",
    "Inside",
    "bore_bars",
    "goes_in",
    "narrowest",
    "reamer_for",
    "stiffness",
    "try_each",
    "waits",
]

_WORTH_MM2 = 0.02
"""An operation that takes less of the half section is not worth its change."""

_ABOUT = 0.9
"""Share of the most metal that counts as about as much."""

SIZE_MM = 1e-3
"""Sizes that differ by less are the same."""

_REAMED_MM = 0.06
"""Wider tolerances are bored or drilled."""

MOUTH_MM = 0.3
"""The hole must be open so deep that a bar goes in."""


@dataclass(frozen=True)
class Inside:
    """Operations for the bore, and the metal after them."""

    operations: tuple[Operation, ...]
    state: State


def waits(ctx: Context) -> bool:
    """Return whether a through bore, here seen from behind, is left to a later setup.

    From behind nothing gets into what widens inward, and what the print ties to it may be made
    only later.
    """
    bore = ctx.part.bore
    behind = ctx.setup.turned and ctx.part_record.bore_back is None
    if bore is None or not behind or not ctx.turned_later:
        return False
    radii = [r for s in bore.sections for r in (s.front.r, s.back.r)]
    return radii != sorted(radii, reverse=True) or _tied_later(ctx, bore)


def _tied_later(ctx: Context, bore: ResolvedBore) -> bool:
    """Return whether the print ties the bore to an outside section that this setup leaves."""
    tied = {n for tie in ctx.part_record.ties if bore.numbers & set(tie.sections)
            for n in tie.sections}  # fmt: skip
    outside = [s for s in ctx.part.sections if s.number in tied]
    return not all(made_here(ctx, (s.front.z + s.back.z) / 2) for s in outside)


def try_each(
    ctx: Context,
    operations: Iterable[Operation],
    state: State,
    found: list[Operation],
    *,
    mouth: bool = True,
    worth: float = _WORTH_MM2,
) -> tuple[list[Operation], State]:
    """Take the operation that takes about most of the bore's metal, the first among equals."""
    start = State(state.remaining, change_point(ctx), None)
    tried: list[tuple[float, Operation, State]] = []
    for operation in operations:
        where = f"proposed {operation.kind}"
        request = Request(ctx, operation, start, where, ctx.part.aim, 0.0, mouth)
        made, after = planned(request)
        taken = start.remaining.area - after.remaining.area
        if made and taken > worth:
            tried.append((taken, operation, after))
    if not tried:
        return found, state
    most = max(taken for taken, *_ in tried)
    _, operation, after = next(one for one in tried if one[0] >= _ABOUT * most)
    return [*found, operation], after


def narrowest(bore: ResolvedBore) -> SectionInfo:
    """Return the section in which the bore is narrowest."""
    return min(bore.sections, key=lambda s: min(s.front.r, s.back.r))


def bore_bars(ctx: Context) -> list[Tool]:
    """Return the bars for bores, without those for undercuts: these are too weak."""
    return [t for t in ctx.tools("boring") if not for_undercuts(t)]


def stiffness(bar: Tool) -> tuple[float, int]:
    """Return what the stiffest bar has most of; of equals the first in the shop counts."""
    return bar.bar_diameter_mm, -bar.number


def goes_in(bar: Tool, state: State) -> bool:
    """Return whether a bar gets into the hole as it is open at its mouth."""
    return bar.least_bore_mm <= 2 * hole_radius(state.remaining, MOUTH_MM) + SIZE_MM


def reamer_for(ctx: Context, bore: ResolvedBore) -> Tool | None:
    """Return the reamer inside the narrowest section's limits; a blind hole is bored instead."""
    narrow = narrowest(bore)
    size = narrow.diameter
    if (
        not bore.through
        or size is None
        or narrow.kind != "cylinder"
        or size.upper - size.lower > _REAMED_MM
    ):
        return None
    fitting = [
        t
        for t in ctx.tools("reamer")
        if size.lower - SIZE_MM <= t.diameter_mm <= size.upper + SIZE_MM
        and deepest(ctx, ctx.shapes[t.number], void_region(bore, CHORD_FINE)) > -narrow.back.z - 1.0
    ]
    return min(fitting, key=lambda t: abs(t.diameter_mm - size.aim), default=None)
