"""The wall that a groove leaves: from its bottom to the bore, or from a bore's groove outward.

Outside and bores are looked at along upright lines, grooves of both sides included. Millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from turnsketch.geometry.elements import Point, chain_chords
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import Outline, ResolvedGroove, ResolvedPart
from turnsketch.part.turned import bore_grooves, turned_point

__all__ = ["GrooveWall", "groove_walls"]

_CHORD = 1e-3
_BESIDE = 1e-6
"""An upright wall is looked at just beside it."""


@dataclass(frozen=True, slots=True)
class GrooveWall:
    """Where the metal under a groove is thinnest."""

    thickness: float
    """Radial; nothing or less: the groove cuts through."""
    z: float
    """Part frame."""
    diameter: float
    """Of the outside there."""


def groove_walls(part: ResolvedPart) -> list[tuple[ResolvedGroove, GrooveWall]]:
    """Return the part's grooves with a bore under them, each with the thinnest wall it leaves.

    Parameters
    ----------
    part : ResolvedPart
        With its bores and all its grooves.
    """
    voids = list(_voids(part))
    if not voids or not part.grooves:
        return []
    outside = _chain(grooved(part.aim, part.grooves))
    walls = ((groove, _wall(groove, outside, voids)) for groove in part.grooves)
    return [(groove, wall) for groove, wall in walls if wall is not None]


def _wall(
    groove: ResolvedGroove, outside: Sequence[Point], voids: Sequence[Sequence[Point]]
) -> GrooveWall | None:
    low, high = _extent(groove)
    found: list[GrooveWall] = []
    for z in _places((outside, *voids), low, high):
        hole = max((r for void in voids for r in _crossings(void, z)), default=0.0)
        outer = min(_crossings(outside, z), default=math.inf)
        if hole > 0 and math.isfinite(outer):
            found.append(GrooveWall(outer - hole, z, 2 * outer))
    return min(found, key=lambda wall: wall.thickness, default=None)


def _extent(groove: ResolvedGroove) -> tuple[float, float]:
    ends = [p.z for p in chain_chords(groove.elements, _CHORD)]
    return min(ends), max(ends)


def _voids(part: ResolvedPart) -> Iterator[list[Point]]:
    """Yield the chain of each bore's void with its grooves, part frame."""
    length = part.total_length
    for bore, back in ((part.bore, False), (part.bore_back, True)):
        if bore is None:
            continue
        chain = _chain(grooved(bore.aim, bore_grooves(part, back=back), inside=True))
        yield [turned_point(p, length) for p in chain] if back else chain


def _chain(outline: Outline) -> list[Point]:
    return chain_chords([e.shape for e in outline.elements], _CHORD)


def _places(chains: Iterable[Sequence[Point]], low: float, high: float) -> list[float]:
    """Return every z at which a wall may be thinnest: beside all corners of the chains."""
    corners = {p.z for chain in chains for p in chain if low <= p.z <= high}
    beside = (z + way * _BESIDE for z in corners for way in (-1.0, 1.0))
    return sorted(z for z in beside if low < z < high)


def _crossings(chain: Sequence[Point], z: float) -> Iterator[float]:
    """Yield the radii at which an upright line meets a chain."""
    for a, b in pairwise(chain):
        if min(a.z, b.z) < z < max(a.z, b.z):
            yield a.r + (b.r - a.r) * (z - a.z) / (b.z - a.z)
