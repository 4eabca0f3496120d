"""Curves that the reference point can follow while a convex piece slides along an outline.

For every element and convex corner of the outline, and every arc, corner and edge of the turned
piece with the same normals, the place of the reference is a line or an arc in closed form
(an offset, a shift, an arc of radius R + r or R - r, an arc r about a corner). The edge
of the no-go region consists of stretches of these curves and of nothing else. Between a curve and
the outline shifted by a place inside the piece lies a *strip* of the region; the strips together
close it toward the outside.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from turnsketch.geometry._gauss import ANGLE, Span, TurnedPiece, normal
from turnsketch.geometry._ring import Member
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Arc, Element, Line, Point

__all__ = ["Candidate", "Contact", "Slide", "slide"]

Contact = Literal["nose", "corner", "flank", "vertex", "blocked"]

Coordinates = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A curve of the reference point, in the direction of the outline's travel."""

    shape: Element
    source: int | None
    """Element of the given chain that is touched; None: a pivot, or the outline's closing."""
    contact: Contact
    own: bool
    """It belongs to the given chain, not to its mirror or closing."""
    points: Coordinates
    """The curve as chords."""


@dataclass(frozen=True, slots=True)
class Slide:
    """All curves of one piece along an outline, in order, and the strips below them."""

    candidates: tuple[Candidate, ...]
    strips: tuple[Coordinates, ...]


def slide(ring: Sequence[Member], piece: TurnedPiece, chord: float) -> Slide:
    """Return the curves and strips of `piece` slid along the closed outline `ring`."""
    work = _Slider(piece, chord)
    for index, member in enumerate(ring):
        before, after = ring[index - 1], ring[(index + 1) % len(ring)]
        if isinstance(member.shape, Line):
            flush = before.join == "smooth" and isinstance(before.shape, Line)
            work.line(member, member.shape, flush)
        else:
            own_edge = not (before.join == "smooth" and isinstance(before.shape, Line))
            work.arc(member, member.shape, own_edge)
        if member.join == "convex":
            work.corner(member, after)
    return Slide(tuple(work.candidates), tuple(work.strips))


