"""Cones of the print that go by a standard's name: what the name gives, and what is checked.

A print writes "Morse 2" where a taper's angle stands (or where the diameter of its large end
does). The name gives the taper, and for shank tapers the diameter and length too, where the print
gives none. The solver gets them as dimension text and need know nothing of cones.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import msgspec

from turnsketch.errors import InputError
from turnsketch.part.cones import Cone, named_cone
from turnsketch.part.outline_records import (
    InspectionRow,
    ResolvedCone,
    ResolvedPart,
    SectionInfo,
    Size,
)
from turnsketch.part.records import PartRecord, Section
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = ["resolve_cones", "section_cone", "with_cone_sizes", "with_cone_words"]

_ENDS: Final = ("front_diameter", "back_diameter")
_SAME_MM: Final = 1e-3


def section_cone(section: Section, path: str = "") -> Cone | None:
    """Return the shank taper that a section's text names; None: it names none.

    Raises
    ------
    InputError
        A name with a number that no standard has, with the path of the field.
    """
    for field in ("angle", *_ENDS, "length"):
        text = getattr(section, field)
        if text is None:
            continue
        try:
            cone = named_cone(text)
        except InputError as error:
            raise error.within(f"{path}.{field}") from None
        if cone is not None:
            return cone
    return None


def with_cone_sizes(
    section: Section, units: Units, *, inside: bool, fill_length: bool, path: str = ""
) -> Section:
    """Return a taper with the sizes that its cone's name gives and the print does not.

    Parameters
    ----------
    inside : bool
        A socket: its gauge plane is its mouth. A shank's large end stands in front of the gauge
        plane, by the standard's a at most.
    fill_length : bool
        No length over several sections may give it.

    Raises
    ------
    InputError
        As `section_cone`; a cone's name on a section that is no taper.
    """
    cone = section_cone(section, path)
    if cone is None:
        return section
    if section.kind != "taper":
        field = next(f for f in ("angle", *_ENDS, "length") if _names_cone(section, f))
        raise InputError(
            f"{cone.name} is a cone, and this section is no taper: make it one", f"{path}.{field}"
        )
    section = _name_as_angle(section, cone)
    if inside and not any(getattr(section, f) for f in _ENDS):
        section = msgspec.structs.replace(section, narrows=True)  # nothing goes into the other way
    large = "front_diameter" if section.narrows else "back_diameter"
    given = [f for f in (*_ENDS, "length") if getattr(section, f) is not None]
    if not any(f in given for f in _ENDS):
        section = msgspec.structs.replace(section, **{large: _large_text(cone, inside=inside)})
    if fill_length and section.length is None and len(given) < 2:
        length = _length(section, cone, large, units, inside=inside)
        section = msgspec.structs.replace(section, length=f"{length:.4f} mm")
    return section


def _names_cone(section: Section, field: str) -> bool:
    text = getattr(section, field)
    return text is not None and named_cone(text) is not None


def _name_as_angle(section: Section, cone: Cone) -> Section:
    """Return the section with the name in its angle: at an end's diameter it says that end."""
    changes: dict[str, str | bool | None] = {"angle": section.angle or cone.name}
    for field in (*_ENDS, "length"):
        if _names_cone(section, field):
            changes[field] = None
            if field in _ENDS:
                changes["narrows"] = field == "front_diameter"
    return msgspec.structs.replace(section, **changes)


def _large_text(cone: Cone, *, inside: bool) -> str:
    """Return the large end's diameter: anywhere from the gauge plane to a in front of it."""
    gauge, large = cone.gauge or 0.0, cone.large or 0.0
    if inside or large - gauge < _SAME_MM:
        return f"{gauge:.4f} mm"
    return f"{large:.4f} +0/-{large - gauge:.4f} mm"


def _length(section: Section, cone: Cone, large: str, units: Units, *, inside: bool) -> float:
    """Return the length to the standard's small end; a shank's large end stands out by a / 2."""
    whole = (cone.length or 0.0) + (0.0 if inside else (cone.protrusion or 0.0) / 2)
    text = getattr(section, large)
    if text is None or text == _large_text(cone, inside=inside):
        return whole
    typed = parse(text, units, {"diameter"}).nominal
    to_small = (typed - (cone.gauge or 0.0)) / cone.taper + (cone.length or 0.0)
    return to_small if to_small > cone.taper else whole


# Places on the part


@dataclass(frozen=True, slots=True)
class _Place:
    section: Section
    info: SectionInfo
    back: bool
    inside: bool


