"""Findings about the metal beside and under grooves: too short a land, too thin a wall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.findings.metal import metal_before
from turnsketch.findings.view import PlanView, finding
from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.part.groove_walls import groove_walls
from turnsketch.part.outline_records import ResolvedGroove, SectionInfo
from turnsketch.part.ring_grooves import RingGroove, ring_groove, ring_sizes
from turnsketch.plan_records import Finding
from turnsketch.planning.part_solid import part_region

__all__ = ["WALL_SHARE", "groove_wall_thin", "ring_land_short"]

WALL_SHARE: Final = 0.05
"""A wall under a groove that is thinner than this share of the diameter springs away from the
blade, and may break there (common practice)."""

_UNDER_MM = 1e-4
_SHORT_MM = 1e-3
_LOOKED_AT = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Shares of a groove's length at which the wall behind it is looked at."""


def ring_land_short(view: PlanView) -> Iterator[Finding]:
    """A ring groove nearer to a free end of its seat than its standard allows."""
    whole: BaseGeometry | None = None
    for groove in view.part.grooves:
        section = view.section(groove.section)
        ring = None if section is None else _ring_of(section, groove.inside)
        if groove.kind != "ring" or section is None or ring is None:
            continue
        if whole is None:
            whole = part_region(replace(view.part, grooves=()), CHORD_FINE)
        land = _shortest_land(whole, groove, section)
        if land < ring.land - _SHORT_MM:
            place = view.at(view.maker(groove.elements[0].start.z, groove.section))
            front = view.across(groove.elements[0].start.z, place.index)
            yield finding(
                "ring-land-short",
                "caution",
                f"only {view.text(land)} of metal stands between the {groove.label} and the free "
                f"end of {section.label}; {ring.designation} wants {view.text(ring.land)}",
                "move the groove away from the end, or ask whether the ring carries no load",
                z=front + place.zero,
                setup=place.setup.number,
            )


def _ring_of(section: SectionInfo, inside: bool) -> RingGroove | None:
    """Return the ring that belongs on or in a cylinder; None where the standard has none."""
    diameter = 2 * section.front.r if section.diameter is None else section.diameter.nominal
    sizes = [size for size in ring_sizes(inside=inside) if abs(size - diameter) < 1e-3]
    return ring_groove(sizes[0], inside=inside) if sizes else None


def _shortest_land(whole: BaseGeometry, groove: ResolvedGroove, section: SectionInfo) -> float:
    """Return the length of metal between a groove and where it ends, on the nearer side.

    It is looked at just under the surface, where a chamfer shortens it and a shoulder does not.

    Parameters
    ----------
    whole : polygonal geometry
        Half section of the finished part without grooves.
    """
    low, high = _extent(groove)
    r = section.front.r + (_UNDER_MM if groove.inside else -_UNDER_MM)
    line = shapely.LineString([(low - 1e4, r), (high + 1e4, r)])
    for piece in shapely.get_parts(whole.intersection(line)):
        first, _, last, _ = piece.bounds
        if first <= high and last >= low:
            return float(max(0.0, min(last - high, low - first)))
    return 0.0


def groove_wall_thin(view: PlanView) -> Iterator[Finding]:
    """A groove that leaves a thin wall, to the bore or from the bore to the outside.

    It is cut all the same where the metal on the other side still stands behind it.
    """
    for groove, wall in groove_walls(view.part):
        if wall.thickness >= WALL_SHARE * wall.diameter:
            continue
        place = view.at(view.maker(wall.z, groove.section))
        if _backed(view, groove):
            continue
        where = "outside it" if groove.inside else "between it and the bore"
        yield finding(
            "groove-thin-wall",
            "caution",
            f"the {groove.label} leaves a wall of only {view.text(wall.thickness)} {where}, at "
            f"Ø{view.text(wall.diameter)}: thinner than {WALL_SHARE:g} of the diameter, it springs "
            "away from the blade and may break there (common practice)",
            "cut the groove while the metal on the other side still stands, or ask whether it "
            "may be shallower",
            z=view.across(wall.z, place.index) + place.zero,
            setup=place.setup.number,
        )


def _backed(view: PlanView, groove: ResolvedGroove) -> bool:
    """Return whether enough metal stands behind a groove after the last pass that cuts it."""
    for index, setup in enumerate(view.plan.setups):
        made = [p for p in setup.passes if p.operation == "groove" and p.surface == groove.label]
        if made:
            there = view.at(index)
            metal = metal_before(there, made[-1].number + 1)
            low, high = _extent(groove)
            places = (low + share * (high - low) for share in _LOOKED_AT)
            return all(_thick(metal, view.across(z, index) + there.zero) for z in places)
    return False


def _thick(metal: BaseGeometry, z: float) -> bool:
    """Return whether the metal next to the axis is solid at `z`, or no thin wall."""
    strip = shapely.clip_by_rect(metal, z - _UNDER_MM, 0.0, z + _UNDER_MM, 1e4)
    if strip.is_empty:
        return True
    low, high = min((p.bounds[1], p.bounds[3]) for p in shapely.get_parts(strip))
    return bool(low <= _UNDER_MM or high - low >= WALL_SHARE * 2 * high)


def _extent(groove: ResolvedGroove) -> tuple[float, float]:
    """Return the least and the greatest z of a groove's ends, part frame."""
    ends = [p.z for e in groove.elements for p in (e.start, e.end)]
    return min(ends), max(ends)