class _Slider:
    """Collects curves and strips while the outline is walked.

    Curves that meet do so in the very same floats (`_from`, `_to`): strips that share an end but
    for one last digit would leave a cleft between them.
    """

    def __init__(self, piece: TurnedPiece, chord: float) -> None:
        self.piece = piece
        self.chord = chord
        self.candidates: list[Candidate] = []
        self.strips: list[Coordinates] = []
        self.first: Point | None = None
        self.last: Point | None = None

    def line(self, member: Member, shape: Line, flush_before: bool) -> None:
        """A straight element: shifted, or with an edge of the piece flush on it."""
        start, end = shape.start, shape.end
        low, high = self.piece.below(member.first), self.piece.above(member.first)
        if low.distance(high) <= EXACT:
            span = self.piece.span_above(member.first)
            contact: Contact = "nose" if span.radius > 0 else "corner"
            stops = [start.plus(low), end.plus(high)]
        else:
            contact = "flank"
            stops = _flush_stops(shape, low, high, flush_before)
        stops[0], stops[-1] = self._from(stops[0]), self._to(stops[-1])
        for a, b in itertools.pairwise(stops):
            if a.distance(b) > EXACT:
                self._straight(a, b, member.source, contact, member.source is not None)
        # Every stop is a vertex of the strip, so that no edge of the union spans two curves.
        self._strip(stops, [start.plus(self.piece.anchor), end.plus(self.piece.anchor)])

    def arc(self, member: Member, shape: Arc, edge_at_start: bool) -> None:
        """An arc: concentric arcs, and straight edges tangent to a convex one."""
        convex = shape.turn == "ccw"
        sign = 1.0 if convex else -1.0

        def place(angle: float) -> Point:
            if angle == member.first:
                return shape.start
            if angle == member.last:
                return shape.end
            return shape.centre.plus(normal(angle).times(sign * shape.radius))

        walk = self.piece.rising if convex else self.piece.falling
        for index, (span, a, b) in enumerate(walk(member.first, member.last)):
            if convex and (index > 0 or edge_at_start):
                self._edge(place(a), a, member.source, member.source is not None)
            angles = self._angles(a, b, shape.radius + span.radius)
            ends = place(a).plus(span.at(a)), place(b).plus(span.at(b))
            feet = _circle(
                shape.centre.plus(self.piece.anchor),
                sign * shape.radius,
                angles,
                place(a).plus(self.piece.anchor),
                place(b).plus(self.piece.anchor),
            )
            if shape.radius + sign * span.radius > EXACT:
                self._round(member, shape, span, ends, (angles, feet))
            else:
                self._hollow(shape.centre.plus(span.centre), ends, feet)

    def _round(
        self,
        member: Member,
        shape: Arc,
        span: Span,
        ends: tuple[Point, Point],
        below: tuple[Coordinates, Coordinates],
    ) -> None:
        """An arc of the outline with one arc or corner of the piece: a concentric arc."""
        angles, feet = below
        sign = 1.0 if shape.turn == "ccw" else -1.0
        start, end = self._from(ends[0]), self._to(ends[1])
        curve = Arc(start, end, shape.centre.plus(span.centre), shape.turn)
        points = _circle(
            curve.centre, sign * (shape.radius + sign * span.radius), angles, start, end
        )
        contact: Contact = "nose" if span.radius > 0 else "corner"
        own = member.source is not None
        self.candidates.append(Candidate(curve, member.source, contact, own, points))
        self._strips_of(points, feet, abs(angles[-1] - angles[0]))

    def _hollow(self, apex: Point, ends: tuple[Point, Point], feet: Coordinates) -> None:
        """A concave arc that an arc of the piece cannot follow: fill the sum up to its centre.

        Nothing of it bounds the region, but for a nose of the arc's own radius it closes the gap
        between the neighbours, whose curves end in one point.
        """
        if ends[0].distance(apex) <= EXACT:
            apex = self._to(self._from(apex))
        else:
            self.strips.append(np.array([ends[0], apex, feet[0]]))
            self.strips.append(np.array([apex, ends[1], feet[-1]]))
        for a, b in itertools.pairwise(feet):
            self.strips.append(np.array([apex, a, b]))

    def corner(self, member: Member, after: Member) -> None:
        """A convex corner: the piece pivots about it."""
        at, own = member.shape.end, member.source is not None and after.source is not None
        rise = (after.first - member.last) % (2 * math.pi)
        for index, (span, a, b) in enumerate(self.piece.rising(member.last, member.last + rise)):
            # A straight element before has already taken the edge that is flush with it.
            if index > 0 or not isinstance(member.shape, Line):
                self._edge(at, a, None, own)
            if span.radius == 0:
                continue
            start, end = self._from(at.plus(span.at(a))), self._to(at.plus(span.at(b)))
            curve = Arc(start, end, at.plus(span.centre), "ccw")
            points = _circle(curve.centre, span.radius, self._angles(a, b, span.radius), start, end)
            self.candidates.append(Candidate(curve, None, "vertex", own, points))
            self._strips_of(points, np.array([at.plus(self.piece.anchor)]), abs(b - a))

    def _edge(self, at: Point, angle: float, source: int | None, own: bool) -> None:
        """An edge of the piece slides over a point of the outline."""
        low, high = at.plus(self.piece.below(angle)), at.plus(self.piece.above(angle))
        if low.distance(high) > EXACT:
            low, high = self._from(low), self._to(high)
            self._straight(low, high, source, "flank", own)
            self._strip([low, high], [at.plus(self.piece.anchor)])

    def _straight(
        self, a: Point, b: Point, source: int | None, contact: Contact, own: bool
    ) -> None:
        self.candidates.append(Candidate(Line(a, b), source, contact, own, np.array([a, b])))

    def _from(self, start: Point) -> Point:
        """Return the end of the curve before when `start` is the same place."""
        if self.last is not None and self.last.distance(start) <= EXACT:
            start = self.last
        if self.first is None:
            self.first = start
        return start

    def _to(self, end: Point) -> Point:
        """Return the start of the first curve when `end` is the same place."""
        if self.first is not None and self.first.distance(end) <= EXACT:
            end = self.first
        self.last = end
        return end

    def _angles(self, first: float, last: float, radius: float) -> Coordinates:
        step = 2 * math.acos(max(0.0, 1 - min(self.chord / radius, 1.0)))
        count = max(2, math.ceil(abs(last - first) / max(step, 1e-4)))
        return np.linspace(first, last, count + 1)

    def _strip(self, outer: Sequence[Point], inner: Sequence[Point]) -> None:
        self.strips.append(np.array([*outer, *reversed(inner)]))

    def _strips_of(self, outer: Coordinates, inner: Coordinates, sweep: float) -> None:
        """Cut the area between two curves into pieces of at most a quarter turn, each simple."""
        pieces = max(1, math.ceil(sweep / (math.pi / 2) - ANGLE))
        cuts = np.linspace(0, len(outer) - 1, pieces + 1).astype(int)
        for a, b in itertools.pairwise(cuts):
            back = inner if len(inner) == 1 else inner[a : b + 1][::-1]
            self.strips.append(np.concatenate([outer[a : b + 1], back]))


def _flush_stops(shape: Line, low: Point, high: Point, flush_before: bool) -> list[Point]:
    """Return the places along a straight element at which a flush edge takes or leaves it.

    After another straight element on the same line the edge is flush already, and goes on.
    """
    along = shape.start_direction
    origin = shape.start.plus(high)
    stops = [origin, shape.end.plus(low), shape.end.plus(high)]
    if flush_before:
        stops = [p for p in stops if _ahead(origin, p, along) >= -EXACT]
    else:
        stops.insert(0, shape.start.plus(low))
    return sorted(stops, key=lambda p: _ahead(origin, p, along))


def _ahead(origin: Point, point: Point, along: Point) -> float:
    return (point.z - origin.z) * along.z + (point.r - origin.r) * along.r


def _circle(
    centre: Point, radius: float, angles: Coordinates, start: Point, end: Point
) -> Coordinates:
    """Return points on a circle, the first and last replaced by the exact ends."""
    points = np.empty((len(angles), 2))
    points[:, 0] = centre.z + radius * np.cos(angles)
    points[:, 1] = centre.r + radius * np.sin(angles)
    points[0], points[-1] = start, end
    return points
