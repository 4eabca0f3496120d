"""Bores: the hole in an end, solved as if the void were a turned body.

A void and a body are told alike: sections from the end face inward, steps between them
understood. So the sketch and the solver of the outside serve the inside too; only the corners at
its mouths (`bore_mouths`) and the cone that a drill leaves are put on here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import msgspec

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Line, Point
from turnsketch.part.bore_mouths import mouth_infos, mouth_rows, mouths_of, with_mouths
from turnsketch.part.cone_places import with_cone_sizes
from turnsketch.part.knurl_places import refuse_in_bore
from turnsketch.part.outline_records import (
    CornerInfo,
    InspectionRow,
    Outline,
    OutlineElement,
    PartIssue,
    ResolvedBore,
    ResolvedPart,
    SectionInfo,
)
from turnsketch.part.records import Bore, LengthDimension, PartRecord, Place, Section
from turnsketch.part.text import parse
from turnsketch.part.thread_sections import with_blank
from turnsketch.units import Units, from_mm

__all__ = ["BoreAnswer", "bored", "offset_of", "resolve_bore", "void_record"]

BoreAnswer = tuple[ResolvedBore, tuple[InspectionRow, ...], tuple[PartIssue, ...]]
Resolver = Callable[[PartRecord, Units], ResolvedPart]

_SAME = 1e-9
_STEEPEST_POINT = math.radians(179.0)


def offset_of(part: PartRecord, back: bool) -> int:
    """Return the number of the section before a bore's first one."""
    outside = len(part.sections)
    return outside + (len(part.bore.sections) if back and part.bore is not None else 0)


def resolve_bore(
    part: PartRecord, units: Units, outside: ResolvedPart, solve: Resolver, *, back: bool
) -> BoreAnswer:
    """Return the bore in one end, its rows for the inspection and what is open in it.

    Parameters
    ----------
    outside : ResolvedPart
        The same part, its outside solved: a through bore is as long as it.
    solve : callable
        Solves a body's record; it is called with the void's.
    back : bool
        The back end's bore; it comes in the frame that has the back end in front.

    Raises
    ------
    InputError
        As `turnsketch.part.resolve.resolve`, with the path inside the bore.
    """
    bore = part.bore_back if back else part.bore
    assert bore is not None
    path = "part.bore_back" if back else "part.bore"
    offset = offset_of(part, back)
    if not bore.sections:
        raise InputError("the bore has no sections; give at least one", f"{path}.sections")
    try:
        void = solve(void_record(part, bore, outside.total_length, offset, units), units)
        mouths = mouths_of(bore, part.general_tolerance, units, offset)
        cone = _cone(bore, units)
    except InputError as error:
        raise _told(error, path, offset) from None
    plain = _with_cone(_numbered(void.aim, offset), cone)
    nominal = _with_cone(_numbered(void.nominal, offset), cone)
    made = ResolvedBore(
        aim=with_mouths(plain, mouths, void.total_length, path),
        nominal=with_mouths(nominal, mouths, -nominal.elements[-1].shape.end.z, path),
        corners=tuple(_corner(c, offset) for c in void.corners) + mouth_infos(void.aim, mouths),
        sections=tuple(_section(s, offset) for s in void.sections),
        depth=void.total_length,
        through=bore.through,
        plain=plain,
        mouth=mouths[0],
        far_mouth=mouths[1],
    )
    _check_inside(made, outside, back, path)
    end = "back bore" if back else "bore"
    whole = _whole(outside.total_length, units)
    rows = [_row(row, end, offset) for row in void.inspection if row.text != whole]
    for number, row in mouth_rows(bore, mouths, part.general_tolerance, units, end):
        after = sum(r.section is not None and r.section <= number for r in rows)
        rows.insert(after, row)
    return made, tuple(rows), tuple(_issue(issue, end, offset) for issue in void.issues)


def bored(void: Outline, bore: Bore, rule: str, offset: int, units: Units) -> Outline:
    """Return a void's chain as the bore has it: numbered in the part, with mouth and bottom.

    Raises
    ------
    InputError
        The corner at the mouth or the angle of the bottom can't be read, or does not fit.
    """
    plain = _with_cone(_numbered(void, offset), _cone(bore, units))
    mouths = mouths_of(bore, rule, units, offset)
    return with_mouths(plain, mouths, -plain.elements[-1].shape.end.z, "part.bore")


def void_record(
    part: PartRecord, bore: Bore, length: float, offset: int, units: Units
) -> PartRecord:
    """Return the void of a bore as the record of a body, its sections numbered from 1.

    Parameters
    ----------
    length : float
        Of the whole part, millimetres: a through bore is as long.
    offset : int
        Number of the section before the bore's first one.
    """
    sections = [
        with_cone_sizes(
            _narrowing(_before_threading(s, index)),
            units,
            inside=True,
            fill_length=not bore.lengths and not (bore.through and s is bore.sections[-1]),
            path=f"part.sections[{index}]",
        )
        for index, s in enumerate(bore.sections)
    ]
    sections[0] = msgspec.structs.replace(sections[0], front_corner=None)
    if bore.through:
        sections[-1] = msgspec.structs.replace(sections[-1], back_corner=None)
    lengths = tuple(
        LengthDimension(_local(d.start, offset), _local(d.end, offset), d.text)
        for d in bore.lengths
    )
    last = Place(len(sections), "back")
    reached = any(last in (d.start, d.end) for d in lengths)
    if bore.through and sections[-1].length is None and not reached:
        whole = _whole(length, units)
        if len(sections) == 1:
            sections[0] = msgspec.structs.replace(sections[0], length=whole)
        else:
            lengths = (*lengths, LengthDimension(Place(1, "front"), last, whole))
    return PartRecord(
        name=part.name,
        sections=tuple(sections),
        lengths=lengths,
        general_tolerance=part.general_tolerance,
        inside_corners=part.inside_corners,
        roughness=part.roughness,
    )


