"""The print's dimensions as the board shows them: each with its place in the job file."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.desk.board.board_dimension import BoardDimension, shown_text
from turnsketch.desk.board.drawing import Drawing
from turnsketch.desk.board.feature_dimensions import (
    bore_lengths,
    bottoms,
    groove_dimensions,
    outer,
    thread_dimensions,
)
from turnsketch.document.bores import all_sections
from turnsketch.document.dimension_edit import number_text
from turnsketch.geometry.elements import Arc, Point
from turnsketch.part.records import Section
from turnsketch.part.sketch_records import SketchPlace

__all__ = ["BoardDimension", "dimensions_of", "shown_text"]


def dimensions_of(drawing: Drawing) -> tuple[BoardDimension, ...]:
    """Return every dimension of the job at its place, and the overall length in brackets."""
    if drawing.pencil is None:
        return ()
    found: list[BoardDimension] = []
    for number, section in enumerate(all_sections(drawing.job.part), 1):
        found += _of_section(drawing, number, section)
    found += [*thread_dimensions(drawing), *groove_dimensions(drawing)]
    found += [*bottoms(drawing), *_lengths(drawing), *bore_lengths(drawing)]
    overall = _overall(drawing)
    if overall is not None and not any(_whole(drawing, d) for d in found):
        found.append(overall)
    return tuple(_with_doubt(drawing, d) for d in found)


def _of_section(drawing: Drawing, number: int, section: Section) -> Iterator[BoardDimension]:
    front, back = drawing.ends(number)
    middle = drawing.middle(number)
    places = {
        "diameter": middle,
        "front_diameter": drawing.middle(number, 0.1),
        "back_diameter": drawing.middle(number, 0.9),
        "angle": middle,
        "radius": middle,
        "front_corner": _on_corner(drawing, front),
        "back_corner": _on_corner(drawing, back),
        "roughness": drawing.middle(number, 0.72),
    }
    for field, place in places.items():
        text = getattr(section, field)
        if text is not None and not (field.endswith("_diameter") and text.strip(" Øø") == "0"):
            yield BoardDimension("tag", shown_text(field, text), text, number, field, place, place)
    if section.length is not None:
        if number > len(drawing.job.part.sections):  # a bore's begins at the outside, too
            front, back = outer(drawing, front.z), outer(drawing, back.z)
        yield BoardDimension(
            "length", section.length, section.length, number, "length", front, back
        )


def _on_corner(drawing: Drawing, sharp: Point) -> Point:
    """Return the middle of the chamfer or round that took a sharp corner; else the corner."""
    middles = [
        e.shape.at(0.5)
        for e in drawing.all_elements
        if e.role in ("chamfer", "round")
        and e.shape.start.distance(sharp) + e.shape.end.distance(sharp) < 4.0 * e.shape.length
    ]
    return min(middles, key=sharp.distance, default=sharp)


def _lengths(drawing: Drawing) -> Iterator[BoardDimension]:
    assert drawing.pencil is not None
    lengths = drawing.job.part.lengths
    for length in drawing.pencil.sketch.lengths:
        if not length.path.startswith("part.lengths["):
            continue
        index = int(length.path[len("part.lengths[") : length.path.index("]")])
        start, end = _place(drawing, length.front), _place(drawing, length.back)
        text = lengths[index].text
        yield BoardDimension("length", text, text, None, str(index), start, end)


def _place(drawing: Drawing, place: SketchPlace) -> Point:
    assert drawing.pencil is not None
    if place.vertex is not None:
        return drawing.pencil.vertices[place.vertex]
    assert place.centre is not None
    number = drawing.pencil.sketch.sections[place.centre].number
    for element in drawing.of_section(number or 0):
        if isinstance(element.shape, Arc):
            return Point(element.shape.centre.z, max(element.shape.centre.r, 0.0))
    return drawing.pencil.vertices[place.centre]


def _overall(drawing: Drawing) -> BoardDimension | None:
    count = len(drawing.job.part.sections)
    inked = sum(1 for number in drawing.fixed if number <= count)
    if count < 2 or drawing.length <= 0 or inked < count:
        return None
    shown = f"({number_text(drawing.length, drawing.job.units)})"
    front, back = (_rim(drawing, at) for at in (0.0, -drawing.length))
    return BoardDimension("length", shown, "", None, "overall", front, back)


def _rim(drawing: Drawing, z: float) -> Point:
    """Return the highest vertex of an end of the part."""
    return Point(z, max((p.r for p in drawing.vertices if abs(p.z - z) < 1e-6), default=0.0))


def _whole(drawing: Drawing, dimension: BoardDimension) -> bool:
    ends = sorted((dimension.start.z, dimension.end.z))
    whole = abs(ends[0] + drawing.length) < 1e-6 and abs(ends[1]) < 1e-6
    return dimension.kind == "length" and whole


def _with_doubt(drawing: Drawing, dimension: BoardDimension) -> BoardDimension:
    """Mark a dimension of a section that the solver calls repeated or contradictory."""
    if dimension.kind != "length":
        return dimension
    for issue in drawing.issues:
        if issue.kind in ("repeat", "contradiction") and issue.section == dimension.section:
            if dimension.section is None and dimension.field == "overall":
                continue
            return BoardDimension(
                dimension.kind,
                dimension.shown,
                dimension.text,
                dimension.section,
                dimension.field,
                dimension.start,
                dimension.end,
                "repeat" if issue.kind == "repeat" else "contradiction",
            )
    return dimension
