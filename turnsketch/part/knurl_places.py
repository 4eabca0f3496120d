"""Knurls of the print: where each lies, what is turned before it, what is measured over it.

The print's diameter is that over the knurl. What is turned before it is the blank, smaller by the
knurl's growth: the solver gets it as dimension text and need know nothing of knurls.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import msgspec

from turnsketch.errors import InputError
from turnsketch.part.knurls import Knurl, read_knurl
from turnsketch.part.limits import size_of
from turnsketch.part.outline_records import (
    InspectionRow,
    ResolvedKnurl,
    ResolvedPart,
    SectionInfo,
    Size,
)
from turnsketch.part.records import PartRecord, Section
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = [
    "knurl_of",
    "refuse_in_bore",
    "resolve_knurls",
    "section_knurl",
    "with_knurl_blank",
    "with_knurl_words",
]

_LEAST_PITCHES: Final = 3
"""A blank has so many pitches around it at least."""


def section_knurl(section: Section, path: str = "") -> Knurl | None:
    """Return the knurl that the print gives at a section; None: it has none.

    Raises
    ------
    InputError
        With the path of the field: no knurl of DIN 82, on a section that is no cylinder, or beside
        a thread.
    """
    if section.knurl is None:
        return None
    where = f"{path}.knurl"
    if section.kind != "cylinder":
        article = "an" if section.kind == "arc" else "a"
        raise InputError(
            f"a knurl is pressed into a cylinder, and this is {article} {section.kind}: leave it "
            "out, or make the section a cylinder",
            where,
        )
    if section.thread is not None:
        raise InputError("a section has a thread or a knurl, not both: leave one out", where)
    try:
        return read_knurl(section.knurl)
    except InputError as error:
        raise error.within(where) from None


def refuse_in_bore(section: Section, path: str) -> None:
    """Raise where a section of a bore has a knurl: wheels press from outside."""
    if section.knurl is not None:
        raise InputError(
            "a knurl is pressed in from outside: leave it out in a bore", f"{path}.knurl"
        )


def with_knurl_blank(section: Section, units: Units, rule: str, path: str = "") -> Section:
    """Return a section whose diameter is the one before knurling, its limits written out.

    The limits over the knurl, less the growth, are those of the blank. Where the middle half of
    them has a size that holds a whole number of pitches around, it is aimed at that: there the
    wheel falls into its own track.

    Raises
    ------
    InputError
        As `section_knurl`; no diameter, or one too small for the knurl.
    """
    knurl = section_knurl(section, path)
    if knurl is None:
        return section
    over = _over(section, knurl, units, rule, path)
    return msgspec.structs.replace(section, diameter=_blank_text(_blank(over, knurl)))


def knurl_of(place: ResolvedKnurl) -> Knurl:
    """Return the full record of a knurl that lies somewhere on the part."""
    return read_knurl(place.text)


def _over(section: Section, knurl: Knurl, units: Units, rule: str, path: str) -> Size:
    """Return the size over the knurl, as the print gives it."""
    where = f"{path}.diameter"
    if section.diameter is None:
        raise InputError(
            f"a knurl needs the diameter over it: give one, such as 24 for {knurl.designation}",
            where,
        )
    try:
        over = size_of(parse(section.diameter, units, {"diameter"}), rule)
    except InputError as error:
        raise error.within(where) from None
    least = knurl.growth + _LEAST_PITCHES * knurl.pitch / math.pi
    if over.lower <= least:
        raise InputError(
            f"a knurl {knurl.designation} does not go on Ø{over.nominal:g} mm: take a finer pitch",
            where,
        )
    return over


def _blank(over: Size, knurl: Knurl) -> Size:
    nominal = knurl.blank(over.nominal)
    lower, upper = over.lower - knurl.growth, over.upper - knurl.growth
    round_pitch = math.pi * nominal / knurl.teeth(nominal)
    pitches = round(math.pi * nominal / round_pitch)
    tracking = pitches * round_pitch / math.pi
    plain = over.aim - knurl.growth
    aim = tracking if abs(tracking - plain) <= (upper - lower) / 4 else plain
    return Size(nominal, lower, upper, aim, over.source)


def _blank_text(blank: Size) -> str:
    return f"{blank.lower:.4f}/{blank.upper:.4f} mm aim {blank.aim:.4f}"


def resolve_knurls(
    part: PartRecord, made: ResolvedPart, units: Units
) -> tuple[tuple[ResolvedKnurl, ...], tuple[InspectionRow, ...]]:
    """Return the knurls of a solved part and their rows for the inspection: Ø over each."""
    outside = {info.number: info for info in made.sections}
    knurls: list[ResolvedKnurl] = []
    rows: list[InspectionRow] = []
    for number, section in enumerate(part.sections, start=1):
        path = f"part.sections[{number - 1}]"
        knurl = section_knurl(section, path)
        if knurl is None:
            continue
        over, info = _over(section, knurl, units, part.general_tolerance, path), outside[number]
        knurls.append(
            ResolvedKnurl(
                section=number,
                text=knurl.designation,
                pitch=knurl.pitch,
                straight=knurl.straight,
                growth=knurl.growth,
                over=over,
                blank=_blank(over, knurl),
                front_z=info.front.z,
                back_z=info.back.z,
            )
        )
        what = f"{_name(section, number)}, Ø over the knurl"
        rows.append(InspectionRow(what, knurl.designation, over, "diameter", False, number))
    return tuple(knurls), tuple(rows)


def _name(section: Section, number: int) -> str:
    return f"section {number} ({section.name})" if section.name else f"section {number}"


def with_knurl_words(
    part: PartRecord, made: ResolvedPart, rows: Sequence[InspectionRow]
) -> ResolvedPart:
    """Return the part with knurled sections named by their knurls, and `rows` in its inspection.

    The diameter of such a section is told as the one turned before the knurl.
    """
    named = {place.section: place for place in made.knurls}
    if not named:
        return made
    return replace(
        made,
        sections=tuple(_labelled(s, named, part) for s in made.sections),
        inspection=tuple(_row(r, named) for r in (*made.inspection, *rows)),
    )


def _labelled(info: SectionInfo, named: dict[int, ResolvedKnurl], part: PartRecord) -> SectionInfo:
    place = named.get(info.number)
    if place is None:
        return info
    name = part.sections[info.number - 1].name
    # Pressed points have no roughness that the tool before them makes.
    return replace(info, label=f"{name} {place.text}".strip(), roughness_um=None)


def _row(row: InspectionRow, named: dict[int, ResolvedKnurl]) -> InspectionRow:
    place = named.get(row.section or 0)
    plain = row.what.removesuffix(", diameter")
    if place is None or row.what == plain:
        return row
    size = replace(row.size, nominal=place.blank.nominal, source=place.blank.source)
    what = f"{plain}, Ø turned before the knurl"
    return replace(row, what=what, text=place.text, size=size)
