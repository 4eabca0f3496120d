"""What the print says, for people: labels of sections, names of dimensions, the inspection rows.

Rows stand in the order of the print: section by section from the front, in each its sizes and its
corners, then the lengths over several sections.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Literal

from turnsketch.part.outline_records import InspectionRow, Size
from turnsketch.part.records import PartRecord, Place, Section
from turnsketch.part.sketch import Sketch, SketchCorner, SketchLength, SketchSection
from turnsketch.part.text import Dimension

__all__ = ["corner_name", "inspection_rows", "section_label", "section_sizes"]

Quantity = Literal["diameter", "length", "radius", "angle", "chamfer"]

_DIAMETER_SIGN = re.compile(r"^[Øø⌀∅]\s*")
_AIM = re.compile(r"\s*\baim\b.*$", re.IGNORECASE)
_PLAIN_WORDS = {"face": "face", "cylinder": "cylinder", "taper": "taper", "arc": "arc"}
_FIELD_WORDS = {
    "diameter": "diameter",
    "front_diameter": "front diameter",
    "back_diameter": "back diameter",
    "length": "length",
    "angle": "angle",
    "radius": "radius",
    "centre_diameter": "diameter of the centre",
}


def section_label(section: SketchSection) -> str:
    """Return what the sheet calls a section: "seat Ø25 h6", "taper 1:10", "ball R15", "shoulder".

    The section's own name goes first; without one its kind does, but for a cylinder, whose
    diameter says enough.
    """
    size = _main_size(section)
    if section.kind == "cylinder" and size and not section.name:
        return size
    word = section.name or _PLAIN_WORDS[section.kind]
    return f"{word} {size}" if size else word


def _main_size(section: SketchSection) -> str:
    if section.kind == "cylinder":
        return _diameter_text(section.diameter)
    if section.kind == "arc":
        return _as_printed(section.radius)
    if section.kind == "taper":
        if section.angle is not None:
            return _as_printed(section.angle)
        ends = [_diameter_text(d) for d in (section.front_diameter, section.back_diameter)]
        return " to ".join(end for end in ends if end)
    return ""


def _as_printed(dimension: Dimension | None) -> str:
    return "" if dimension is None else _AIM.sub("", dimension.text).strip()


def _diameter_text(dimension: Dimension | None) -> str:
    if dimension is None:
        return ""
    plain = _DIAMETER_SIGN.sub("", _as_printed(dimension))
    return f"Ø{plain}" if plain[:1].isdigit() or plain[:1] in ".," else plain


def section_sizes(section: SketchSection) -> Iterator[tuple[str, Dimension]]:
    """Yield (field of the record, dimension) for the sizes that a section carries, in order."""
    for field in _FIELD_WORDS:
        dimension = getattr(section, field)
        if dimension is not None:
            yield field, dimension


def inspection_rows(
    part: PartRecord, sketch: Sketch, size_at: Callable[[str], Size]
) -> tuple[InspectionRow, ...]:
    """Return one row for every dimension of the print, reference dimensions flagged.

    Sizes of zero (a point on the axis, a centre on it) are no dimension that one could measure
    and have no row.

    Parameters
    ----------
    part : PartRecord
        The record, for the names of its sections.
    sketch : Sketch
        The same, read.
    size_at : callable
        Gives the size of the dimension at a path of the record ("part.sections[0].diameter").
    """
    rows: list[InspectionRow] = []

    def add(what: str, dimension: Dimension, path: str, section: int | None) -> None:
        if dimension.exact != 0:
            rows.append(
                InspectionRow(
                    what=what,
                    text=_as_printed(dimension),
                    size=size_at(path),
                    quantity=_quantity(dimension),
                    reference=dimension.reference,
                    section=section,
                )
            )

    for section in sketch.sections:
        if section.number is None:
            continue
        name = _section_name(part.sections[section.number - 1], section.number)
        for field, dimension in section_sizes(section):
            add(
                f"{name}, {_FIELD_WORDS[field]}",
                dimension,
                f"{section.path}.{field}",
                section.number,
            )
        for corner in sketch.corners:
            if corner.section == section.number:
                add(corner_name(part, corner), corner.dimension, corner.path, section.number)
    for length in sketch.lengths:
        if length.path.startswith("part.lengths"):
            add(_span_name(part, sketch, length), length.dimension, length.path, None)
    return tuple(rows)


def corner_name(part: PartRecord, corner: SketchCorner) -> str:
    """Return the name of a corner for people: "seat, chamfer at its front end"."""
    word = "chamfer" if corner.dimension.kind == "chamfer" else "round"
    name = _section_name(part.sections[corner.section - 1], corner.section)
    return f"{name}, {word} at its {corner.end} end"


def _section_name(section: Section, number: int) -> str:
    return f"section {number} ({section.name})" if section.name else f"section {number}"


def _span_name(part: PartRecord, sketch: Sketch, length: SketchLength) -> str:
    last = len(sketch.sections)
    front, back = length.front.vertex, length.back.vertex
    if front in _outermost(sketch, 0) and back in _outermost(sketch, last):
        return "overall length"
    record = part.lengths[int(length.path.split("[")[1].split("]")[0])]
    first, second = record.start, record.end
    if first.section > second.section:
        first, second = second, first
    return f"length, {_place_name(part, first)} to {_place_name(part, second)}"


def _outermost(sketch: Sketch, vertex: int) -> tuple[int, ...]:
    """Return the vertices with the z of the first or last one: both ends of an end face."""
    if vertex == 0:
        return (0, 1) if sketch.sections[0].kind == "face" else (0,)
    return (vertex - 1, vertex) if sketch.sections[-1].kind == "face" else (vertex,)


def _place_name(part: PartRecord, place: Place) -> str:
    section = part.sections[place.section - 1]
    return f"{place.at} of {section.name or f'section {place.section}'}"


def _quantity(dimension: Dimension) -> Quantity:
    if dimension.kind == "diameter":
        return "diameter"
    if dimension.kind == "radius":
        return "radius"
    if dimension.kind in ("angle", "ratio"):
        return "angle"
    return "chamfer" if dimension.kind == "chamfer" else "length"
