"""The table of sections as text: what a cell shows, and the part that a typed cell makes.

Every cell takes the print's own text. The forms that go beyond one dimension:

- Section: a kind and a name, ``taper cone``; one letter will do for the kind.
- Ø: a taper or an arc takes ``20 / 26``, its diameter toward the front and toward the back;
  ``/ 26`` gives the back one alone. The tolerance stands behind the size: ``25 h6``.
- Length: ``36`` is the section's own; ``58 from front`` says where it ends, measured from the
  front face; ``44 from back`` where it begins, measured from the back face.
- Taper or R: ``1:10``, ``15°``, ``30° incl``, ``R8``, with ``narrows``, ``tangent front``,
  ``concave``, ``centre 0`` and the like behind it. A cylinder takes its thread or its knurl
  there: ``M12x1.75-6g``, ``M12, 18 long``, ``RGE 1.0``; a thread may stand under Ø, too.
- Corner: at the section's front end; behind a semicolon at its back end: ``1x45°; R1``.

No Qt here: strings go in, records come out.
"""

from __future__ import annotations

from typing import Final

import msgspec

from turnsketch.desk.slope_cell import slope_text, with_slope
from turnsketch.desk.thread_cell import is_thread, thread_text, with_thread
from turnsketch.errors import InputError
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section, SectionKind
from turnsketch.part.text import Kind, parse
from turnsketch.units import Units

__all__ = ["COLUMNS", "cell_text", "checked_text", "length_place", "with_cell"]

COLUMNS: Final = ("section", "diameter", "length", "slope", "corner", "roughness")
"""Keys of the columns, from left to right."""

_KINDS: Final[tuple[SectionKind, ...]] = ("cylinder", "taper", "arc", "face")
_BETWEEN: Final = " / "


def cell_text(part: PartRecord, row: int, column: str) -> str:
    """Return what the cell of section `row` (from 0) shows and edits."""
    section = part.sections[row]
    if column == "section":
        return f"{section.kind} {section.name}".strip()
    if column == "diameter":
        return _diameter_text(section)
    if column == "length":
        return _length_text(part, row)
    if column == "slope":
        return slope_text(section)
    if column == "corner":
        front, back = section.front_corner or "", section.back_corner or ""
        return f"{front}; {back}".strip() if back else front
    return section.roughness or ""


def with_cell(
    part: PartRecord, row: int, column: str, text: str, units: Units, *, inside: bool = False
) -> PartRecord:
    """Return the part with `text` typed into a cell; a row behind the last makes a new section.

    `inside` says that the part is a bore, told as a body.

    Raises
    ------
    InputError
        When the text cannot be read there: one sentence with the remedy.
    """
    text = " ".join(text.split())
    sections = list(part.sections)
    if row == len(sections):
        sections.append(Section("cylinder"))
        part = _lengthened(part)
    section = sections[row]
    if column == "length":
        part = msgspec.structs.replace(part, sections=tuple(sections))
        return _with_length(part, row, text, units)
    if column == "section":
        sections[row] = _with_kind(section, text)
    elif column == "diameter":
        sections[row] = _with_diameter(section, text, units, inside)
    elif column == "slope":
        sections[row] = with_slope(section, text, units, inside=inside)
    elif column == "corner":
        sections[row] = _with_corner(section, text, units)
    else:
        sections[row] = msgspec.structs.replace(
            section, roughness=checked_text(_ra(text), units, "roughness")
        )
    return msgspec.structs.replace(part, sections=tuple(sections))


def checked_text(text: str, units: Units, *kinds: Kind) -> str | None:
    """Return `text` when it reads as one of `kinds`; None when there is none."""
    if not text:
        return None
    parse(text, units, kinds)
    return text


def _ra(text: str) -> str:
    """Return surface texture with the letters that a trainee leaves out."""
    return f"Ra {text}" if text and text[0] in "0123456789.," else text


# Section


def _with_kind(section: Section, text: str) -> Section:
    word, _, rest = text.partition(" ")
    kind = next((k for k in _KINDS if word and k.startswith(word.lower())), None)
    if kind is None:
        return msgspec.structs.replace(section, name=text)
    if kind != section.kind:
        section = _as_kind(section, kind)
    return msgspec.structs.replace(section, name=rest)


def _as_kind(section: Section, kind: SectionKind) -> Section:
    """Return the section as another kind, with the sizes that both have."""
    front = section.diameter or section.front_diameter
    back = section.back_diameter
    plain = Section(
        kind,
        name=section.name,
        length=None if kind == "face" else section.length,
        front_corner=section.front_corner,
        back_corner=section.back_corner,
        roughness=section.roughness,
        drawn=section.drawn,
    )
    if kind == "cylinder":
        return msgspec.structs.replace(plain, diameter=front or back)
    if kind == "face":
        return msgspec.structs.replace(plain, back_diameter=back or front)
    tangent = section.tangent if section.kind in ("taper", "arc") else None
    return msgspec.structs.replace(plain, front_diameter=front, back_diameter=back, tangent=tangent)


