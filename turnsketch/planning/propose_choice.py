"""What the proposal chooses from: the tools for a purpose, and the operation that takes most."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline
from turnsketch.planning.context import Context, State
from turnsketch.planning.fold import change_point
from turnsketch.planning.keep import part_area
from turnsketch.planning.operations import Request, planned
from turnsketch.shop.records import Tool
from turnsketch.shop.suited import for_undercuts

__all__ = [
    "WORTH_FINISH_MM2",
    "WORTH_MM2",
    "Scene",
    "best_of",
    "finisher_of",
    "finishers_of",
    "more_finishes",
    "rougher_of",
]

WORTH_MM2 = 1.0
"""Area of metal (half section) for which a second roughing tool is worth its change."""

WORTH_FINISH_MM2 = 0.15
"""The same for a second finishing tool."""

_ABOUT = 0.93
"""Share of the best tool's metal that counts as about as much."""

_MORE_FINISHES = 3
"""So many tools at most come back for what the first finishing tools cannot reach."""

_THE_REST = "reaches surfaces that the tools before cannot"


@dataclass(frozen=True)
class Scene:
    """What the proposed operations work on."""

    ctx: Context
    outline: Outline
    overrun: float
    pressed: frozenset[int] = frozenset()
    """Sections with their knurl on: they are not to be touched again."""


def _square_tools(ctx: Context) -> list[Tool]:
    """Return the right-hand tools that turn square shoulders."""
    return [
        t
        for t in ctx.tools("turning")
        if t.hand == "right"
        and t.edge_angle_deg >= 90
        and not for_undercuts(t)
        and t.nose_radius_mm > 0
    ]


def rougher_of(ctx: Context) -> Tool | None:
    """Return the stiffest square-shoulder tool: the widest corner, then the largest nose."""

    def order(tool: Tool) -> tuple[float, float, int]:
        return (tool.edge_angle_deg + tool.end_edge_angle_deg, -tool.nose_radius_mm, tool.number)

    return min(_square_tools(ctx), key=order, default=None)


def finisher_of(ctx: Context) -> Tool | None:
    """Return the square-shoulder tool with the smallest nose; a slim one enters valleys besides."""

    def order(tool: Tool) -> tuple[float, float, int]:
        return (tool.nose_radius_mm, -tool.end_edge_angle_deg, tool.number)

    return min(_square_tools(ctx), key=order, default=None)


def finishers_of(ctx: Context) -> list[Tool]:
    """Return every tool that finishes an outside."""
    return [
        t for t in ctx.tools("turning", "round") if t.nose_radius_mm > 0 and not for_undercuts(t)
    ]


def best_of(
    scene: Scene, operations: Iterable[Operation], state: State, worth: float
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


def more_finishes(
    scene: Scene, state: State, sections: tuple[int, ...] | None, used: set[int | None]
) -> tuple[list[Operation], State]:
    """Return the finishes by other tools that come back for what the first cannot reach."""
    operations: list[Operation] = []
    for _ in range(_MORE_FINISHES):
        done = used | {o.tool for o in operations}
        others = [
            Operation("finish", t.number, sections=sections, reason=_THE_REST)
            for t in finishers_of(scene.ctx)
            if t.number not in done
        ]
        more, state = best_of(scene, others, state, WORTH_FINISH_MM2)
        if not more:
            break
        operations += more
    return operations, state
