"""The finished part as a region: what the replay compares with, and what pictures show.

Turning works to the outline without grooves (another tool makes them); the finished part has them.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import chain_chords
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import Outline, ResolvedBore, ResolvedPart
from turnsketch.part.turned import bore_grooves, turned_element
from turnsketch.plan_records import Ring

__all__ = ["finished_outline", "part_region", "part_surfaces", "void_region"]


def finished_outline(part: ResolvedPart) -> Outline:
    """Return the aimed outside with its chamfers, rounds and grooves."""
    return grooved(part.aim, part.grooves)


def part_region(part: ResolvedPart, chord: float) -> BaseGeometry:
    """Return the half section (r >= 0) of the finished part, part frame.

    Parameters
    ----------
    part : ResolvedPart
        Outside, grooves and bores.
    chord : float
        Largest gap between arcs and their chords, millimetres.
    """
    points = chain_chords([e.shape for e in finished_outline(part).elements], chord)
    solid: BaseGeometry = Polygon(points)
    hole = _bores(part, chord)
    return solid if hole is None else solid.difference(hole)


def part_surfaces(part: ResolvedPart, chord: float) -> Iterator[tuple[int, Ring]]:
    """Yield (section number, polyline) for every stretch of a section, outside and in bores."""
    for element in finished_outline(part).elements:
        if element.section is not None:
            yield element.section, tuple(element.shape.chords(chord))
    for bore, back in ((part.bore, False), (part.bore_back, True)):
        for element in () if bore is None else _finished_void(part, back).elements:
            if element.section is not None:
                shape = turned_element(element.shape, part.total_length) if back else element.shape
                yield element.section, tuple(shape.chords(chord))


def void_region(bore: ResolvedBore, chord: float) -> Polygon:
    """Return the half section of a bore's void, in the frame that has its mouth in front."""
    return _polygon(bore.aim, chord)


def _polygon(void: Outline, chord: float) -> Polygon:
    return Polygon(chain_chords([e.shape for e in void.elements], chord))


def _finished_void(part: ResolvedPart, back: bool) -> Outline:
    """Return the void of a bore with its grooves, in the frame that has its mouth in front."""
    bore = part.bore_back if back else part.bore
    assert bore is not None
    return grooved(bore.aim, bore_grooves(part, back=back), inside=True)


def _bores(part: ResolvedPart, chord: float) -> BaseGeometry | None:
    """Return the half section of the part's bores, part frame; None when it has none."""
    voids: list[BaseGeometry] = []
    if part.bore is not None:
        voids.append(_polygon(_finished_void(part, False), chord))
    if part.bore_back is not None:
        back = _polygon(_finished_void(part, True), chord)
        length = part.total_length
        voids.append(shapely.transform(back, lambda zr: zr * (-1.0, 1.0) + (-length, 0.0)))
    return shapely.union_all(voids) if voids else None
