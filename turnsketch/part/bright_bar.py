"""Sections that may stay as the bar came: a bright bar whose size the print allows is not turned.

A bright bar is drawn to h11 at the coarsest (ISO 286-2; common practice for drawn bar), so a
section stays when the whole of that tolerance lies inside its limits.
"""

from __future__ import annotations

import msgspec

from turnsketch.errors import InputError
from turnsketch.part.limits import fit_limits, size_of
from turnsketch.part.records import PartRecord, Section
from turnsketch.part.text import parse
from turnsketch.units import Units, from_mm

__all__ = ["BAR_CLASS", "left_as_bar"]

BAR_CLASS = "h11"


def left_as_bar(part: PartRecord, units: Units, bar_mm: float) -> PartRecord:
    """Return the part with the aim of every section that may stay as bar set to the bar's size.

    Parameters
    ----------
    bar_mm : float
        Nominal diameter of the bright bar, millimetres.
    """
    sections = tuple(_aimed_at(s, part.general_tolerance, units, bar_mm) for s in part.sections)
    return part if sections == part.sections else msgspec.structs.replace(part, sections=sections)


def _aimed_at(section: Section, rule: str, units: Units, bar_mm: float) -> Section:
    if section.kind != "cylinder" or section.diameter is None or section.roughness is not None:
        return section
    try:
        dimension = parse(section.diameter, units, {"diameter"})
        size = size_of(dimension, rule)
        low, high = fit_limits(bar_mm, BAR_CLASS)
    except InputError:
        return section  # the door tells what is wrong with it
    if dimension.aim is not None or dimension.reference or size.aim == bar_mm:
        return section
    if not size.lower <= low <= high <= size.upper:
        return section
    shown = from_mm(bar_mm, dimension.unit)
    text = f"{section.diameter} aim {shown:.4f}".rstrip("0").rstrip(".")
    return msgspec.structs.replace(section, diameter=text)
