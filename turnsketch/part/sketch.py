"""From the part record to the sketch: text read, understood faces put in, places numbered.

Where a face is understood says `turnsketch.part.understood_faces`.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from turnsketch.errors import InputError
from turnsketch.part.chains import Link, close_chains
from turnsketch.part.cone_places import with_cone_sizes
from turnsketch.part.records import PartRecord, Place, Section
from turnsketch.part.section_reader import read_section, read_text
from turnsketch.part.sketch_records import (
    End,
    Sketch,
    SketchCorner,
    SketchLength,
    SketchPlace,
    SketchSection,
)
from turnsketch.part.text import Dimension
from turnsketch.part.understood_faces import understood_faces, with_faces
from turnsketch.units import Units

__all__ = [
    "Sketch",
    "SketchCorner",
    "SketchLength",
    "SketchPlace",
    "SketchSection",
    "expand",
]


def expand(part: PartRecord, units: Units) -> Sketch:
    """Return the sketch of a part.

    Parameters
    ----------
    part : PartRecord
        As the job file has it.
    units : {"mm", "inch"}
        The job's unit, for text that names none.

    Raises
    ------
    InputError
        Text that can't be read, a field that does not belong to its kind of section, a place that
        does not exist, two corners at one vertex. The path names the field.
    """
    if not part.sections:
        raise InputError("the part has no sections; give at least one", "part.sections")
    rule = part.general_tolerance
    coned = [_with_cone(part, number, units) for number in range(1, len(part.sections) + 1)]
    read = [read_section(s, number, units, rule) for number, s in enumerate(coned, 1)]
    _check_faces(read)
    spans = _spans(part, units)
    gaps = understood_faces(read, _axial_lengths(read, spans))
    sections, fronts = with_faces(read, gaps)
    return Sketch(
        name=part.name,
        units=units,
        sections=_with_tangency(sections),
        corners=_corners(part, fronts, len(sections), units),
        lengths=_lengths(read, fronts, spans),
        roughness=read_text(part.roughness, units, ["roughness"], "part.roughness"),
        inside_corners=read_text(part.inside_corners, units, ["radius"], "part.inside_corners"),
    )


def _with_cone(part: PartRecord, number: int, units: Units) -> Section:
    """Return a section with the sizes of the cone that it names."""
    path = f"part.sections[{number - 1}]"
    # Sections of a bore come with their cone's sizes already.
    return with_cone_sizes(
        part.sections[number - 1], units, inside=False, fill_length=not part.lengths, path=path
    )


def _check_faces(read: Sequence[SketchSection]) -> None:
    for before, after in itertools.pairwise(read):
        if before.kind == after.kind == "face":
            raise InputError("two faces in a row; leave one out", after.path)
    last = read[-1]
    if last.kind == "face" and last.back_diameter and last.back_diameter.exact != 0:
        raise InputError(
            "the last face ends on the axis; leave out its back diameter or give a section "
            "behind it",
            f"{last.path}.back_diameter",
        )


# Lengths over several sections


def _spans(part: PartRecord, units: Units) -> list[tuple[Place, Place, Dimension, str]]:
    """Return the part's own lengths, read, each from its front place to its back place."""
    spans = []
    for index, length in enumerate(part.lengths):
        path = f"part.lengths[{index}]"
        for place, field in ((length.start, "from"), (length.end, "to")):
            _check_place(part, place, f"{path}.{field}")
        dimension = read_text(length.text, units, ["length"], f"{path}.text")
        assert dimension is not None
        if dimension.exact == 0:
            raise InputError("a length is over zero; take it out or correct it", f"{path}.text")
        front, back = _ordered(length.start, length.end)
        spans.append((front, back, dimension, f"{path}.text"))
    return spans


def _check_place(part: PartRecord, place: Place, path: str) -> None:
    if not 1 <= place.section <= len(part.sections):
        raise InputError(
            f"the part has no section {place.section}; sections go from 1 to {len(part.sections)}",
            f"{path}.section",
        )
    kind = part.sections[place.section - 1].kind
    if place.at == "centre" and kind != "arc":
        raise InputError(f"a {kind} has no centre; only an arc has one", f"{path}.at")


