"""Cutting the exact path into rows: what one handwheel at a time, or one guided move, follows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.geometry.contact_path import PathElement
from turnsketch.geometry.elements import Arc, Element, Line, split_at_extremes
from turnsketch.planning.draft import Direction
from turnsketch.planning.keep import Keep

__all__ = ["Row", "element_kind", "half_angle", "rows_of"]

_LEVEL = 1e-7
_Useful = tuple[Element, int | None]


@dataclass(frozen=True, slots=True)
class Row:
    """Path elements that one row follows."""

    elements: tuple[Element, ...]
    direction: Direction
    source: int | None
    """Index in the outline of the surface that it makes."""

    @property
    def lowest(self) -> float:
        """Smallest radius at the ends of its elements."""
        return min(p.r for e in self.elements for p in (e.start, e.end))


def rows_of(
    path: Sequence[PathElement], keep: Keep, *, sharp: bool, backwards: bool, split: bool
) -> list[Row]:
    """Return the rows of a path.

    Parameters
    ----------
    sharp : bool
        The tool has no nose: its own corner makes the surface.
    backwards : bool
        The tool cuts away from the chuck: rows run from back to front.
    split : bool
        Arcs are split where they turn from rising to falling: the crest of a ball has its own
        reading, and its back may have to wait until the metal behind it is gone.

    What only slides on a flank, on the insert's far corners or about a vertex makes no surface
    and is left out.
    """
    making = ("nose", "corner") if sharp else ("nose",)
    useful: list[_Useful] = [
        (element.shape, None if element.source is None else keep.sources[element.source])
        for element in path
        if element.contact in making
    ]
    if split:
        useful = [
            (part, source)
            for shape, source in useful
            for part in split_at_extremes(shape, along=False)
        ]
    if backwards:
        useful = [(shape.reverse(), source) for shape, source in reversed(useful)]
    useful = _merged(useful)
    rows: list[Row] = []
    index = 0
    while index < len(useful):
        taken, row = _next_row(useful, index)
        index += taken
        if row is not None:
            rows.append(row)
    return rows


def _merged(useful: list[_Useful]) -> list[_Useful]:
    """Join straight elements that run on in the same direction (a cylinder and the neck)."""
    merged: list[_Useful] = []
    for shape, source in useful:
        if merged and isinstance(shape, Line) and isinstance(merged[-1][0], Line):
            before, first = merged[-1]
            a, b = before.end_direction, shape.start_direction
            aligned = abs(a.z * b.r - a.r * b.z) < 1e-9 and a.z * b.z + a.r * b.r > 0
            same = source is None or first is None or source == first
            if aligned and same and before.end.distance(shape.start) < 1e-6:
                merged[-1] = (Line(before.start, shape.end), first if first is not None else source)
                continue
        merged.append((shape, source))
    return merged


def _next_row(useful: list[_Useful], index: int) -> tuple[int, Row | None]:
    """Return how many elements the next row takes, and the row."""
    shape, source = useful[index]
    kind = element_kind(shape)
    if kind in ("arc", "taper"):
        made: list[Element] = [shape]
        if index + 1 < len(useful):
            following = useful[index + 1][0]
            if element_kind(following) == "out" and following.start.distance(shape.end) < 1e-6:
                made.append(following)
        return len(made), Row(tuple(made), "arc" if kind == "arc" else "taper", source)
    chain = [shape]
    surface = source if kind == "turn" else None
    order = {"in": ("turn",), "turn": ("out",), "out": ()}
    while index + len(chain) < len(useful):
        following, of = useful[index + len(chain)]
        joined = following.start.distance(chain[-1].end) < 1e-6
        if not joined or element_kind(following) not in order[element_kind(chain[-1])]:
            break
        surface = of if element_kind(following) == "turn" else surface
        chain.append(following)
    alone = kind in ("in", "out") and len(chain) == 1
    if (source if alone else surface) is None:
        return len(chain), None  # the neck and the bar's front wall are no surface of the part
    return len(chain), Row(tuple(chain), "face" if alone else "turn", source if alone else surface)


def element_kind(shape: Element) -> str:
    """Return "turn" (level), "in" or "out" (upright, toward or away from the axis), or the rest."""
    if isinstance(shape, Arc):
        return "arc"
    if abs(shape.start.r - shape.end.r) < _LEVEL:
        return "turn"
    if abs(shape.start.z - shape.end.z) < _LEVEL:
        return "out" if shape.end.r > shape.start.r else "in"
    return "taper"


def half_angle(row: Row) -> float | None:
    """Return the taper's angle to the axis, positive when it grows toward the chuck."""
    line = row.elements[0]
    if row.direction != "taper" or not isinstance(line, Line):
        return None
    direction = line.start_direction
    return math.atan2(direction.r, -direction.z)
