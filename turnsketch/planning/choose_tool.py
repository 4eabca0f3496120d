"""The tool of an operation that names none: the shop's first of those that take about the most."""

from __future__ import annotations

import msgspec

from turnsketch.errors import InputError
from turnsketch.job import Operation
from turnsketch.planning.context import Context, operation_path
from turnsketch.planning.fold import FoldCache, fold
from turnsketch.planning.propose_choice import finisher_of, rougher_of
from turnsketch.shop.records import Tool
from turnsketch.shop.suited import SUITED, for_undercuts

__all__ = ["with_tools"]

_ABOUT = 0.9
"""Share of the most metal that counts as about as much."""


def with_tools(
    ctx: Context, operations: tuple[Operation, ...], cache: FoldCache | None = None
) -> tuple[Operation, ...]:
    """Return the operations, a tool chosen for each that is switched on and names none.

    Raises
    ------
    InputError
        The shop file has no tool of the kind.
    """
    for index, operation in enumerate(operations):
        if operation.enabled and operation.tool is None:
            before, rest = operations[:index], operations[index + 1 :]
            operations = (*before, _with_tool(ctx, before, operation, cache), *rest)
    return operations


def _with_tool(
    ctx: Context, before: tuple[Operation, ...], operation: Operation, cache: FoldCache | None
) -> Operation:
    usual = _usual(ctx, operation)
    tools = _candidates(ctx, operation, usual)
    if not tools:
        wanted = " or ".join(SUITED[operation.kind])
        raise InputError(
            f"the shop file has no tool for it: enter one of the kind {wanted}",
            operation_path(len(before), operation, ctx.index),
        )
    steps = fold(ctx, before, cache).steps
    metal = steps[-1].remaining.area if steps else ctx.held.region.area
    tried: list[tuple[float, Operation]] = []
    for tool in tools:
        candidate = msgspec.structs.replace(operation, tool=tool.number)
        made = fold(ctx, (*before, candidate), cache).steps[-1]
        if made.passes and tool is usual:
            return candidate
        if made.passes:
            tried.append((metal - made.remaining.area, candidate))
    most = max((taken for taken, _ in tried), default=0.0)
    fallback = msgspec.structs.replace(operation, tool=tools[0].number)
    return next((chosen for taken, chosen in tried if taken >= _ABOUT * most), fallback)


def _usual(ctx: Context, operation: Operation) -> Tool | None:
    """Return the tool that the program proposes for such an operation wherever it gets there."""
    if operation.kind in ("face", "rough"):
        return rougher_of(ctx)
    return finisher_of(ctx) if operation.kind == "finish" else None


def _candidates(ctx: Context, operation: Operation, usual: Tool | None) -> list[Tool]:
    """Return the tools that suit the operation: the usual one first, then by stiffness."""
    suited = [
        tool
        for tool in ctx.tools(*SUITED[operation.kind])
        if operation.kind == "groove" or not for_undercuts(tool)
    ]
    suited.sort(key=lambda tool: (tool is not usual, -tool.bar_diameter_mm, tool.number))
    return suited
