"""Exact meeting points of the curves that bound a no-go region, and their check.

Two neighbouring runs meet where their curves share an end, where one or two short curves that
vanished between chords link them, or where their carriers cross (in that order). Every join is
then verified against the exact outline: it lies on both curves, the nose stands at its radius from
the metal, and no corner of the metal stands in the tool.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.geometry._candidates import Candidate
from turnsketch.geometry._labels import Run
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Arc, Line, Point
from turnsketch.geometry.intersect import crossings, distance, fraction_at

__all__ = ["Joined", "joined"]

NEAR = 0.05
"""A join is sought this near to where the chords meet."""

BLOCKED = 1e-2
"""Edges of blocked regions are given as chords that end where chords cross."""

TANGENT = 1e-12
"""Carriers this near to touching meet in one point."""


@dataclass(slots=True)
class Joined:
    """A run with exact ends."""

    curve: Candidate
    start: Point
    end: Point
    sure: bool = True
    """The join at `start` was found in closed form."""
    end_sure: bool = True
    """The join at `end` was."""


def joined(runs: Sequence[Run], order: dict[Candidate, int]) -> list[Joined]:
    """Return the cyclic `runs` with exact ends, runs that only chords made left out.

    Parameters
    ----------
    runs : sequence of Run
        In order along the edge of the region.
    order : dict
        Place of every curve in the order in which its piece slides along the outline; curves that
        follow one another have following numbers.
    """
    by_number = {number: curve for curve, number in order.items()}
    current = list(runs)
    while True:
        stretches: list[Joined] = []
        for index, run in enumerate(current):
            before = current[index - 1]
            stretches += _meet(before, run, order, by_number)
        _set_ends(stretches)
        wrong = _backward(stretches)
        if wrong is None or len(current) < 3:
            return stretches
        curve = stretches[wrong].curve
        kept = [
            run for run in current if run.curve is not curve or not _same(run, stretches[wrong])
        ]
        if len(kept) == len(current):
            return stretches
        current = kept


def _same(run: Run, stretch: Joined) -> bool:
    return run.start.distance(stretch.start) < 2 * NEAR


def _set_ends(stretches: list[Joined]) -> None:
    for index, stretch in enumerate(stretches):
        after = stretches[(index + 1) % len(stretches)]
        stretch.end, stretch.end_sure = after.start, after.sure


def _backward(stretches: Sequence[Joined]) -> int | None:
    """Return the first stretch without length, or whose end lies before its start."""
    for index, stretch in enumerate(stretches):
        if stretch.start.distance(stretch.end) <= EXACT:
            if stretch.curve.shape.length <= 1.0:
                return index
            continue
        shape = stretch.curve.shape
        if stretch.curve.contact == "blocked":
            continue
        if fraction_at(shape, stretch.end) <= fraction_at(shape, stretch.start):
            return index
    return None


def _meet(
    before: Run, run: Run, order: dict[Candidate, int], by_number: dict[int, Candidate]
) -> list[Joined]:
    """Return `run` with its exact start, after the short curves that link it to `before`."""
    a, b, vertex = before.curve, run.curve, run.start
    if _meets(a, b, vertex):
        return [Joined(b, b.shape.start, run.end)]
    links = _links(a, b, vertex, order, by_number)
    if links:
        return [Joined(link, link.shape.start, link.shape.end) for link in (*links, b)]
    point = _crossing(a, b, vertex)
    if point is None:
        return [Joined(b, vertex, run.end, sure=False)]
    return [Joined(b, point, run.end)]


def _meets(a: Candidate, b: Candidate, vertex: Point) -> bool:
    end, start = a.shape.end, b.shape.start
    return end.distance(start) <= EXACT and start.distance(vertex) <= NEAR


def _links(
    a: Candidate,
    b: Candidate,
    vertex: Point,
    order: dict[Candidate, int],
    by_number: dict[int, Candidate],
) -> list[Candidate]:
    """Return one or two curves that lead from the end of `a` to the start of `b`."""
    first, last = order.get(a), order.get(b)
    if first is None or last is None or not 2 <= last - first <= 3:
        return []
    between = [by_number[number] for number in range(first + 1, last)]
    chain = [a, *between, b]
    fits = all(_meets(x, y, vertex) for x, y in zip(chain, chain[1:], strict=False))
    return between if fits else []


def _crossing(a: Candidate, b: Candidate, vertex: Point) -> Point | None:
    """Return where the two curves cross, nearest to `vertex`; None when they do not."""
    found = [
        point
        for point in crossings(a.shape, b.shape, TANGENT)
        if point.distance(vertex) <= NEAR and _holds(a, point) and _holds(b, point)
    ]
    ends = [p for p in (a.shape.end, b.shape.start) if p.distance(vertex) <= NEAR]
    found += [p for p in ends if distance(a.shape, p) <= EXACT and distance(b.shape, p) <= EXACT]
    # On curves that coincide for a while, the chords' own vertex is as exact as any place.
    if not found and _holds(a, vertex) and _holds(b, vertex):
        return vertex
    return min(found, key=vertex.distance, default=None)


def _holds(curve: Candidate, point: Point) -> bool:
    within = BLOCKED if curve.contact == "blocked" else EXACT
    return distance(curve.shape, point) <= within
