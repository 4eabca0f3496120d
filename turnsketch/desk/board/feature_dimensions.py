"""Dimensions of bores, grooves, threads and knurls as the board shows them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from turnsketch.desk.board.board_dimension import BoardDimension, shown_text
from turnsketch.desk.board.drawing import Drawing
from turnsketch.desk.board.features import DrawnBore
from turnsketch.desk.text import told
from turnsketch.document.bores import all_sections, bore_of
from turnsketch.geometry.elements import Point
from turnsketch.part.outline_records import ResolvedGroove
from turnsketch.part.records import Groove, Section
from turnsketch.part.sketch_records import SketchPlace

__all__ = [
    "bore_lengths",
    "bottoms",
    "groove_dimensions",
    "groove_field",
    "outer",
    "thread_dimensions",
]

_PREFIX: Final = "groove"


def groove_field(field: str) -> tuple[int, str] | None:
    """Return number and field of the groove that a dimension belongs to; None: to a section."""
    prefix, _, rest = field.partition(":")
    if prefix != _PREFIX:
        return None
    number, _, name = rest.partition(":")
    return int(number), name


def outer(drawing: Drawing, z: float) -> Point:
    """Return the place of the outside at `z`: there the end line of a length may begin."""
    found = [0.0]
    for element in drawing.elements:
        low, high = sorted((element.shape.start.z, element.shape.end.z))
        if low - 1e-6 <= z <= high + 1e-6:
            found += [element.shape.start.r, element.shape.end.r]
    return Point(z, max(found))


def bore_lengths(drawing: Drawing) -> Iterator[BoardDimension]:
    """Yield the lengths over several sections of a bore."""
    for bore in drawing.bores:
        record = bore_of(drawing.job.part, bore.pencil.chain)
        printed = () if record is None else record.lengths
        for length in bore.pencil.pencil.sketch.lengths:
            if not length.path.startswith("part.lengths["):
                continue
            index = int(length.path[len("part.lengths[") : length.path.index("]")])
            if index >= len(printed):
                continue  # that of a through bore, which follows from the outside
            text = printed[index].text
            ends = [_bore_place(drawing, bore, place) for place in (length.front, length.back)]
            field = f"{bore.pencil.chain}:{index}"
            yield BoardDimension("length", text, text, None, field, ends[0], ends[1])


def bottoms(drawing: Drawing) -> Iterator[BoardDimension]:
    """Yield the angles of blind bores' bottoms."""
    for bore in drawing.bores:
        record = bore_of(drawing.job.part, bore.pencil.chain)
        cone = next((e for e in bore.void if e.section is None and e.role == "taper"), None)
        if record is not None and record.bottom is not None and cone is not None:
            at, field = cone.shape.at(0.5), f"bottom:{bore.pencil.chain}"
            yield BoardDimension("tag", record.bottom, record.bottom, None, field, at, at)


def _bore_place(drawing: Drawing, bore: DrawnBore, place: SketchPlace) -> Point:
    vertices = bore.pencil.pencil.vertices
    vertex = place.vertex if place.vertex is not None else place.centre
    return outer(drawing, bore.pencil.in_part(vertices[vertex or 0]).z)


def thread_dimensions(drawing: Drawing) -> Iterator[BoardDimension]:
    """Yield threads with their usable lengths, and knurls."""
    places = {t.section: (t.front_z, t.back_z) for t in drawing.threads}
    for number, section in enumerate(all_sections(drawing.job.part), 1):
        if section.thread is not None:
            yield _thread_tag(drawing, number, section)
        if section.thread_length is not None and number in places:
            ends = [outer(drawing, z) for z in places[number]]
            text = section.thread_length
            yield BoardDimension("length", text, text, number, "thread_length", ends[0], ends[1])
        if section.knurl is not None:
            at = drawing.middle(number, 0.25)
            yield BoardDimension("tag", section.knurl, section.knurl, number, "knurl", at, at)


def _thread_tag(drawing: Drawing, number: int, section: Section) -> BoardDimension:
    at, text = drawing.middle(number, 0.4), section.thread or ""
    return BoardDimension("tag", text, text, number, "thread", at, at)


def groove_dimensions(drawing: Drawing) -> Iterator[BoardDimension]:
    """Yield the sizes that the print gives for every groove that can be drawn."""
    for made in drawing.grooves:
        record = drawing.job.part.grooves[made.number - 1]
        yield from _tags(made, record)
        yield from _spans(drawing, made, record)


def _tags(made: ResolvedGroove, record: Groove) -> Iterator[BoardDimension]:
    bottom = made.elements[len(made.elements) // 2].at(0.5)
    named = f"{told(record.kind)} {record.size or ''}".strip()
    texts = {
        "size": (named, record.size or "") if _standard(record) else None,
        "diameter": _shown("diameter", record.diameter),
        "corner": _shown("radius", record.corner),
        "angle": _shown("angle", record.angle),
    }
    for field, found in texts.items():
        if found is not None:
            shown, text = found
            name = f"{_PREFIX}:{made.number}:{field}"
            yield BoardDimension("tag", shown, text, made.section, name, bottom, bottom)


def _standard(record: Groove) -> bool:
    return record.size is not None or record.kind not in ("plain", "round", "vee")


def _shown(field: str, text: str | None) -> tuple[str, str] | None:
    return None if text is None else (shown_text(field, text), text)


def _spans(drawing: Drawing, made: ResolvedGroove, record: Groove) -> Iterator[BoardDimension]:
    front, back = made.elements[0].start.z, made.elements[-1].end.z
    first, last = (p.z for p in drawing.ends(made.section))
    if first < last:  # the back end's bore is told from its mouth
        front, back = back, front
    spans = {
        "width": (record.width, front, back),
        "from_front": (record.from_front, first, front),
        "from_back": (record.from_back, back, last),
    }
    for field, (text, start, end) in spans.items():
        if text is not None and abs(start - end) > 1e-6:
            ends = [outer(drawing, z) for z in (start, end)]
            name = f"{_PREFIX}:{made.number}:{field}"
            yield BoardDimension("length", text, text, made.section, name, ends[0], ends[1])
