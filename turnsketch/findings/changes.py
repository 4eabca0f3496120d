"""The finding about an operation list that changes tools or levers more often than it has to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from turnsketch.findings.view import PlanView, finding
from turnsketch.job import Operation
from turnsketch.plan_records import Finding
from turnsketch.planning.changes import Changes, Stretch, changes_of, stretches_of
from turnsketch.planning.order import Order

__all__ = ["swap_saves_a_change"]


@dataclass(frozen=True)
class _Move:
    """An operation set elsewhere in the list."""

    what: int
    """Index of the operation that moves."""
    behind: int
    """Index of the one that it stands behind then."""
    changes: Changes


def swap_saves_a_change(view: PlanView) -> Iterator[Finding]:
    """An operation of the job's own list that can stand elsewhere and saves a change there.

    The list itself stays as the job has it; a proposed list has no such place.
    """
    stretches = stretches_of(view.setup.passes)
    listed = [view.settings(s.operation) for s in stretches]
    operations = [o for o in listed if o is not None]
    if len(operations) < len(stretches):
        return
    present = changes_of(stretches)
    best = min(_moves(view, stretches, operations), key=lambda m: m.changes, default=None)
    if best is None or best.changes >= present:
        return
    moved, before = stretches[best.what], stretches[best.behind]
    saved = "a tool change" if best.changes.tools < present.tools else "a gear change"
    kind = operations[best.what].kind
    yield finding(
        "order-saves-change",
        "note",
        f"operation {moved.operation} ({kind}, T{moved.tool}) can stand right after operation "
        f"{before.operation}: that saves {saved}",
        "move it there: no rule of the order speaks against it",
        operation=moved.operation,
    )


def _moves(
    view: PlanView, stretches: Sequence[Stretch], operations: Sequence[Operation]
) -> Iterator[_Move]:
    """Yield each operation moved to the front and to the back, as far as the rules let it."""
    order = Order(view.part, tuple(view.tool(n) for n in {s.tool for s in stretches}))
    for index, stretch in enumerate(stretches):
        others = [*stretches[:index], *stretches[index + 1 :]]
        for place in _places(order, operations, index):
            row = [*others[:place], stretch, *others[place:]]
            behind = stretches.index(others[place - 1])
            yield _Move(index, behind, changes_of(row))


def _places(order: Order, operations: Sequence[Operation], index: int) -> Iterator[int]:
    """Yield the places that an operation can go to, those right beside it first."""
    for place in range(index - 1, 0, -1):
        if order.reason(operations[place], operations[index]):
            break
        yield place
    for place in range(index + 1, len(operations)):
        if order.reason(operations[index], operations[place]):
            break
        yield place
