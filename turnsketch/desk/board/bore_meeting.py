"""Where two bores meet: what of one's wall the other has taken. Plain arithmetic."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from turnsketch.geometry.elements import Arc, Line, Point
from turnsketch.part.outline_records import OutlineElement

__all__ = ["bottom_z", "opens_into", "trimmed"]

_SAME = 1e-6


def bottom_z(void: Sequence[OutlineElement], *, back: bool) -> float:
    """Return z of a bore's bottom, part frame."""
    places = [p.z for e in void for p in (e.shape.start, e.shape.end)]
    return max(places) if back else min(places)


def opens_into(at: Point, void: Sequence[OutlineElement], *, back: bool) -> bool:
    """Return whether a bore of the other end that ends at a place comes out in a void there.

    `at` is the rim of its bottom, part frame; `back` says that the void is the back end's.
    """
    side, bottom = (-1.0 if back else 1.0), bottom_z(void, back=back)
    if side * (at.z - bottom) < -_SAME:
        return False
    rims = [
        _radius(e)
        for e in void
        if min(e.shape.start.z, e.shape.end.z) - _SAME <= at.z
        and at.z <= max(e.shape.start.z, e.shape.end.z) + _SAME
    ]
    return max(rims, default=0.0) > at.r + _SAME


def trimmed(
    void: Sequence[OutlineElement], other: Sequence[OutlineElement], *, back: bool
) -> tuple[OutlineElement, ...]:
    """Return the elements of a bore that lie outside the void of the other end's bore.

    The other bore's void lies between its mouth and its bottom; a stretch there goes out where
    the other bore is wider.

    Parameters
    ----------
    void, other : sequence of OutlineElement
        Both in the part's frame.
    back : bool
        `void` is the back end's.
    """
    limit = bottom_z(other, back=not back)
    found: list[OutlineElement] = []
    for element in void:
        made = _kept(element, limit, back)
        if made is not None:
            found.append(made)
        beyond = _kept(element, limit, not back)
        if beyond is not None and _radius(beyond) > _widest(other, beyond) + _SAME:
            found.append(beyond)
    return tuple(found)


def _kept(element: OutlineElement, limit: float, back: bool) -> OutlineElement | None:
    """Return what of an element lies on the mouth's side of a plane; None: nothing does."""
    shape = element.shape
    side = -1.0 if back else 1.0
    first, last = side * (shape.start.z - limit), side * (shape.end.z - limit)
    if first <= _SAME and last <= _SAME:
        return None
    if (first >= -_SAME and last >= -_SAME) or isinstance(shape, Arc):
        return element if max(first, last) > _SAME else None
    share = first / (first - last)
    cut = Point(limit, shape.start.r + share * (shape.end.r - shape.start.r))
    ends = (cut, shape.end) if first < 0 else (shape.start, cut)
    return replace(element, shape=Line(*ends))


def _radius(element: OutlineElement) -> float:
    return max(element.shape.start.r, element.shape.end.r)


def _widest(void: Sequence[OutlineElement], element: OutlineElement) -> float:
    """Return the greatest radius of a void over the z range of an element."""
    low, high = sorted((element.shape.start.z, element.shape.end.z))
    return max(
        (
            _radius(e)
            for e in void
            if min(e.shape.start.z, e.shape.end.z) <= high + _SAME
            and max(e.shape.start.z, e.shape.end.z) >= low - _SAME
        ),
        default=0.0,
    )