def _places(part: PartRecord, made: ResolvedPart) -> Iterator[tuple[_Place, Cone]]:
    chains = [(part.sections, made.sections, False, False)]
    for record, bore, back in (
        (part.bore, made.bore, False),
        (part.bore_back, made.bore_back, True),
    ):
        if record is not None and bore is not None:
            chains.append((record.sections, bore.sections, back, True))
    for sections, infos, back, inside in chains:
        for section, info in zip(sections, infos, strict=True):
            cone = section_cone(section)
            if cone is not None:
                yield _Place(section, info, back, inside), cone


def resolve_cones(part: PartRecord, made: ResolvedPart) -> tuple[ResolvedCone, ...]:
    """Return the cones of a solved part that go by a name, outside first."""
    return tuple(_resolved(place, cone, made) for place, cone in _places(part, made))


def _resolved(place: _Place, cone: Cone, made: ResolvedPart) -> ResolvedCone:
    front, back = place.info.front, place.info.back
    opens_back = back.r > front.r
    large, small = (back, front) if opens_back else (front, back)
    # From the large end toward the small one, to where the gauge diameter is.
    away = (2 * large.r - (cone.gauge or 0.0)) / cone.taper
    toward = -1.0 if small.z < large.z else 1.0
    gauge_z = large.z + toward * away
    ends = (front.z, back.z)
    if place.back:
        gauge_z = -made.total_length - gauge_z
        ends = (-made.total_length - back.z, -made.total_length - front.z)
    return ResolvedCone(
        section=place.info.number,
        name=cone.name,
        inside=place.inside,
        taper=cone.taper,
        gauge=cone.gauge or 0.0,
        gauge_z=gauge_z,
        stands_out=away,
        length=abs(large.z - small.z) - away,
        standard_length=cone.length or 0.0,
        standard_out=cone.protrusion or 0.0,
        front_z=ends[0],
        back_z=ends[1],
    )


def with_cone_words(part: PartRecord, made: ResolvedPart) -> ResolvedPart:
    """Return the part with named cones labelled so, and the gauge's row in its inspection.

    Sizes that the name gave are told with it. The angle is a reference: blue on a gauge shows it.
    """
    named = {cone.section: cone for cone in made.cones}
    if not named:
        return made
    printed = {place.info.number: place.section for place, _ in _places(part, made)}
    bores = [
        None
        if bore is None
        else replace(bore, sections=tuple(_labelled(s, named, printed) for s in bore.sections))
        for bore in (made.bore, made.bore_back)
    ]
    rows = [_row(row, named, printed) for row in made.inspection]
    return replace(
        made,
        sections=tuple(_labelled(s, named, printed) for s in made.sections),
        bore=bores[0],
        bore_back=bores[1],
        inspection=(*rows, *(_gauge_row(cone, printed[cone.section]) for cone in made.cones)),
    )


def _labelled(
    info: SectionInfo, named: dict[int, ResolvedCone], printed: dict[int, Section]
) -> SectionInfo:
    cone = named.get(info.number)
    if cone is None:
        return info
    plain = printed[info.number].name or "taper"
    inside = "bore " if cone.inside and not plain.startswith("bore") else ""
    return replace(info, label=f"{inside}{plain} {cone.name}")


def _row(
    row: InspectionRow, named: dict[int, ResolvedCone], printed: dict[int, Section]
) -> InspectionRow:
    cone = named.get(row.section or 0)
    if cone is None:
        return row
    if row.quantity == "angle":
        size = replace(row.size, source="by gauge")
        return replace(row, text=cone.name, reference=True, size=size)
    field = row.what.rsplit(", ", 1)[-1].replace(" ", "_")
    section = printed[cone.section]
    if field not in (*_ENDS, "length"):
        return row
    if getattr(section, field) is not None and not _names_cone(section, field):
        return row
    return replace(row, text=cone.name, size=replace(row.size, source="ISO 296"))


def _gauge_row(cone: ResolvedCone, section: Section) -> InspectionRow:
    """Return the row that a gauge checks: where its line stands."""
    name = f"section {cone.section}"
    if section.name:
        name += f" ({section.name})"
    end = "the mouth" if cone.inside else "the large end"
    what = f"{name}, gauge line Ø{cone.gauge:.3f} mm behind {end}"
    most = 0.0 if cone.inside else cone.standard_out
    aim = min(max(cone.stands_out, 0.0), most)
    size = Size(aim, 0.0, most, aim, "ISO 296")
    return InspectionRow(what, cone.name, size, "length", cone.inside, cone.section)
