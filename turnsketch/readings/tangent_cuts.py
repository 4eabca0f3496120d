"""Tangent cuts: an arc made by a few straight cuts of the top slide, instead of many steps.

Around a convex arc the cuts touch the surface and cross between: with the radius P of the path and
the angle d between two cuts, ``P (1 / cos(d / 2) - 1)`` stays at the corners. In a hollow they are
chords of the path, and ``P (1 - cos(d / 2))`` stays in their middle. Plane geometry.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Final

from turnsketch.geometry.constants import TOUCH
from turnsketch.geometry.elements import Arc, Element, Point
from turnsketch.plan_records import TangentCut
from turnsketch.readings.moves import Rounder
from turnsketch.readings.step_cusps import whole_steps
from turnsketch.readings.tapers import scale_reading_deg
from turnsketch.rounding import RoundMode
from turnsketch.shop.records import TopSlide

__all__ = ["tangent_count", "tangent_cuts"]

_RUN_IN_MM: Final = 1.0
"""Around a convex arc a cut begins so far before its corner, in the air of the one before."""


def tangent_count(arc: Arc, limit_mm: float) -> int:
    """Return the fewest cuts along an arc of the path that leave no more than `limit_mm`."""
    if arc.turn == "ccw":
        half = math.acos(arc.radius / (arc.radius + limit_mm))
    else:
        half = math.acos(max(0.0, 1 - limit_mm / arc.radius))
    return whole_steps(abs(arc.sweep) / (2 * half))


def tangent_cuts(
    path: Sequence[Element], limit_mm: float, rounder: Rounder, slide: TopSlide
) -> tuple[TangentCut, ...]:
    """Return straight cuts along a path that leave no more than `limit_mm`.

    Parameters
    ----------
    path : sequence of Line or Arc
        Way of the reference point on outside work, front to back, part on its left.
    limit_mm : float
        Greatest height of what may stay, millimetres, > 0.
    rounder : Rounder
        Steps of the readout.
    slide : TopSlide
        Its travel, its greatest angle, and what its scale shows.

    Returns
    -------
    tuple of TangentCut
        Empty where the slide is too short for one of them or does not swivel so far.
    """
    found: list[TangentCut] = []
    for element in path:
        for start, end in _stretches(element, limit_mm):
            cut = _cut(start, end, rounder, slide)
            if cut is None:
                return ()
            found.append(cut)
    return tuple(found)


def _stretches(element: Element, limit_mm: float) -> Iterator[tuple[Point, Point]]:
    """Yield the ends of the cuts along one element."""
    if not isinstance(element, Arc):
        if element.length > TOUCH:
            yield element.start, element.end
        return
    count = tangent_count(element, limit_mm)
    convex = element.turn == "ccw"
    share = 1 / math.cos(abs(element.sweep) / count / 2) if convex else 1.0
    centre = element.centre
    corners = [
        centre.plus(element.at(i / count).minus(centre).times(share)) for i in range(count + 1)
    ]
    for a, b in itertools.pairwise(corners):
        run_in = b.minus(a).times(_RUN_IN_MM / a.distance(b)) if convex else Point(0.0, 0.0)
        yield a.minus(run_in), b


def _cut(start: Point, end: Point, rounder: Rounder, slide: TopSlide) -> TangentCut | None:
    way = end.minus(start)
    angle = math.atan2(way.r, -way.z)
    travel = math.hypot(way.z, way.r)
    steep = math.degrees(abs(angle))
    if travel > slide.travel_mm or steep > slide.greatest_angle_deg + 1e-9:
        return None
    aside: RoundMode = "up" if angle >= 0 else "down"  # to the side that leaves metal
    return TangentCut(
        angle,
        scale_reading_deg(abs(angle), slide.scale_zero),
        rounder.read(start, "up", aside),
        rounder.read(end, "up", aside),
        travel,
    )
