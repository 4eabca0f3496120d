"""Measure stops: where, what is expected, with which instrument."""

from __future__ import annotations

import math
import re

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import MeasureStop
from turnsketch.planning.context import Context

__all__ = ["inside_instrument_for", "instrument_for", "measure_stop", "wants_two_cuts"]

_BORE_GAUGE_FROM_MM = 6.0

FINE_GRADE = 7
FINE_TOTAL_MM = 0.025
"""Grades of ISO 286 up to IT7, and total tolerances up to this, get two equal last cuts with a
measure stop between (common practice)."""

ANVIL_MM = 8.0
"""Shortest length that a micrometer's anvils can be put on (common practice)."""

INSIDE_ANVIL_MM = 5.0
"""The same in a bore, for the contacts of a bore gauge (common practice)."""

FINE_MM = 0.1
"""Total tolerance up to which a micrometer is asked for; above it a caliper will do."""


def wants_two_cuts(section: SectionInfo | None) -> bool:
    """Return whether a cylinder's tolerance asks for two equal last cuts."""
    if section is None or section.diameter is None:
        return False
    size = section.diameter
    grade = re.match(r"[A-Za-z]{1,2}(\d{1,2})\b", size.source)
    if grade and int(grade[1]) <= FINE_GRADE:
        return True
    return size.upper - size.lower <= FINE_TOTAL_MM + 1e-9


def measure_stop(
    ctx: Context,
    section: SectionInfo | None,
    metal: BaseGeometry,
    reached: tuple[float, float] | None = None,
) -> MeasureStop | None:
    """Return the stop before a cylinder's last cut, or None when it is too short to measure.

    Parameters
    ----------
    reached : (low, high), optional
        Where the tool gets along z, where that is not the whole cylinder: beyond it nothing is
        cut, and nothing is to be measured.
    """
    if section is None or section.diameter is None:
        return None
    front, back = section.front.z, section.back.z
    if reached is not None:
        front, back = min(front, reached[1]), max(back, reached[0])
    inside = ctx.axis_r is not None
    anvil = INSIDE_ANVIL_MM if inside else ANVIL_MM
    if front - back < anvil:
        return None
    ends = (back + anvil / 2, front - anvil / 2)
    middle = _off_grooves(ctx, section, (front + back) / 2, ends)
    # Where no land is as wide as the anvils they bridge the groove and stand on its edges.
    bridged = any(low < middle < high for low, high in _grooves(ctx, section))
    half = anvil / 2 if bridged else 0.5
    strip = shapely.clip_by_rect(metal, middle - half, 0.0, middle + half, 1e4)
    if strip.is_empty:
        return None
    expected = 2 * float(strip.bounds[3])
    places = (middle,) if front - back < 4 * anvil else (ends[1], ends[0])
    tolerance = section.diameter.upper - section.diameter.lower
    name = inside_instrument_for if inside else instrument_for
    if ctx.axis_r is not None:
        expected = 2 * ctx.axis_r - expected
    return MeasureStop(
        at_z=tuple(_off_grooves(ctx, section, z, ends) + ctx.zero for z in places),
        expected_diameter=expected,
        instrument=name(expected, section.diameter.aim, tolerance, ctx.units),
        reason=f"the next cut makes {section.label}",
    )


def _off_grooves(ctx: Context, section: SectionInfo, z: float, ends: tuple[float, float]) -> float:
    """Return the place nearest to `z` at which the anvils stand beside the section's grooves.

    `ends`: the least and the greatest place that they may stand at.
    """
    margin = (ANVIL_MM if ctx.axis_r is None else INSIDE_ANVIL_MM) / 2
    taken = [(low - margin, high + margin) for low, high in _grooves(ctx, section)]
    choices = [z, *(edge for pair in taken for edge in pair)]
    low, high = ends
    clear = [
        c
        for c in choices
        if low - 1e-6 <= c <= high + 1e-6 and not any(a + 1e-6 < c < b - 1e-6 for a, b in taken)
    ]
    return min(clear, key=lambda c: abs(c - z), default=z)


def _grooves(ctx: Context, section: SectionInfo) -> list[tuple[float, float]]:
    """Return the least and the greatest z of each groove in a section, on the side that is told."""
    inside = ctx.axis_r is not None
    own = (g for g in ctx.part.grooves if g.section == section.number and g.inside == inside)
    ends = ([p.z for e in g.elements for p in (e.start, e.end)] for g in own)
    return [(min(sides), max(sides)) for sides in ends]


def inside_instrument_for(present: float, aim: float, tolerance: float, units: str) -> str:
    """Return the instrument for a bore, for two diameters in millimetres (common practice).

    A caliper's inside jaws to 0.1 mm of tolerance; below, a bore gauge set with a ring or a
    micrometer; narrower than 6 mm a small-hole gauge read with a micrometer.
    """
    if tolerance > FINE_MM:
        return "inside caliper"
    if min(present, aim) < _BORE_GAUGE_FROM_MM:
        return f"small-hole gauge, read with a {instrument_for(present, aim, tolerance, units)}"
    return f"bore gauge, set in a {instrument_for(present, aim, tolerance, units)}"


def instrument_for(present: float, aim: float, tolerance: float, units: str) -> str:
    """Return the instrument's name with its range, for two diameters in millimetres."""
    if tolerance > FINE_MM:
        return "caliper"
    spans: list[str] = []
    for diameter in (aim, present):
        if units == "inch":
            low = math.floor(diameter / 25.4)
            span = f"{low}-{low + 1} in"
        else:
            low = 25 * math.floor(diameter / 25)
            span = f"{low}-{low + 25} mm"
        if span not in spans:
            spans.append(span)
    return "micrometer " + " and ".join(spans)
