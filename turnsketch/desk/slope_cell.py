"""The cell "Taper, R, thread": a taper's angle, an arc's radius, a cylinder's thread or knurl."""

from __future__ import annotations

from typing import Final, Literal

import msgspec

from turnsketch.desk.thread_cell import (
    feature_text,
    is_knurl,
    is_thread,
    with_knurl,
    with_thread,
)
from turnsketch.errors import InputError
from turnsketch.part.records import Section
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = ["slope_text", "with_slope"]

_Tangent = Literal["front", "back", "both"]
_ENDS: Final[tuple[_Tangent, ...]] = ("front", "back", "both")
_WORDS: Final = frozenset(
    {"narrows", "concave", "convex", "tangent", "long", "centre", "center", "hollow", "round"}
)


def slope_text(section: Section) -> str:
    """Return what the cell shows for a section."""
    if section.kind == "taper":
        words = [section.angle or "", "narrows" if section.narrows else ""]
    elif section.kind == "arc":
        words = [section.radius or "", section.sense or ""]
        words.append("long way" if section.long_way else "")
        if section.centre_diameter is not None:
            side = " below" if section.centre_side == "below" else ""
            words.append(f"centre {section.centre_diameter}{side}")
    else:
        return feature_text(section)
    if section.tangent is not None:
        words.append("tangent" if section.tangent == "both" else f"tangent {section.tangent}")
    return " ".join(word for word in words if word)


def with_slope(section: Section, text: str, units: Units, *, inside: bool = False) -> Section:
    """Return the section with `text` typed there.

    A ratio or an angle makes it a taper, a radius an arc, nothing a cylinder; a cylinder takes
    a thread or a knurl. `inside` says that it stands in a bore.

    Raises
    ------
    InputError
        When the text cannot be read.
    """
    if section.kind == "face":
        if text:
            raise InputError("a face is square to the axis: it takes neither taper nor radius")
        return section
    if section.kind == "cylinder" and is_thread(text):
        return with_thread(section, text, units, inside=inside)
    if section.kind == "cylinder" and is_knurl(text):
        return with_knurl(section, text, inside=inside)
    if section.kind == "cylinder" and not text and section.diameter is None:
        # Its thread stands under Ø: leaving this cell empty takes away no more than the knurl.
        return msgspec.structs.replace(section, knurl=None)
    words = text.split()
    cut = next((i for i, word in enumerate(words) if word.lower() in _WORDS), len(words))
    size, tail = " ".join(words[:cut]), [word.lower() for word in words[cut:]]
    if not size and not tail and section.kind != "arc":
        return _cylinder(section)
    arc = section.kind == "arc"
    if size:
        arc = _is_radius(size, units, arc)
    return _arc(section, size, tail, units) if arc else _taper(section, size, tail)


def _is_radius(size: str, units: Units, arc: bool) -> bool:
    """Return whether `size` is a radius; in an arc a bare number is one, elsewhere degrees."""
    if arc:
        try:
            parse(size, units, {"radius"})
        except InputError:
            parse(size, units, {"radius", "angle", "ratio"})
            return False
        return True
    return parse(size, units, {"radius", "angle", "ratio"}).kind == "radius"


def _ends_of(section: Section) -> tuple[str | None, str | None]:
    if section.kind == "cylinder":
        return section.diameter, None
    return section.front_diameter, section.back_diameter


def _cylinder(section: Section) -> Section:
    front, back = _ends_of(section)
    return Section(
        "cylinder",
        name=section.name,
        diameter=front or back,
        length=section.length,
        front_corner=section.front_corner,
        back_corner=section.back_corner,
        roughness=section.roughness,
        drawn=section.drawn,
    )


def _plain(section: Section, kind: Literal["taper", "arc"]) -> Section:
    front, back = _ends_of(section)
    return msgspec.structs.replace(
        _cylinder(section), kind=kind, diameter=None, front_diameter=front, back_diameter=back
    )


def _taper(section: Section, size: str, tail: list[str]) -> Section:
    tangent = _take_tangent(tail)
    narrows = _take(tail, "narrows")
    _nothing_left(tail, "narrows, tangent front, tangent back")
    return msgspec.structs.replace(
        _plain(section, "taper"), angle=size or None, narrows=narrows, tangent=tangent
    )


def _arc(section: Section, size: str, tail: list[str], units: Units) -> Section:
    tangent = _take_tangent(tail)
    hollow, crowned = _take(tail, "concave", "hollow"), _take(tail, "convex", "round")
    sense: Literal["convex", "concave"] | None = (
        "concave" if hollow else "convex" if crowned else None
    )
    long_way = _take(tail, "long")
    if long_way:
        _take(tail, "way")
    centre, below = _take_centre(tail, units)
    _nothing_left(tail, "convex, concave, long way, centre 0, tangent front, tangent back")
    return msgspec.structs.replace(
        _plain(section, "arc"),
        radius=size or None,
        sense=sense,
        long_way=long_way,
        centre_diameter=centre,
        centre_side="below" if below else "above",
        tangent=tangent,
    )


def _take(tail: list[str], *words: str) -> bool:
    """Take one of `words` out of `tail`; return whether it stood there."""
    for word in words:
        if word in tail:
            tail.remove(word)
            return True
    return False


def _take_tangent(tail: list[str]) -> _Tangent | None:
    if "tangent" not in tail:
        return None
    at = tail.index("tangent")
    del tail[at]
    named = next((e for e in _ENDS if at < len(tail) and tail[at] == e), None)
    if named is not None:
        del tail[at]
    return named or "both"


def _take_centre(tail: list[str], units: Units) -> tuple[str | None, bool]:
    """Take ``centre 30 below`` out of `tail`: twice its distance from the axis, and the side."""
    at = next((i for i, word in enumerate(tail) if word in ("centre", "center")), None)
    if at is None:
        return None, False
    below = _take(tail, "below")
    end = at + 1
    while end < len(tail) and tail[end] not in _WORDS and tail[end] not in _ENDS:
        end += 1
    size = " ".join(tail[at + 1 : end])
    del tail[at:end]
    if not size:
        raise InputError('say where the centre lies: "centre 0" is on the axis')
    parse(size, units, {"diameter"})
    return size, below


def _nothing_left(tail: list[str], known: str) -> None:
    if tail:
        raise InputError(f'"{tail[0]}" is not known here; these words are: {known}')
