"""The outline with its grooves in, and the outline that turning tools work to.

A groove takes the place of the stretch of outline between its two ends. Turning and facing leave
grooves out: another tool makes them. But an undercut with a large radius leaves a fillet in its
corner, and that metal must not be turned away before.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.geometry.intersect import meetings, turn_between
from turnsketch.part.outline_records import JoinKind, Outline, OutlineElement, ResolvedGroove
from turnsketch.part.records import AT_SHOULDER

__all__ = ["grooved", "left_for_grooves"]

_ON = 1e-6
_SMOOTH = 1e-7
"""Rounds of grooves are built tangent; what their ends differ by is rounding."""


def grooved(
    outline: Outline, grooves: Sequence[ResolvedGroove], *, inside: bool = False
) -> Outline:
    """Return `outline` with every groove in the place of the stretch that it takes.

    Parameters
    ----------
    outline : Outline
        The part's outside, or the void of one of its bores told as a body.
    grooves : sequence of ResolvedGroove
        In the outline's frame; those of the other side are passed over.
    inside : bool
        The outline is a bore's.

    Raises
    ------
    InputError
        A groove begins or ends on no element: a chamfer or round has taken its place.
    """
    for groove in grooves:
        if groove.inside == inside:
            outline = _spliced(outline, groove, [_element(e) for e in groove.elements])
    return outline


def left_for_grooves(
    outline: Outline, grooves: Sequence[ResolvedGroove], *, inside: bool = False
) -> Outline:
    """Return what turning leaves: `outline` with the fillets that undercuts want in corners.

    Parameters
    ----------
    inside : bool
        The outline is a bore's, told as an outside: so are its grooves.
    """
    for groove in grooves:
        if groove.inside != inside or groove.kind not in AT_SHOULDER:
            continue
        fillet = _fillet(outline, groove)
        if fillet is not None:
            outline = _spliced(outline, groove, [OutlineElement(fillet, None, "round")], fillet)
    return outline


def _element(shape: Element) -> OutlineElement:
    return OutlineElement(shape, None, "groove")


@dataclass(frozen=True, slots=True)
class _Stretch:
    """What a groove takes of an outline."""

    first: int
    last: int
    before: Line | None
    """What stays of the first element."""
    after: Line | None


def _stretch(outline: Outline, start: Point, end: Point, where: str) -> _Stretch:
    elements = outline.elements
    firsts = [i for i, e in enumerate(elements) if _holds(e.shape, start)]
    lasts = [i for i, e in enumerate(elements) if _holds(e.shape, end)]
    if not firsts or not lasts or firsts[0] > lasts[-1]:
        raise InputError(
            "the groove begins or ends in a chamfer, a round or another groove; move it or "
            "make it narrower",
            where,
        )
    # Where a place ends one element and begins the next, the groove takes none of the outer two.
    first, last = firsts[-1], lasts[0]
    if first > last:
        first, last = firsts[0], lasts[-1]
    head, tail = elements[first].shape, elements[last].shape
    before = Line(head.start, start) if head.start.distance(start) > _ON else None
    after = Line(end, tail.end) if end.distance(tail.end) > _ON else None
    return _Stretch(first, last, before, after)


def _holds(shape: Element, place: Point) -> bool:
    """Return whether a place lies on a straight element, ends included."""
    if isinstance(shape, Arc):
        return False
    way, to = shape.end.minus(shape.start), place.minus(shape.start)
    length = shape.length
    along = (way.z * to.z + way.r * to.r) / length
    across = (way.z * to.r - way.r * to.z) / length
    return abs(across) <= _ON and -_ON <= along <= length + _ON


def _spliced(
    outline: Outline,
    groove: ResolvedGroove,
    made: Sequence[OutlineElement],
    between: Element | None = None,
) -> Outline:
    where = f"part.grooves[{groove.number - 1}]"
    start, end = made[0].shape.start, made[-1].shape.end
    if between is not None:
        start, end = between.start, between.end
    cut = _stretch(outline, start, end, where)
    old = outline.elements
    elements = [*old[: cut.first]]
    if cut.before is not None:
        elements.append(_with_shape(old[cut.first], cut.before))
    elements += made
    if cut.after is not None:
        elements.append(_with_shape(old[cut.last], cut.after))
    elements += old[cut.last + 1 :]
    known = {
        (id(a), id(b)): join for (a, b), join in zip(pairwise(old), outline.joins, strict=True)
    }
    joins = tuple(
        known.get((id(a), id(b))) or _join(a.shape, b.shape) for a, b in pairwise(elements)
    )
    return Outline(tuple(elements), joins)


def _with_shape(element: OutlineElement, shape: Line) -> OutlineElement:
    return OutlineElement(shape, element.section, element.role, element.corner)


def _join(before: Element, after: Element) -> JoinKind:
    turn = turn_between(before.end_direction, after.start_direction)
    if abs(turn) <= _SMOOTH:
        return "smooth"
    return "convex" if turn > 0 else "reflex"


def _fillet(outline: Outline, groove: ResolvedGroove) -> Arc | None:
    """Return the part of a groove's round that stands over the sharp corner; None: none does.

    It runs from the cylinder to the shoulder face (front to back).
    """
    cut = _stretch(
        outline,
        groove.elements[0].start,
        groove.elements[-1].end,
        f"part.grooves[{groove.number - 1}]",
    )
    if cut.last == cut.first:
        return None
    head, tail = outline.elements[cut.first].shape, outline.elements[cut.last].shape
    for shape in groove.elements:
        if not isinstance(shape, Arc):
            continue
        on_head, on_tail = _inner(shape, head, tail), _inner(shape, tail, head)
        if on_head is not None and on_tail is not None:
            return Arc(on_head, on_tail, shape.centre, shape.turn)
    return None


def _inner(arc: Arc, shape: Element, other: Element) -> Point | None:
    """Return where an arc meets one side of a corner, short of the other side."""
    for place in meetings(arc, shape, _ON):
        if not _holds(other, place):
            return place
    return None
