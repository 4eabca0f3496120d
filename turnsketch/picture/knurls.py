"""Knurls in drawings: a few narrow lines across the surface, in the directions of the knurl.

They are further apart than the knurl's own lines: a hint, no picture of it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Stroke
from turnsketch.plan_records import KnurlSetting, Pass, SetupPlan

__all__ = ["knurl_strokes"]

_SLOPES = {
    "RAA": (0.0,),
    "RBL": (30.0,),
    "RBR": (-30.0,),
    "RGE": (30.0, -30.0),
    "RGV": (30.0, -30.0),
    "RKE": (0.0, 90.0),
    "RKV": (0.0, 90.0),
}
"""Angles of the lines to the axis, degrees (DIN 82, from memory)."""


def knurl_strokes(setup: SetupPlan, apart: float, until: int | None = None) -> Iterator[Stroke]:
    """Yield the lines of the knurls that a setup presses.

    Parameters
    ----------
    setup : SetupPlan
        The setup; its frame.
    apart : float
        Distance of the lines, in millimetres of the part.
    until : int, optional
        Number of an operation: only knurls that it or one before it presses.
    """
    for made in setup.passes:
        knurl = made.knurl
        if knurl is None or not knurl.first:
            continue
        if until is not None and made.operation_number > until:
            continue
        span = _span(setup, made, knurl)
        if span is not None:
            for slope in _SLOPES.get(knurl.text[:3], ()):
                yield from _lines(*span, knurl.blank_mm / 2, slope, apart)


def _span(setup: SetupPlan, made: Pass, knurl: KnurlSetting) -> tuple[float, float] | None:
    """Return the ends of the knurled surface."""
    places = [
        p.z
        for span in setup.sections
        if span.section == made.section
        for p in span.line
        if abs(p.r - knurl.blank_mm / 2) < 1e-3
    ]
    return (min(places), max(places)) if places else None


def _lines(low: float, high: float, r: float, slope: float, apart: float) -> Iterator[Stroke]:
    """Yield parallel lines clipped to the rectangle between both outlines."""
    angle = math.radians(slope)
    along = Point(math.cos(angle), math.sin(angle))
    across = Point(-along.r, along.z)
    reach = math.hypot(high - low, 2 * r)
    middle = Point((low + high) / 2, 0.0)
    for number in itertools.count():
        if number * apart > reach / 2:
            return
        for side in {1, -1} if number else {1}:
            at = middle.plus(across.times(side * number * apart))
            ends = _clipped(at, along, (low, high), r)
            if ends is not None:
                yield Stroke(ends, "narrow")


def _clipped(
    at: Point, along: Point, ends: tuple[float, float], r: float
) -> tuple[Point, Point] | None:
    """Return the stretch of a straight line inside the rectangle."""
    first, last = -math.inf, math.inf
    for place, way, low, high in ((at.z, along.z, *ends), (at.r, along.r, -r, r)):
        if abs(way) < 1e-9:
            if not low < place < high:
                return None
            continue
        a, b = sorted(((low - place) / way, (high - place) / way))
        first, last = max(first, a), min(last, b)
    if last - first < 1e-6:
        return None
    return at.plus(along.times(first)), at.plus(along.times(last))
