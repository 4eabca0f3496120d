"""A proposal put in the order with the fewest changes of tool and gear step."""

from __future__ import annotations

from turnsketch.job import Operation
from turnsketch.pipeline.passes import passes_of
from turnsketch.planning.changes import fewest_changes, stretches_of
from turnsketch.planning.context import Context
from turnsketch.planning.fold import FoldCache, Planned, fold
from turnsketch.planning.order import Order

__all__ = ["with_fewest_changes"]

_SAME_MM2 = 0.05
"""Both orders leave the same metal (half section): chords and rounded levels differ by less."""


def with_fewest_changes(
    ctx: Context, operations: tuple[Operation, ...], cache: FoldCache | None = None
) -> tuple[Operation, ...]:
    """Return the proposed operations in the order with the fewest changes that the rules allow.

    The order stays where another one would leave an operation without work, or other metal.
    """
    numbers = {o.tool for o in operations}
    order = Order(ctx.part, tuple(s.tool for n, s in ctx.shapes.items() if n in numbers))
    if ctx.held.track is not None or not _any_free(order, operations):
        return operations  # what turns a steady rest's track comes before what it supports
    before = fold(ctx, operations, cache)
    stretches = stretches_of(passes_of(before.ctx, before)[0])
    working = [operations[s.operation - 1] for s in stretches]

    def stays(first: int, second: int) -> bool:
        return bool(order.reason(working[first], working[second]))

    chosen = tuple(working[i] for i in fewest_changes(stretches, stays))
    if chosen == tuple(working) or len(working) < len(operations):
        return operations
    after = fold(ctx, chosen, cache)
    return chosen if _same(before, after) else operations


def _any_free(order: Order, operations: tuple[Operation, ...]) -> bool:
    return any(
        not order.reason(first, second)
        for index, first in enumerate(operations)
        for second in operations[index + 1 :]
    )


def _same(before: Planned, after: Planned) -> bool:
    """Return whether another order leaves the same, with work for every operation."""
    if not all(step.passes for step in after.steps):
        return False
    left = before.steps[-1].remaining.symmetric_difference(after.steps[-1].remaining)
    return float(left.area) < _SAME_MM2
