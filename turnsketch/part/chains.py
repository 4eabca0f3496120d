"""Chains of dimensions, closed exactly: a weighted union-find in fractions.

Places are numbered; a link says how far one place lies before another. Links that join two
chains that were apart make the tree, the dimensions that *fix*; a link between two places that
already hang together closes a chain, and either repeats the others or contradicts them. Because
everything is exact, the gap is the print's own and never a rounding error.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["Chains", "Closure", "Link", "Member", "close_chains"]


@dataclass(frozen=True, slots=True)
class Link:
    """``position(start) - position(end) = size``, from dimension number `dimension`."""

    start: int
    end: int
    size: Fraction
    dimension: int


@dataclass(frozen=True, slots=True)
class Member:
    """A link of a closed chain, travelled along (+1) or against (-1) its own direction."""

    link: int
    sign: int


@dataclass(frozen=True, slots=True)
class Closure:
    """A chain that link number `link` closes.

    Going round by `path` from the link's start to its end gives ``size(link) + gap``: the gap is
    positive when the others come out longer than the link, negative when shorter, 0 when the
    link only repeats them.
    """

    link: int
    path: tuple[Member, ...]
    gap: Fraction


@dataclass(frozen=True, slots=True)
class Chains:
    """What hangs together, and how."""

    root: tuple[int, ...]
    """For each place, the number of the place that names its chain (the lowest in it)."""
    offset: tuple[Fraction, ...]
    """Position of each place minus that of its root."""
    tree: tuple[int, ...]
    """Numbers of the links that fix."""
    closures: tuple[Closure, ...]


class _Forest:
    """Union-find whose edges carry a weight, with its paths kept for naming."""

    def __init__(self, places: int) -> None:
        self.parent = list(range(places))
        self.weight = [Fraction(0)] * places
        self.neighbours: list[list[tuple[int, Member]]] = [[] for _ in range(places)]

    def find(self, place: int) -> tuple[int, Fraction]:
        """Return the root of `place` and the position of the place minus that of the root."""
        trail: list[int] = []
        while self.parent[place] != place:
            trail.append(place)
            place = self.parent[place]
        total = Fraction(0)
        for step in reversed(trail):
            total += self.weight[step]
            self.parent[step], self.weight[step] = place, total
        return place, total

    def join(self, number: int, link: Link) -> Fraction | None:
        """Join the two ends; return how much the others exceed the link, or null when joined."""
        (a, a_offset), (b, b_offset) = self.find(link.start), self.find(link.end)
        if a == b:
            return a_offset - b_offset - link.size
        low, high = min(a, b), max(a, b)
        between = link.size + b_offset - a_offset
        self.parent[high] = low
        self.weight[high] = between if high == a else -between
        self.neighbours[link.start].append((link.end, Member(number, 1)))
        self.neighbours[link.end].append((link.start, Member(number, -1)))
        return None

    def path(self, start: int, end: int) -> tuple[Member, ...]:
        """Return the links from `start` to `end` through the tree."""
        came: dict[int, tuple[int, Member] | None] = {start: None}
        queue = deque([start])
        while end not in came:
            place = queue.popleft()
            for other, member in self.neighbours[place]:
                if other not in came:
                    came[other] = (place, member)
                    queue.append(other)
        members: list[Member] = []
        step = came[end]
        while step is not None:
            members.append(step[1])
            step = came[step[0]]
        return tuple(reversed(members))


def close_chains(places: int, links: Sequence[Link]) -> Chains:
    """Return the chains that `links` make of ``places`` places.

    Parameters
    ----------
    places : int
        Number of places; links use 0 .. places - 1.
    links : sequence of Link
        In order of preference: of a closed chain's links the last is the one that closes it.
    """
    forest = _Forest(places)
    tree: list[int] = []
    closures: list[Closure] = []
    for number, link in enumerate(links):
        gap = forest.join(number, link)
        if gap is None:
            tree.append(number)
        else:
            closures.append(Closure(number, forest.path(link.start, link.end), gap))
    found = [forest.find(place) for place in range(places)]
    return Chains(
        tuple(root for root, _ in found),
        tuple(offset for _, offset in found),
        tuple(tree),
        tuple(closures),
    )
