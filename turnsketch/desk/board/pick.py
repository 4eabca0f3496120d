"""What lies under the pointer: a vertex of the outline, or a section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from turnsketch.desk.board.drawing import Drawing
from turnsketch.geometry.elements import Arc, Element, Point
from turnsketch.part.outline_records import OutlineElement
from turnsketch.part.records import Place
from turnsketch.part.sketch_records import SketchSection

__all__ = ["SectionPick", "VertexPick", "pick", "place_of"]


@dataclass(frozen=True, slots=True)
class SectionPick:
    """A section of the record."""

    number: int


@dataclass(frozen=True, slots=True)
class VertexPick:
    """A vertex, one of the drawing's `all_vertices`, and the section at whose end it stands."""

    vertex: int
    number: int
    end: Literal["front", "back"]


Pick = SectionPick | VertexPick


def pick(drawing: Drawing, at: Point, reach: float, *, inside: bool = True) -> Pick | None:
    """Return what a pointer at `at` means; vertices go before sections, but in their middles.

    Parameters
    ----------
    drawing : Drawing
        What the board shows.
    at : Point
        Under the pointer; below the axis counts as its mirror picture.
    reach : float
        How near is near enough, mm.
    inside : bool
        A place inside the metal means the section that lies over it.
    """
    vertex = _vertex(drawing, at, reach)
    section = _section(drawing, at, reach, vertex)
    if vertex is not None and section is None:
        return vertex
    if section is not None or not inside:
        return section
    return _over(_seen(drawing, at)[::-1], Point(at.z, abs(at.r)))


def _seen(drawing: Drawing, at: Point) -> tuple[OutlineElement, ...]:
    """Return the elements that a pointer can mean; below the axis one looks at the outside."""
    bores = () if at.r < 0 else drawing.bores
    return (*drawing.elements, *(e for bore in bores for e in bore.wall))


def _section(
    drawing: Drawing, at: Point, reach: float, vertex: VertexPick | None
) -> SectionPick | None:
    """Return the section whose line lies under the pointer.

    Where a vertex is near as well, that means the middle third of the section: a short one on a
    small scale can still be picked.
    """
    elements, at = _seen(drawing, at), Point(at.z, abs(at.r))
    best: tuple[float, OutlineElement] | None = None
    for element in elements:
        if element.section is None:
            continue
        distance = _distance(element.shape, at)
        if distance <= reach and (best is None or distance < best[0]):
            best = distance, element
    if best is None or best[1].section is None:
        return None
    shape = best[1].shape
    if vertex is not None:
        near = min(shape.start.distance(at), shape.end.distance(at))
        if near < max(shape.length / 3.0, reach / 2.0) or best[0] > reach / 2.0:
            return None
    return SectionPick(best[1].section)


def _vertex(drawing: Drawing, at: Point, reach: float) -> VertexPick | None:
    if drawing.pencil is None:
        return None
    found = [
        (p.distance(at), v)
        for v, p in enumerate(drawing.all_vertices)
        if p.distance(at) <= reach and p.r > 1e-9
    ]
    if not found:
        return None
    vertex = min(found)[1]
    chain, local = drawing.chain_at(vertex)
    return _picked(chain.pencil.sketch.sections, local, vertex, chain.offset)


def _picked(
    sections: Sequence[SketchSection], vertex: int, told: int, offset: int
) -> VertexPick | None:
    """Return the pick of a chain's vertex: `told` is its number among all of the drawing's."""
    if vertex < len(sections) and sections[vertex].number is not None:
        behind = sections[vertex]
        if vertex == 0 or sections[vertex - 1].number is None or behind.kind == "cylinder":
            return VertexPick(told, (behind.number or 0) + offset, "front")
    if vertex > 0 and sections[vertex - 1].number is not None:
        return VertexPick(told, (sections[vertex - 1].number or 0) + offset, "back")
    return None


def _distance(shape: Element, at: Point) -> float:
    if isinstance(shape, Arc):
        return min(p.distance(at) for p in shape.chords(0.02))
    along = shape.end.minus(shape.start)
    square = along.z**2 + along.r**2
    if square == 0:
        return shape.start.distance(at)
    apart = at.minus(shape.start)
    share = min(max((apart.z * along.z + apart.r * along.r) / square, 0.0), 1.0)
    return shape.at(share).distance(at)


def _over(elements: Sequence[OutlineElement], at: Point) -> SectionPick | None:
    """Return the section that stands over a place; the elements of bores come first."""
    for element in elements:
        shape = element.shape
        low, high = sorted((shape.start.z, shape.end.z))
        if element.section is None or element.role == "face" or not low < at.z <= high:
            continue
        share = (shape.start.z - at.z) / (shape.start.z - shape.end.z)
        if at.r <= shape.start.r + share * (shape.end.r - shape.start.r) or (
            isinstance(shape, Arc) and at.distance(shape.centre) <= shape.radius
        ):
            return SectionPick(element.section)
    return None


def place_of(picked: Pick, other: Pick) -> Place:
    """Return the place that a pick means as an end of a length, seen from the other pick."""
    if isinstance(picked, VertexPick):
        return Place(picked.number, picked.end)
    return Place(picked.number, "front" if picked.number <= other.number else "back")
