"""Length, area, volume and mass of an outline, in closed form.

Each element, with its chord to the axis, adds a trapezium; an arc adds the segment between it and
its chord. The segment's area is ``R^2 (s - sin s) / 2`` and its moment about the centre
``2/3 R^3 sin^3(s/2)`` along its bisector (s the sweep), which stays exact for flat arcs where the
integral of the arc itself loses its digits. Volumes are Pappus' theorem: ``2 pi`` times the first
moment of the area about the axis. Millimetres throughout; areas and volumes are positive for a
chain that runs as an outline does (metal on the left) and negative for the reversed one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Point, chain_chords
from turnsketch.part.outline_records import Outline

__all__ = [
    "area",
    "centroid",
    "elements_area",
    "elements_volume",
    "length",
    "mass_kg",
    "ring",
    "volume",
]

MM3_PER_M3 = 1e9


@dataclass(frozen=True, slots=True)
class _Moments:
    """Area and first moments of a plane shape: about r = 0 (`about_axis`) and about z = 0."""

    area: float
    about_axis: float
    about_zero: float


def length(outline: Outline) -> float:
    """Return the length along the outline, in mm."""
    return math.fsum(element.shape.length for element in outline.elements)


def area(outline: Outline) -> float:
    """Return the area between the outline and the axis (half of the full section), in mm²."""
    return elements_area(_shapes(outline))


def volume(outline: Outline) -> float:
    """Return the volume of the body of revolution, in mm³ (Pappus)."""
    return elements_volume(_shapes(outline))


def centroid(outline: Outline) -> Point:
    """Return the centroid of the half section.

    Raises
    ------
    InputError
        The outline encloses no area.
    """
    moments = _moments(_shapes(outline))
    if moments.area == 0.0:
        raise InputError("the outline encloses no area; give the sections a length and a diameter")
    return Point(moments.about_zero / moments.area, moments.about_axis / moments.area)


def mass_kg(outline: Outline, density_kg_m3: float) -> float:
    """Return the mass of the body of revolution in kilograms."""
    return volume(outline) / MM3_PER_M3 * density_kg_m3


def elements_area(elements: Iterable[Element]) -> float:
    """Return the signed area between a chain and the axis, or inside a closed ring, in mm²."""
    return _moments(elements).area


def elements_volume(elements: Iterable[Element]) -> float:
    """Return the signed volume that a chain or a closed ring sweeps about the axis, in mm³."""
    return 2.0 * math.pi * _moments(elements).about_axis


def ring(outline: Outline, chord: float) -> tuple[Point, ...]:
    """Return the half section as a polygon, closed along the axis, no vertex repeated.

    Parameters
    ----------
    outline : Outline
        Its first and last point need not lie on the axis.
    chord : float
        Largest gap between an arc and its chords, in mm. Chords lie inside convex arcs.
    """
    points = chain_chords(_shapes(outline), chord)
    if points[-1].r != 0.0:
        points.append(Point(points[-1].z, 0.0))
    if points[0].r != 0.0:
        points.append(Point(points[0].z, 0.0))
    return tuple(points)


def _shapes(outline: Outline) -> Sequence[Element]:
    return [element.shape for element in outline.elements]


def _moments(elements: Iterable[Element]) -> _Moments:
    """Return the moments of the region between a chain and the axis (the axis itself adds none)."""
    parts: list[_Moments] = []
    for element in elements:
        parts.append(_under_chord(element.start, element.end))
        if isinstance(element, Arc):
            parts.append(_segment(element))
    return _Moments(
        math.fsum(p.area for p in parts),
        math.fsum(p.about_axis for p in parts),
        math.fsum(p.about_zero for p in parts),
    )


def _under_chord(start: Point, end: Point) -> _Moments:
    """Return the moments of the trapezium between a chord and the axis, positive toward -z."""
    width = start.z - end.z
    return _Moments(
        width * (start.r + end.r) / 2.0,
        width * (start.r * start.r + start.r * end.r + end.r * end.r) / 6.0,
        width * (start.z * (2.0 * start.r + end.r) + end.z * (start.r + 2.0 * end.r)) / 6.0,
    )


def _segment(arc: Arc) -> _Moments:
    """Return the moments of the segment between an arc and its chord, positive for "ccw"."""
    radius, sweep = arc.radius, arc.sweep
    size = radius * radius * _less_its_sine(sweep) / 2.0
    reach = 2.0 / 3.0 * radius**3 * math.sin(sweep / 2.0) ** 3
    middle = arc.start_angle + sweep / 2.0
    return _Moments(
        size,
        size * arc.centre.r + reach * math.sin(middle),
        size * arc.centre.z + reach * math.cos(middle),
    )


def _less_its_sine(angle: float) -> float:
    """Return ``angle - sin(angle)`` without loss of digits near zero (Taylor series there)."""
    if abs(angle) > 0.5:
        return angle - math.sin(angle)
    term = angle**3 / 6.0
    total, order = 0.0, 3
    while abs(term) > abs(total) * 1e-18 and order < 40:
        total += term
        term *= -angle * angle / ((order + 1) * (order + 2))
        order += 2
    return total
