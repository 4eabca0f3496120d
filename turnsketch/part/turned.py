"""A part turned around: the same part with its back end in front."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.part.outline_records import (
    CornerInfo,
    CornerSpec,
    Outline,
    ResolvedBore,
    ResolvedCone,
    ResolvedGroove,
    ResolvedKnurl,
    ResolvedPart,
    ResolvedThread,
    SectionInfo,
)

__all__ = [
    "bore_grooves",
    "turned_element",
    "turned_outline",
    "turned_part",
    "turned_point",
    "turned_section",
]


def turned_point(point: Point, length: float) -> Point:
    """Return where a place of a part of `length` stands once it is turned around."""
    return Point(-length - point.z + 0.0, point.r)


def turned_element(element: Element, length: float) -> Element:
    """Return a line or an arc turned around, travelled the other way: the metal stays left."""
    start, end = turned_point(element.end, length), turned_point(element.start, length)
    if isinstance(element, Line):
        return Line(start, end)
    return Arc(start, end, turned_point(element.centre, length), element.turn)


def turned_part(part: ResolvedPart) -> ResolvedPart:
    """Return the part in the frame that has its back end in front, at z = 0.

    Sections, corners, grooves and the rest keep their numbers; what was a front end is a back end.
    A through bore that meets no other is told from its other mouth.
    """
    length = part.total_length
    count = 0 if part.sharp is None else len(part.sharp.elements)
    return replace(
        part,
        aim=turned_outline(part.aim, length),
        nominal=turned_outline(part.nominal, length),
        corners=tuple(_corner(c, length) for c in part.corners),
        sections=tuple(turned_section(s, length) for s in part.sections),
        sharp=None if part.sharp is None else turned_outline(part.sharp, length),
        corner_specs=tuple(_spec(s, count) for s in part.corner_specs),
        bore=_from_behind(part.bore) if _right_through(part) else part.bore_back,
        bore_back=None if _right_through(part) else part.bore,
        grooves=tuple(_groove(g, length) for g in part.grooves),
        threads=tuple(_thread(t, length) for t in part.threads),
        knurls=tuple(_knurl(k, length) for k in part.knurls),
        cones=tuple(_cone(c, length) for c in part.cones),
    )


def _right_through(part: ResolvedPart) -> bool:
    return part.bore is not None and part.bore.through and part.bore_back is None


def _from_behind(bore: ResolvedBore | None) -> ResolvedBore | None:
    """Return a through bore told from its far mouth inward."""
    if bore is None:
        return None
    length = bore.depth
    return replace(
        bore,
        aim=turned_outline(bore.aim, length),
        nominal=turned_outline(bore.nominal, length),
        corners=tuple(_corner(c, length) for c in bore.corners),
        sections=tuple(turned_section(s, length) for s in reversed(bore.sections)),
        plain=turned_outline(bore.plain, length),
        mouth=_other_end(bore.far_mouth),
        far_mouth=_other_end(bore.mouth),
    )


def _other_end(spec: CornerSpec | None) -> CornerSpec | None:
    if spec is None:
        return None
    return replace(spec, end="front" if spec.end == "back" else "back")


def turned_outline(outline: Outline, length: float) -> Outline:
    """Return a chain of `length` turned around: from its new front to its new back."""
    elements = tuple(
        replace(e, shape=turned_element(e.shape, length)) for e in reversed(outline.elements)
    )
    return Outline(elements, outline.joins[::-1])


def _corner(corner: CornerInfo, length: float) -> CornerInfo:
    front, back = corner.between
    return replace(corner, at=turned_point(corner.at, length), between=(back, front))


def _spec(spec: CornerSpec, count: int) -> CornerSpec:
    end: Literal["front", "back"] = "front" if spec.end == "back" else "back"
    return replace(spec, vertex=count - spec.vertex, end=end)


def turned_section(info: SectionInfo, length: float) -> SectionInfo:
    """Return a section of a part of `length` turned around."""
    return replace(
        info,
        front=turned_point(info.back, length),
        back=turned_point(info.front, length),
        front_diameter=info.back_diameter,
        back_diameter=info.front_diameter,
        centre=None if info.centre is None else turned_point(info.centre, length),
    )


def _groove(groove: ResolvedGroove, length: float) -> ResolvedGroove:
    """Return a groove of a part of `length` turned around, told from its new front to its back."""
    elements = tuple(turned_element(e, length) for e in reversed(groove.elements))
    return replace(groove, elements=elements)


def bore_grooves(part: ResolvedPart, *, back: bool) -> list[ResolvedGroove]:
    """Return the grooves in one of the part's bores, in the frame that has its mouth in front."""
    bore = part.bore_back if back else part.bore
    own = () if bore is None else (g for g in part.grooves if g.section in bore.numbers)
    inside = [g for g in own if g.inside]
    return [_groove(g, part.total_length) for g in inside] if back else inside


def _thread(thread: ResolvedThread, length: float) -> ResolvedThread:
    return replace(thread, front_z=-length - thread.back_z, back_z=-length - thread.front_z)


def _knurl(knurl: ResolvedKnurl, length: float) -> ResolvedKnurl:
    return replace(knurl, front_z=-length - knurl.back_z, back_z=-length - knurl.front_z)


def _cone(cone: ResolvedCone, length: float) -> ResolvedCone:
    return replace(
        cone,
        gauge_z=-length - cone.gauge_z,
        front_z=-length - cone.back_z,
        back_z=-length - cone.front_z,
    )
