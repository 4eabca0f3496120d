"""A convex piece of a tool, and how its outline is closed."""

from __future__ import annotations

import functools
import itertools
from dataclasses import dataclass

from turnsketch.geometry.elements import Arc, Element, Line, Point, chain_chords, split_at_extremes

__all__ = ["Piece", "closed"]

_KEPT = 512
"""Rings kept: a shop has some dozens of tools, each with a few pieces."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A convex part of a tool: its closed outline, counterclockwise, around the reference."""

    name: str
    cuts: bool
    outline: tuple[Element, ...]

    def ring(self, chord: float) -> tuple[Point, ...]:
        """Return the outline as an open list of vertices, arcs within `chord`, no repeat.

        The outermost places of arcs are always vertices: cylinders and faces come out exact.
        """
        return _ring(self.outline, chord)


@functools.lru_cache(maxsize=_KEPT)
def _ring(outline: tuple[Element, ...], chord: float) -> tuple[Point, ...]:
    parts = [part for element in outline for part in split_at_extremes(element)]
    return tuple(chain_chords(parts, chord)[:-1])


def closed(points: list[Point], nose: Arc | None) -> tuple[Element, ...]:
    """Close a ring that begins where `nose` ends (or at the first point) and runs ccw."""
    elements: list[Element] = [nose] if nose else []
    chain = [nose.end, *points, nose.start] if nose else [*points, points[0]]
    elements += [Line(a, b) for a, b in itertools.pairwise(chain) if a.distance(b) > 1e-9]
    return tuple(elements)
