"""The exact path of a tool's reference point while the tool slides along an outline.

Nose radius, flanks and corners need no compensation formula: the path is the edge of the region
where the reference must not be, made of lines and arcs in closed form. Shapely only decides which
of them bound the region. Millimetres and radians.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry._candidates import Candidate, Contact, Slide, slide
from turnsketch.geometry._gauss import TurnedPiece, turned_piece
from turnsketch.geometry._joins import Joined, joined
from turnsketch.geometry._labels import boundary, no_go_region, runs
from turnsketch.geometry._ring import Join, Member, closed_ring
from turnsketch.geometry._verify import Scene
from turnsketch.geometry.constants import CHORD_FINE, CHORD_ROUGH, EXACT
from turnsketch.geometry.elements import Arc, Element, Line, Point, chain_chords

__all__ = ["Caution", "Contact", "ContactPath", "Join", "PathElement", "contact_path"]


@dataclass(frozen=True, slots=True)
class PathElement:
    """A line or arc of the reference point."""

    shape: Element
    source: int | None
    """Index of the element of the outline that it follows; None: a pivot about a corner, an edge
    of a blocked region, or a corner that was closed."""
    contact: Contact
    """What touches: the nose, a sharp corner or a straight flank of the tool; "vertex": the nose
    on a corner of the outline; "blocked": nothing, the reference follows a blocked region."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A place of the path that a person should know of."""

    place: Point
    """Of the reference point."""
    words: str
    kind: Literal["unverified", "cut short"]


@dataclass(frozen=True, slots=True)
class ContactPath:
    """The path along an outline, from its front to its back, metal on the left of travel."""

    elements: tuple[PathElement, ...]
    """Each begins where the one before ends; empty when the tool cannot touch the outline."""
    cautions: tuple[Caution, ...] = ()
    no_go: BaseGeometry = field(default_factory=Polygon, compare=False, repr=False)
    """Where the reference must not be, within the chord; all that is shut off is part of it."""
    scene: Scene | None = field(default=None, compare=False, repr=False)
    """Outline and tool, for exact checks of what is made of the path."""


def contact_path(
    keep: Sequence[Element],
    joins: Sequence[Join],
    pieces: Sequence[Sequence[Element]],
    safe: Point,
    *,
    blocked: BaseGeometry | None = None,
    closing: Sequence[Point] | None = None,
    chord: float = CHORD_FINE,
) -> ContactPath:
    """Return the exact path of the reference point of a tool that slides along an outline.

    Parameters
    ----------
    keep : sequence of Line or Arc
        The outline: an open chain from the axis at the front, outward and back, metal on the left
        of travel.
    joins : sequence of {"smooth", "convex", "reflex"}
        One fewer than `keep`: how each element runs into the next.
    pieces : sequence of closed chains
        The cutting pieces of the tool around its reference point, each convex and
        counterclockwise. Their arcs are noses.
    safe : Point
        Where the reference may be; only what can be reached from there counts.
    blocked : geometry, optional
        Where else the reference must not be (holder, jaws, centre).
    closing : sequence of Point, optional
        Corners of a way from the chain's end back to its start through metal. By default a chain
        that begins on the axis is joined by its mirror in the axis, and one that ends off the axis
        goes on along the bar.
    chord : float
        Largest gap between curves and the chords that decide which of them count.

    Returns
    -------
    ContactPath
        Ends are exact within 1e-9 mm unless a caution says otherwise.

    Raises
    ------
    NoStartError
        When the tool may not be at `safe`.
    """
    ring = closed_ring(keep, joins, closing)
    turned = [turned_piece(piece) for piece in pieces]
    scene = Scene.of(ring, turned)
    for fine in (chord, chord / 10):
        slides = [slide(ring, piece, fine) for piece in turned]
        band = no_go_region(slides, blocked)
        start = Point(*slides[0].strips[0][0])
        region, edge = boundary(band, start, safe, lambda: _cores(ring, turned))
        candidates = [c for one in slides for c in one.candidates]
        stretches = _own_part(joined(runs(edge, candidates, blocked), _order(slides)))
        doubtful = scene.doubtful(stretches)
        if not doubtful:
            break
    cautions = tuple(
        Caution(place, "this corner of the path could not be verified in closed form", "unverified")
        for place in doubtful
    )
    return ContactPath(_elements(stretches), cautions, region, scene)


def _cores(ring: Sequence[Member], turned: Sequence[TurnedPiece]) -> list[Polygon]:
    """Return the outline shifted by each piece's anchor, roughly."""
    points = chain_chords([member.shape for member in ring], CHORD_ROUGH)
    return [Polygon([p.plus(piece.anchor) for p in points]) for piece in turned]


def _order(slides: Sequence[Slide]) -> dict[Candidate, int]:
    """Number the curves: following numbers for those that follow one another in one slide."""
    order: dict[Candidate, int] = {}
    number = 0
    for one in slides:
        for candidate in one.candidates:
            order[candidate] = number
            number += 1
        number += 10
    return order


def _own_part(stretches: Sequence[Joined]) -> list[Joined]:
    """Return the part of the region's edge that belongs to the given chain, front to back."""
    own = [index for index, stretch in enumerate(stretches) if stretch.curve.own]
    if not own:
        return []
    # The path is cut open where it leaves the chain for the longest way.
    gaps = []
    for index, after in zip(own, [*own[1:], own[0] + len(stretches)], strict=True):
        between = [stretches[i % len(stretches)] for i in range(index + 1, after)]
        length = sum(s.start.distance(s.end) for s in between)
        gaps.append((length, after % len(stretches), index))
    _, first, last = max(gaps)
    count = (last - first) % len(stretches) + 1
    return [stretches[(first + i) % len(stretches)] for i in range(count)]


def _elements(stretches: Sequence[Joined]) -> tuple[PathElement, ...]:
    """Return the stretches as path elements; what goes on along one carrier is one element."""
    elements: list[PathElement] = []
    for stretch in stretches:
        curve = stretch.curve
        shape: Element
        if isinstance(curve.shape, Line):
            shape = Line(stretch.start, stretch.end)
        else:
            shape = Arc(stretch.start, stretch.end, curve.shape.centre, curve.shape.turn)
        element = PathElement(shape, curve.source, curve.contact)
        if elements and _goes_on(elements[-1], element):
            shape = replace(shape, start=elements.pop().shape.start)
            element = replace(element, shape=shape)
        elements.append(element)
    return tuple(elements)


def _goes_on(before: PathElement, after: PathElement) -> bool:
    """Tell whether two elements touch alike and lie on one line or circle."""
    if (before.source, before.contact) != (after.source, after.contact):
        return False
    a, b = before.shape, after.shape
    if isinstance(a, Line) and isinstance(b, Line):
        along, other = a.end_direction, b.start_direction
        return abs(along.z * other.r - along.r * other.z) < EXACT
    if isinstance(a, Arc) and isinstance(b, Arc):
        round_ = abs(a.sweep) + abs(b.sweep) < 2 * math.pi - 1e-6
        return a.turn == b.turn and round_ and a.centre.distance(b.centre) < EXACT
    return False