def _before_threading(section: Section, index: int) -> Section:
    """Return a section with the diameter that is bored, and no thread."""
    path = f"part.sections[{index}]"
    refuse_in_bore(section, path)
    bored = with_blank(section, inside=True, path=path)
    return msgspec.structs.replace(bored, thread=None, thread_length=None)


def _narrowing(section: Section) -> Section:
    """Return a section whose angle alone makes it thinner inward, as a socket's; drawn ones stay.

    Both diameters, its own or those of its neighbours, say otherwise where they do.
    """
    if section.kind != "taper" or section.angle is None or section.drawn is not None:
        return section
    return msgspec.structs.replace(section, narrows=True)


def _whole(length: float, units: Units) -> str:
    """Return the length of a through bore whose last section gives none.

    Written as nobody types it, and no longer than a number may be.
    """
    value = from_mm(length, units)
    return f"{value:.{min(9, 11 - len(f'{value:.0f}'))}f}"


def _local(place: Place, offset: int) -> Place:
    return Place(place.section - offset, place.at)


def _cone(bore: Bore, units: Units) -> float | None:
    """Return half the angle of the bottom's cone, radians; None for a flat bottom."""
    if bore.bottom is None or bore.through:
        return None
    try:
        told = bore.bottom if "incl" in bore.bottom.lower() else f"{bore.bottom} incl"
        half = parse(told, units, {"angle"}).nominal
    except InputError:
        half = 0.0
    if not 0.0 < 2 * half < _STEEPEST_POINT:
        raise InputError(
            f'"{bore.bottom}" is no drill\'s point: give its included angle, such as 118°',
            "part.bottom",
        )
    return half


def _with_cone(void: Outline, half: float | None) -> Outline:
    """Return the chain with its flat bottom made a cone, pointing inward."""
    last = void.elements[-1]
    rim = last.shape.start
    if half is None or rim.r <= _SAME:
        return void
    tip = Point(rim.z - rim.r / math.tan(half), 0.0)
    cone = OutlineElement(Line(rim, tip), None, "taper")
    return Outline((*void.elements[:-1], cone), void.joins)


def _numbered(void: Outline, offset: int) -> Outline:
    return Outline(
        tuple(
            replace(e, section=None if e.section is None else e.section + offset)
            for e in void.elements
        ),
        void.joins,
    )


def _corner(corner: CornerInfo, offset: int) -> CornerInfo:
    front, back = (None if n is None else n + offset for n in corner.between)
    return replace(corner, convex=not corner.convex, between=(front, back))


def _section(info: SectionInfo, offset: int) -> SectionInfo:
    label = info.label if info.label.startswith("bore") else f"bore {info.label}"
    return replace(info, number=info.number + offset, label=label)


def _row(row: InspectionRow, end: str, offset: int) -> InspectionRow:
    section = None if row.section is None else row.section + offset
    return replace(row, what=f"{end}: {row.what}", section=section)


def _issue(issue: PartIssue, end: str, offset: int) -> PartIssue:
    """Return an issue of the void with its place in the part; "section 1" is the bore's own."""
    section = None if issue.section is None else issue.section + offset
    message = issue.message
    if message.startswith("section "):
        message = f"{end} {message}"
    return replace(issue, section=section, message=message)


def _told(error: InputError, path: str, offset: int) -> InputError:
    """Return an error of the void's record with its place in the part's."""
    where = error.where
    if where.startswith("part."):
        where = f"{path}.{where.removeprefix('part.')}"
    elif where.startswith("section "):
        number = where.removeprefix("section ")
        where = f"section {int(number) + offset}" if number.isdigit() else f"{path}: {where}"
    return InputError(error.what, where or path)


def _check_inside(made: ResolvedBore, outside: ResolvedPart, back: bool, path: str) -> None:
    """Refuse a bore that is deeper than the part or breaks through its outside."""
    length = outside.total_length
    if made.depth > length + _SAME:
        raise InputError(
            f"the bore is {made.depth:.2f} mm deep, the part {length:.2f} mm long: "
            "make it a through bore, or correct a length",
            path,
        )
    if made.depth > length - _SAME and not made.through:
        raise InputError("the bore reaches the other end: mark it as a through bore", path)
    for info in made.sections:
        for place in (info.front, info.back):
            z = -length - place.z if back else place.z
            if place.r > _outside_at(outside, z) - _SAME:
                raise InputError(
                    f"the {info.label} leaves no wall: it is Ø{2 * place.r:.2f} where the outside "
                    f"is Ø{2 * _outside_at(outside, z):.2f}; correct one of them",
                    f"section {info.number}",
                )
    # Not until a part is solved: the first paint needs no geometry library.
    from turnsketch.part.bore_walls import check_one_piece

    check_one_piece(outside.aim, made.plain, length, back, path)


def _outside_at(outside: ResolvedPart, z: float) -> float:
    """Return the greatest radius of the outside at `z`, its faces counted in full."""
    found = 0.0
    for info in outside.sections:
        low, high = sorted((info.front.z, info.back.z))
        if low - 1e-6 <= z <= high + 1e-6:
            found = max(found, _radius_at(info, z))
    return found if found > 0.0 else outside.greatest_diameter / 2


def _radius_at(info: SectionInfo, z: float) -> float:
    if info.kind == "taper" and abs(info.front.z - info.back.z) > _SAME:
        share = (info.front.z - z) / (info.front.z - info.back.z)
        return info.front.r + share * (info.back.r - info.front.r)
    return max(info.front.r, info.back.r)
