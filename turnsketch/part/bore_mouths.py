"""Corners at the mouths of a bore: they widen the void, where a body's corner would narrow it.

A bore has its mouth in the end face that it begins in; a through bore has a second one, at its far
end, which is reached once the part is turned around.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.part.limits import size_of
from turnsketch.part.outline_records import (
    CornerInfo,
    CornerSpec,
    InspectionRow,
    JoinKind,
    Outline,
    OutlineElement,
    ResolvedBore,
)
from turnsketch.part.records import Bore
from turnsketch.part.text import Dimension, parse
from turnsketch.part.turned import turned_outline
from turnsketch.units import Units

__all__ = ["Mouths", "from_mouth", "mouth_infos", "mouth_rows", "mouths_of", "with_mouths"]

_SAME = 1e-9

Mouths = tuple[CornerSpec | None, CornerSpec | None]
"""The corner at the mouth, and a through bore's at its far end."""


def mouths_of(bore: Bore, rule: str, units: Units, offset: int) -> Mouths:
    """Return the corners at a bore's mouths as the print gives them.

    Parameters
    ----------
    rule : str
        General tolerance of the print.
    offset : int
        Number of the section before the bore's first one.

    Raises
    ------
    InputError
        A text that is no chamfer and no round.
    """
    first, last = bore.sections[0].front_corner, bore.sections[-1].back_corner
    near = _spec(first, rule, units, offset + 1, "front", "part.sections[0].front_corner")
    if not bore.through:
        return near, None
    where = f"part.sections[{len(bore.sections) - 1}].back_corner"
    return near, _spec(last, rule, units, offset + len(bore.sections), "back", where)


def _spec(
    text: str | None,
    rule: str,
    units: Units,
    number: int,
    end: Literal["front", "back"],
    where: str,
) -> CornerSpec | None:
    if text is None:
        return None
    try:
        read: Dimension = parse(text, units, ("chamfer", "radius"))
        size = size_of(read, rule).aim
    except InputError as error:
        raise error.within(where) from None
    return CornerSpec(
        index=-1 if end == "front" else -2,
        vertex=1,
        kind="chamfer" if read.kind == "chamfer" else "round",
        size=size,
        angle=read.chamfer_angle or 0.0,
        text=text,
        section=number,
        end=end,
    )


def with_mouths(void: Outline, mouths: Mouths, depth: float, path: str) -> Outline:
    """Return a void's chain widened at its mouths.

    Parameters
    ----------
    void : Outline
        The void told as a body, from the mouth inward.
    depth : float
        Its length along the axis, millimetres.
    path : str
        Where the bore stands in the job, for messages.

    Raises
    ------
    InputError
        Where no cylinder long enough stands at that end.
    """
    near, far = mouths
    if near is not None:
        void = _widened(void, near, f"{path}.sections[0].front_corner")
    if far is None:
        return void
    where = f"{path}.sections[{_index(void, far)}].back_corner"
    return turned_outline(_widened(turned_outline(void, depth), far, where), depth)


def _index(void: Outline, spec: CornerSpec) -> int:
    """Return the place of a corner's section in its bore, from 0."""
    numbers = [e.section for e in void.elements if e.section is not None]
    return 0 if spec.section is None else spec.section - min(numbers, default=spec.section)


def from_mouth(bore: ResolvedBore, *, mouth: bool = True) -> Outline:
    """Return the aimed chain that tools from the mouth work to: without the far mouth's corner.

    Parameters
    ----------
    mouth : bool
        With the corner at the mouth; False where another tool makes it.
    """
    return with_mouths(bore.plain, (bore.mouth if mouth else None, None), bore.depth, "bore")


def _widened(void: Outline, mouth: CornerSpec, path: str) -> Outline:
    """Return the void's chain widened at its beginning by a chamfer or a round."""
    face, wall = void.elements[0], void.elements[1]
    corner, end = face.shape.end, wall.shape.end
    if not isinstance(wall.shape, Line) or abs(end.r - corner.r) > _SAME:
        raise InputError("a corner at the mouth needs a cylinder behind it", path)
    if corner.z - mouth.size < end.z + _SAME:
        raise InputError(
            "the corner at the mouth is longer than its cylinder: make it smaller, or that longer",
            path,
        )
    foot = Point(corner.z - mouth.size, corner.r)
    shape: Element
    if mouth.kind == "chamfer":
        rim = Point(corner.z, corner.r + mouth.size * math.tan(mouth.angle))
        shape = Line(rim, foot)
        ends: tuple[JoinKind, JoinKind] = ("convex", "reflex")
    else:
        rim = Point(corner.z, corner.r + mouth.size)
        shape = Arc(rim, foot, Point(foot.z, rim.r), "cw")
        ends = ("convex", "smooth")
    elements = (
        replace(face, shape=Line(face.shape.start, rim)),
        OutlineElement(shape, mouth.section, mouth.kind, mouth.index),
        replace(wall, shape=Line(foot, end)),
        *void.elements[2:],
    )
    return Outline(elements, (*ends, *void.joins[1:]))


def mouth_infos(void: Outline, mouths: Mouths) -> tuple[CornerInfo, ...]:
    """Return the corners at the mouths of a void's plain chain, as edges of the metal."""
    near, far = mouths
    at = void.elements[0].shape.end, void.elements[-1].shape.start
    found: list[CornerInfo] = []
    for spec, place in zip((near, far), at, strict=True):
        if spec is not None:
            between = (None, spec.section) if spec is near else (spec.section, None)
            found.append(
                CornerInfo(
                    spec.index, spec.kind, True, place, spec.size, spec.angle, spec.text, between
                )
            )
    return tuple(found)


def mouth_rows(
    bore: Bore, mouths: Mouths, rule: str, units: Units, end: str
) -> Iterator[tuple[int, InspectionRow]]:
    """Yield the mouths' corners as rows for the inspection table, each with its section."""
    for spec, index in zip(mouths, (0, len(bore.sections) - 1), strict=True):
        if spec is None or spec.section is None:
            continue
        read, name = parse(spec.text, units, ("chamfer", "radius")), bore.sections[index].name
        section = f"section {index + 1} ({name})" if name else f"section {index + 1}"
        chamfer = read.kind == "chamfer"
        word = "chamfer" if chamfer else "round"
        yield (
            spec.section,
            InspectionRow(
                what=f"{end}: {section}, {word} at its {spec.end} end",
                text=spec.text.strip(),
                size=size_of(read, rule),
                quantity="chamfer" if chamfer else "radius",
                reference=False,
                section=spec.section,
            ),
        )
