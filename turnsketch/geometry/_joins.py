"""Exact meeting points of the curves that bound a no-go region, and their check.

Two neighbouring runs meet where their curves share an end, where one or two short curves that
vanished between chords link them, or where their carriers cross (in that order). Every join is
then verified against the exact outline: it lies on both curves, the nose stands at its radius from
the metal, and no corner of the metal stands in the tool.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.geometry._candidates import Candidate
from turnsketch.geometry._labels import Run, merged
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Point
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
    best, owners = _all_met(current, order, by_number)
    while len(current) > 2:
        wrong = _backward(best)
        doubt = _short_doubt(best) if wrong is None else None
        drop = wrong if wrong is not None else doubt
        if drop is None:
            break
        # One at a time: curves that nearly coincide alternate several times between chords.
        fewer = merged([run for i, run in enumerate(current) if i != owners[drop]])
        stretches, numbers = _all_met(fewer, order, by_number)
        if wrong is None and _doubts(stretches) >= _doubts(best):
            break
        current, best, owners = fewer, stretches, numbers
    return best


def _all_met(
    runs: Sequence[Run], order: dict[Candidate, int], by_number: dict[int, Candidate]
) -> tuple[list[Joined], list[int]]:
    """Return the runs with exact ends, and for each the index of the run that it comes from."""
    stretches: list[Joined] = []
    owners: list[int] = []
    for index, run in enumerate(runs):
        met = _meet(runs[index - 1], run, order, by_number)
        stretches += met
        owners += [index] * len(met)
    _set_ends(stretches)
    return stretches, owners


def _doubts(stretches: Sequence[Joined]) -> int:
    return sum(not stretch.sure for stretch in stretches)


def _short_doubt(stretches: Sequence[Joined]) -> int | None:
    """Return the shorter of two runs that do not meet, when it may be there for chords alone."""
    for index, stretch in enumerate(stretches):
        if not stretch.sure:
            pair = [index, (index - 1) % len(stretches)]
            lengths = [stretches[i].start.distance(stretches[i].end) for i in pair]
            if min(lengths) <= NEAR:
                return pair[lengths.index(min(lengths))]
    return None


def _set_ends(stretches: list[Joined]) -> None:
    for index, stretch in enumerate(stretches):
        after = stretches[(index + 1) % len(stretches)]
        stretch.end, stretch.end_sure = after.start, after.sure


def _backward(stretches: Sequence[Joined]) -> int | None:
    """Return the first stretch without length, or whose end lies before its start."""
    for index, stretch in enumerate(stretches):
        if stretch.start.distance(stretch.end) <= EXACT:
            return index
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
    fits = all(_meets(x, y, vertex) for x, y in itertools.pairwise(chain))
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
