"""What an outline must not do: run backwards, go below the axis, cross itself.

Every refusal names the place in the words of the print ("section 3", "the shoulder behind section
2") and says what to look at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from turnsketch.errors import InputError
from turnsketch.geometry.constants import EXACT, TOUCH
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.geometry.intersect import meetings, r_extent, z_extent
from turnsketch.part.outline_records import OutlineElement
from turnsketch.units import Units, from_mm

__all__ = ["check_chain", "check_crossings", "in_words", "length_text", "place_text"]

NEAR_JOINT = 1e-4
"""Meetings of neighbours closer than this to their joint are the joint itself (mm)."""


def length_text(length_mm: float, units: Units) -> str:
    """Return a length for a message: "4.00 mm", "0.157 in"."""
    value = from_mm(length_mm, units)
    return f"{value:.3f} in" if units == "inch" else f"{value:.2f} mm"


def place_text(point: Point, units: Units) -> str:
    """Return a place for a message, with its diameter: "Z-12.30 Ø18.40"."""
    digits = 3 if units == "inch" else 2
    z = round(from_mm(point.z, units), digits) + 0.0
    return f"Z{z:.{digits}f} Ø{from_mm(2.0 * point.r, units):.{digits}f}"


def in_words(chain: Sequence[OutlineElement], index: int) -> str:
    """Return what a person calls an element: "section 3", "the shoulder behind section 2"."""
    element = chain[index]
    if element.section is not None:
        if element.role in ("chamfer", "round"):
            return f"the {element.role} at section {element.section}"
        return f"section {element.section}"
    if element.role in ("chamfer", "round"):
        return f"the {element.role} at {in_words(chain, index - 1)}"
    before = [e.section for e in chain[:index] if e.section is not None]
    if not before:
        return "the front face"
    if index == len(chain) - 1:
        return "the back face"
    return f"the shoulder behind section {before[-1]}"


def check_chain(chain: Sequence[OutlineElement], units: Units = "mm") -> None:
    """Refuse a chain of sharp elements that is no outline, but for crossings.

    Raises
    ------
    InputError
        An element has no length or radius, runs backwards, or goes below the axis; the outline
        does not begin and end on the axis. The place is named.
    """
    if not chain:
        raise InputError("the part has no sections; give at least one cylinder", "sections")
    for index, element in enumerate(chain):
        _check_length(chain, index)
        if index and element.shape.start.distance(chain[index - 1].shape.end) > EXACT:
            raise InputError(
                f"does not begin where {in_words(chain, index - 1)} ends; check its sizes",
                in_words(chain, index),
            )
        _check_way(chain, index, units)
        low = r_extent(element.shape)[0]
        if low < -EXACT:
            raise InputError(
                f"reaches {length_text(-low, units)} below the axis; no radius may be negative: "
                "check its diameters, its radius and where its centre lies",
                in_words(chain, index),
            )
    _check_axis(chain, units)


def _check_length(chain: Sequence[OutlineElement], index: int) -> None:
    shape = chain[index].shape
    numbers = [*shape.start, *shape.end, *(shape.centre if isinstance(shape, Arc) else ())]
    fault = ""
    if not all(math.isfinite(number) for number in numbers):
        fault = "has no finite size; check its dimensions"
    elif isinstance(shape, Arc) and (
        shape.radius <= EXACT or abs(shape.radius - shape.end.distance(shape.centre)) > TOUCH
    ):
        fault = "no arc of this radius joins its two ends; check its radius"
    elif shape.start.distance(shape.end) <= EXACT:
        fault = "has no length; check its length and diameters or take it out"
    if fault:
        raise InputError(fault, in_words(chain, index))


def _check_way(chain: Sequence[OutlineElement], index: int, units: Units) -> None:
    element = chain[index]
    ahead = element.shape.end.z - element.shape.start.z
    if element.role == "face":
        return
    if ahead > EXACT or (element.role == "cylinder" and ahead >= -EXACT):
        raise InputError(
            f"runs backwards: its back end lies {length_text(ahead, units)} in front of its front "
            "end; check the lengths on both sides of it",
            in_words(chain, index),
        )


def _check_axis(chain: Sequence[OutlineElement], units: Units) -> None:
    if abs(chain[0].shape.start.r) > EXACT or abs(chain[-1].shape.end.r) > EXACT:
        end, index = ("begin", 0) if abs(chain[0].shape.start.r) > EXACT else ("end", -1)
        raise InputError(
            f"the outline must {end} on the axis; add a face that runs to it",
            in_words(chain, index % len(chain)),
        )
    for index, element in enumerate(chain):
        last = index == len(chain) - 1
        low = r_extent(element.shape)[0]
        ends_low = element.shape.end.r <= TOUCH
        starts_low = index == 0 and low >= -EXACT and element.shape.start.r <= TOUCH
        dips = low <= TOUCH and not starts_low and not (last and ends_low)
        if (ends_low and not last) or dips:
            raise InputError(
                f"runs down to the axis near {place_text(element.shape.end, units)}: the part "
                "would fall in two; give it a diameter there",
                in_words(chain, index),
            )


def check_crossings(elements: Sequence[OutlineElement], units: Units = "mm") -> None:
    """Refuse an outline that meets itself anywhere but at the joins of neighbours.

    Pairs are found by sweeping along z, then met in closed form, so the answer is exact within
    1e-9 mm.

    Raises
    ------
    InputError
        Two elements cross, touch or overlap; both and the place are named.
    """
    shapes = [element.shape for element in elements]
    for first, second in _close_pairs(shapes):
        if second == first + 1 and all(isinstance(shapes[i], Line) for i in (first, second)):
            continue  # They meet in their joint alone, unless they fold back: that is a join.
        for point in meetings(shapes[first], shapes[second]):
            if _is_joint(shapes, first, second, point):
                continue
            raise InputError(
                f"meets {in_words(elements, second)} near {place_text(point, units)}: the "
                "outline crosses itself; check the sizes of both",
                in_words(elements, first),
            )


def _is_joint(shapes: Sequence[Element], first: int, second: int, point: Point) -> bool:
    if second == first + 1:
        return point.distance(shapes[first].end) <= NEAR_JOINT
    return False


def _close_pairs(shapes: Sequence[Element]) -> Iterator[tuple[int, int]]:
    """Yield index pairs, smaller first, whose boxes overlap: a sweep along z."""
    spans = [(*z_extent(shape), *r_extent(shape)) for shape in shapes]
    order = sorted(range(len(shapes)), key=lambda index: spans[index][0])
    active: list[int] = []
    for index in order:
        near, _, low, high = spans[index]
        active = [other for other in active if spans[other][1] >= near - EXACT]
        for other in active:
            if spans[other][2] <= high + EXACT and spans[other][3] >= low - EXACT:
                yield min(index, other), max(index, other)
        active.append(index)
