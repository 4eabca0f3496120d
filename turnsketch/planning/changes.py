"""Changes of tool and gear step: how many an order of work has, and the order with the fewest.

What has to stay before what is asked of `planning/order.py`. A tool in the tailstock takes no
place in the post: the turning tool stays there and goes on afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from turnsketch.plan_records import Pass

__all__ = ["Changes", "Stretch", "changes_of", "fewest_changes", "in_tailstock", "stretches_of"]


@dataclass(frozen=True, slots=True, order=True)
class Changes:
    """How often something has to be changed; a tool costs more than a lever."""

    tools: int
    """A tool in the post changed for another one, or one put in the tailstock."""
    gears: int
    """Levers shifted between two passes."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """One operation, as far as changes go."""

    operation: int
    """Its number."""
    tool: int
    tailstock: bool
    first_rpm: float
    last_rpm: float
    inner: int = 0
    """Gear changes inside it."""


@dataclass(frozen=True, slots=True)
class _Stand:
    """What is in the lathe, and where its levers stand; nothing before the first pass."""

    post: int | None = None
    tail: int | None = None
    rpm: float | None = None


def in_tailstock(step: Pass) -> bool:
    """Return whether the pass's tool stands in the tailstock."""
    return step.direction == "drill"


def stretches_of(passes: Iterable[Pass]) -> list[Stretch]:
    """Return the operations of a setup in their order; those without a pass have no place."""
    found: list[Stretch] = []
    for number, group in groupby(passes, key=lambda p: p.operation_number):
        made = list(group)
        speeds = [p.rpm for p in made]
        inner = sum(a != b for a, b in pairwise(speeds))
        first = made[0]
        found.append(Stretch(number, first.tool, in_tailstock(first), speeds[0], speeds[-1], inner))
    return found


def changes_of(stretches: Iterable[Stretch]) -> Changes:
    """Return how many changes an order of work has; the first tool in the post is none."""
    stand, tools, gears = _Stand(), 0, 0
    for stretch in stretches:
        stand, cost = _after(stand, stretch)
        tools, gears = tools + cost.tools, gears + cost.gears + stretch.inner
    return Changes(tools, gears)


def _after(stand: _Stand, stretch: Stretch) -> tuple[_Stand, Changes]:
    """Return what stands after an operation, and what changes before its first pass."""
    if stretch.tailstock:
        changed = stretch.tool != stand.tail
        now = _Stand(stand.post, stretch.tool, stretch.last_rpm)
    else:
        changed = stand.post is not None and stretch.tool != stand.post
        now = _Stand(stretch.tool, stand.tail, stretch.last_rpm)
    shifted = stand.rpm is not None and stretch.first_rpm != stand.rpm
    return now, Changes(int(changed), int(shifted))


def fewest_changes(
    stretches: Sequence[Stretch], stays_before: Callable[[int, int], bool]
) -> tuple[int, ...]:
    """Return the indices in the order with the fewest tool changes, then the fewest gear changes.

    Parameters
    ----------
    stretches : sequence of Stretch
        The operations in the order they have.
    stays_before : callable
        Whether the operation of the first index may not come after that of the second, which
        stands behind it now.

    Notes
    -----
    Among equals the order stays as near as it can to the one given. All orders that the rules
    allow are weighed: what is in the lathe and what is done tell all that the rest depends on.
    """
    count = len(stretches)
    needs = [{i for i in range(j) if stays_before(i, j)} for j in range(count)]
    best: dict[tuple[frozenset[int], _Stand], tuple[int, int, tuple[int, ...]]] = {
        (frozenset(), _Stand()): (0, 0, ())
    }
    for _ in range(count):
        grown: dict[tuple[frozenset[int], _Stand], tuple[int, int, tuple[int, ...]]] = {}
        for (done, stand), (tools, gears, path) in best.items():
            for index in range(count):
                if index in done or not needs[index] <= done:
                    continue
                now, cost = _after(stand, stretches[index])
                key = (done | {index}, now)
                value = (tools + cost.tools, gears + cost.gears, (*path, index))
                grown[key] = min(grown.get(key, value), value)
        best = grown
    return min(best.values())[2]
