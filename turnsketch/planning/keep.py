"""What must still stand after an operation: part, allowance, and the bar that holds it.

Without the bar the metal behind the part would be air to the planner, and it would be turned to
nothing. The bar begins an overrun behind the back face, so that the last section can be turned
past its end; a neck of the last section's radius joins the two.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import Polygon, box, clip_by_rect, union_all
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Element, Line, Point, chain_chords
from turnsketch.geometry.minkowski import no_go
from turnsketch.part.outline_records import JoinKind, Outline, ResolvedPart
from turnsketch.planning.holding import HeldBlank

__all__ = ["Keep", "keep_of", "keep_region", "part_area", "with_allowance"]


@dataclass(frozen=True, slots=True)
class Keep:
    """The exact chain that a finishing tool may slide along, from the axis to the bar's outside."""

    elements: tuple[Element, ...]
    joins: tuple[JoinKind, ...]
    sources: tuple[int | None, ...]
    """For each element, its index in the outline; null for neck, bar and what stays in front."""


def keep_of(outline: Outline, held: HeldBlank, overrun: float) -> Keep:
    """Return the chain of the part joined to the bar by a neck.

    Parameters
    ----------
    outline : Outline
        The part as it must come out (chamfers that another tool cuts may be left out).
    held : HeldBlank
        The blank; the bar keeps its radius.
    overrun : float
        Length between the back face and the bar.
    """
    elements: list[Element] = [e.shape for e in outline.elements]
    joins: list[JoinKind] = list(outline.joins)
    sources: list[int | None] = [
        None if e.role in ("cylinder", "taper") and e.section is None else index
        for index, e in enumerate(outline.elements)
    ]
    last = elements[-1]
    if isinstance(last, Line) and last.start.z == last.end.z and len(elements) > 1:
        elements.pop()
        sources.pop()
        joins.pop()
    end = elements[-1].end
    wall = end.z - overrun
    if end.r > 1e-6 and overrun > 1e-6:
        neck = Line(end, Point(wall, end.r))
        joins.append(_join(elements[-1], neck))
        elements.append(neck)
        sources.append(None)
    if held.behind > end.r + 1e-6:
        rise = Line(Point(wall, end.r), Point(wall, held.behind))
        joins.append(_join(elements[-1], rise))
        elements.append(rise)
        sources.append(None)
    return Keep(tuple(elements), tuple(joins), tuple(sources))


def _join(before: Element, after: Element) -> JoinKind:
    a, b = before.end_direction, after.start_direction
    turn = a.z * b.r - a.r * b.z
    if abs(turn) < 1e-9:
        return "smooth"
    return "convex" if turn > 0 else "reflex"


def keep_region(elements: Sequence[Element], held: HeldBlank, chord: float) -> Polygon:
    """Return the half section that the chain bounds, with the bar back to the blank's end."""
    points = chain_chords(elements, chord)
    start, end = points[0], points[-1]
    ring = [*points, Point(held.back, end.r), Point(held.back, 0.0), Point(start.z, 0.0)]
    shape = Polygon(ring)
    return shape if shape.is_valid else shape.buffer(0)


def part_area(part: ResolvedPart, metal: BaseGeometry) -> float:
    """Return the area of `metal` in front of the part's back face: what is worth cutting."""
    _, _, high, top = metal.bounds
    back = -part.total_length
    return 0.0 if high <= back else float(clip_by_rect(metal, back, -1.0, high, top + 1.0).area)


def with_allowance(keep: BaseGeometry, x: float, z: float, wall: float) -> BaseGeometry:
    """Return `keep` grown by `x` along r and `z` along z on both sides, the bar left as it is.

    Parameters
    ----------
    wall : float
        z behind which nothing is added (the bar is not to be finished).
    """
    if x <= 0 and z <= 0:
        return keep
    grown = no_go(keep, [Point(-z, -x), Point(z, -x), Point(z, x), Point(-z, x)])
    front = box(wall, 0.0, grown.bounds[2] + 1.0, grown.bounds[3] + 1.0)
    return union_all([grown.intersection(front), keep])