def _ordered(start: Place, end: Place) -> tuple[Place, Place]:
    """Put the place nearer to the front first.

    A centre counts as lying between the ends of its arc; against an end of its own arc the order
    stays as written, from front to back.
    """
    rank = {"front": 0, "centre": 1, "back": 2}
    if start.section == end.section:
        if "centre" in (start.at, end.at):
            return start, end
        return (start, end) if rank[start.at] <= rank[end.at] else (end, start)
    return (start, end) if start.section < end.section else (end, start)


def _axial_lengths(
    read: Sequence[SketchSection], spans: Sequence[tuple[Place, Place, Dimension, str]]
) -> list[Fraction | None]:
    """Return the axial length of every recorded section, where the lengths alone give it."""
    joints = [0]
    for section in read:
        joints.append(joints[-1] + (section.kind != "face"))
    links = [
        Link(joints[i], joints[i + 1], section.length.exact, i)
        for i, section in enumerate(read)
        if section.length and not section.length.reference
    ]
    for number, (front, back, dimension, _) in enumerate(spans):
        if "centre" not in (front.at, back.at) and not dimension.reference:
            a, b = (joints[p.section - (p.at == "front")] for p in (front, back))
            links.append(Link(a, b, dimension.exact, number))
    chains = close_chains(joints[-1] + 1, links)

    def between(a: int, b: int) -> Fraction | None:
        if chains.root[a] != chains.root[b]:
            return None
        return chains.offset[a] - chains.offset[b]

    return [between(joints[i], joints[i + 1]) for i in range(len(read))]


def _with_tangency(sections: Sequence[SketchSection]) -> tuple[SketchSection, ...]:
    """Let both sides of a tangent vertex know of it."""
    flags = [False] * (len(sections) + 1)
    for i, section in enumerate(sections):
        for vertex, asked in ((i, section.tangent_front), (i + 1, section.tangent_back)):
            if not asked:
                continue
            if not 0 < vertex < len(sections):
                raise InputError(
                    "the arc ends on the axis, where nothing is to be tangent with; take it out",
                    f"{section.path}.tangent",
                )
            if "arc" not in (sections[vertex - 1].kind, sections[vertex].kind):
                raise InputError(
                    "two straight sections can't be tangent; take it out", f"{section.path}.tangent"
                )
            flags[vertex] = True
    return tuple(
        replace(section, tangent_front=flags[i], tangent_back=flags[i + 1])
        for i, section in enumerate(sections)
    )


# Places and corners


def _lengths(
    read: Sequence[SketchSection],
    fronts: Sequence[int],
    spans: Sequence[tuple[Place, Place, Dimension, str]],
) -> tuple[SketchLength, ...]:
    def place(at: Place) -> SketchPlace:
        front = fronts[at.section - 1]
        if at.at == "centre":
            return SketchPlace(None, front)
        return SketchPlace(front if at.at == "front" else front + 1, None)

    own = [
        SketchLength(
            SketchPlace(front, None),
            SketchPlace(front + 1, None),
            section.length,
            f"{section.path}.length",
        )
        for section, front in zip(read, fronts, strict=True)
        if section.length
    ]
    for front, back, dimension, path in spans:
        own.append(SketchLength(place(front), place(back), dimension, path))
    return tuple(own)


def _corners(
    part: PartRecord, fronts: Sequence[int], last: int, units: Units
) -> tuple[SketchCorner, ...]:
    corners: list[SketchCorner] = []
    taken: dict[int, str] = {}
    for i, section in enumerate(part.sections):
        ends: tuple[tuple[End, str | None], ...] = (
            ("front", section.front_corner),
            ("back", section.back_corner),
        )
        for end, text in ends:
            path = f"part.sections[{i}].{end}_corner"
            dimension = read_text(text, units, ["chamfer", "radius"], path)
            if dimension is None:
                continue
            vertex = fronts[i] + (end == "back")
            _check_corner(vertex, last, taken.get(vertex), path)
            taken[vertex] = path
            corners.append(SketchCorner(len(corners), vertex, dimension, i + 1, end, path))
    return tuple(corners)


def _check_corner(vertex: int, last: int, other: str | None, path: str) -> None:
    if vertex in (0, last):
        raise InputError("on the axis there is no corner; take it out", path)
    if other is not None:
        raise InputError(f"the same corner stands at {other} too; give it once", path)
