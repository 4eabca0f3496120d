"""Measure stops: where, what is expected, with which instrument."""

from __future__ import annotations

import math
import re

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import MeasureStop
from turnsketch.planning.context import Context

__all__ = ["instrument_for", "measure_stop", "wants_two_cuts"]

FINE_GRADE = 7
FINE_TOTAL_MM = 0.025
"""Grades of ISO 286 up to IT7, and total tolerances up to this, get two equal last cuts with a
measure stop between (common practice)."""

ANVIL_MM = 8.0
"""Shortest length that a micrometer's anvils can be put on (common practice)."""

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
    ctx: Context, section: SectionInfo | None, metal: BaseGeometry
) -> MeasureStop | None:
    """Return the stop before a cylinder's last cut, or None when it is too short to measure."""
    if section is None or section.diameter is None:
        return None
    front, back = section.front.z, section.back.z
    if front - back < ANVIL_MM:
        return None
    middle = (front + back) / 2
    strip = shapely.clip_by_rect(metal, middle - 0.5, 0.0, middle + 0.5, 1e4)
    if strip.is_empty:
        return None
    expected = 2 * float(strip.bounds[3])
    margin = ANVIL_MM / 2
    places = (middle,) if front - back < 4 * ANVIL_MM else (front - margin, back + margin)
    tolerance = section.diameter.upper - section.diameter.lower
    return MeasureStop(
        at_z=tuple(z + ctx.zero for z in places),
        expected_diameter=expected,
        instrument=instrument_for(expected, section.diameter.aim, tolerance, ctx.units),
        reason=f"the next cut makes {section.label}",
    )


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