# Diameter


def _diameter_text(section: Section) -> str:
    if section.kind == "cylinder":
        return section.diameter or thread_text(section)
    if section.kind == "face":
        return section.back_diameter or ""
    front, back = section.front_diameter, section.back_diameter
    if back is None:
        return front or ""
    return f"{front or ''}{_BETWEEN}{back}".strip()


def _with_diameter(section: Section, text: str, units: Units, inside: bool) -> Section:
    padded = f" {text} "
    if section.kind == "cylinder" and is_thread(text):
        return with_thread(section, text, units, inside=inside, alone=True)
    if section.kind == "cylinder" and section.diameter is None:  # a thread in its place goes out
        section = msgspec.structs.replace(section, thread=None, thread_length=None)
    if section.kind == "cylinder" and _BETWEEN in padded:
        section = _as_kind(section, "taper")
    if section.kind == "cylinder":
        return msgspec.structs.replace(section, diameter=checked_text(text, units, "diameter"))
    if section.kind == "face":
        back = checked_text(text, units, "diameter")
        return msgspec.structs.replace(section, back_diameter=back)
    front, slash, back = padded.partition(_BETWEEN)
    if not slash:
        front, back = text, ""
    return msgspec.structs.replace(
        section,
        front_diameter=checked_text(front.strip(), units, "diameter"),
        back_diameter=checked_text(back.strip(), units, "diameter"),
    )


# Corner


def _with_corner(section: Section, text: str, units: Units) -> Section:
    front, _, back = text.partition(";")
    return msgspec.structs.replace(
        section,
        front_corner=checked_text(front.strip(), units, "chamfer", "radius"),
        back_corner=checked_text(back.strip(), units, "chamfer", "radius"),
    )


# Length


def _spot(place: Place) -> int | None:
    """Return the number of the corner where a place lies (0: the front face); a centre has none.

    The back end of one section is the front end of the next.
    """
    if place.at == "centre":
        return None
    return place.section if place.at == "back" else place.section - 1


def _spots(count: int, row: int) -> dict[str, frozenset[int]]:
    """Return the two corners that each way of giving a section's place measures between."""
    return {"front": frozenset({0, row + 1}), "back": frozenset({row, count})}


def length_place(part: PartRecord, row: int) -> tuple[int, str] | None:
    """Return which of the part's lengths gives the place of section `row`, and from which end."""
    for side, spots in _spots(len(part.sections), row).items():
        for index, length in enumerate(part.lengths):
            if frozenset({_spot(length.start), _spot(length.end)}) == spots:
                return index, side
    return None


def _lengthened(part: PartRecord) -> PartRecord:
    """Return the part with lengths for one more section to come.

    What was measured from the back face goes on to be; what begins at the front face stays.
    """
    last = len(part.sections)

    def moved(length: LengthDimension) -> LengthDimension:
        ends = [_spot(length.start), _spot(length.end)]
        if last not in ends or 0 in ends:
            return length
        new = Place(last + 1, "back")
        if ends[1] == last:
            return msgspec.structs.replace(length, end=new)
        return msgspec.structs.replace(length, start=new)

    return msgspec.structs.replace(part, lengths=tuple(moved(d) for d in part.lengths))


def _length_text(part: PartRecord, row: int) -> str:
    if part.sections[row].length is not None:
        return part.sections[row].length or ""
    place = length_place(part, row)
    return "" if place is None else f"{part.lengths[place[0]].text} from {place[1]}"


def _with_length(part: PartRecord, row: int, text: str, units: Units) -> PartRecord:
    size, word, side = text.rpartition(" from ")
    section = part.sections[row]
    before = length_place(part, row)
    lengths = list(part.lengths)
    if section.length is None and before is not None:
        del lengths[before[0]]
    own: str | None = None
    if not word:
        if section.kind == "face" and text:
            raise InputError("a face has no length of its own: leave this cell empty")
        own = checked_text(text, units, "length")
    else:
        named = next((end for end in ("front", "back") if end.startswith(side.lower())), None)
        if named is None:
            raise InputError('say from which end: "58 from front" or "44 from back"')
        checked_text(size, units, "length")
        start, end = Place(row + 1, "front"), Place(row + 1, "back")
        if named == "front":
            start = Place(1, "front")
        else:
            end = Place(len(part.sections), "back")
        lengths.append(LengthDimension(start, end, size))
    sections = list(part.sections)
    sections[row] = msgspec.structs.replace(section, length=own)
    return msgspec.structs.replace(part, sections=tuple(sections), lengths=tuple(lengths))
