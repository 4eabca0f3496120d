"""A convex tool piece turned through 180 degrees, ordered by the direction of its normals.

The boundary of ``P (+) -T`` consists of points ``p + b`` where p lies on the outline of P, b on the
outline of the turned piece ``-T``, and both have the same outward normal. So the turned piece is
kept as *spans* of normal directions: an arc (its centre and radius) or a corner (an arc of radius
0). Straight edges have a single normal; they are the jumps between two spans.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from turnsketch.geometry.elements import Arc, Element, Point

__all__ = ["ANGLE", "Span", "TurnedPiece", "normal", "turned_piece", "wrapped"]

ANGLE = 1e-9
"""Directions closer than this (radians) are the same: over a 12 mm edge it makes 1e-8 mm."""

TURN = 2 * math.pi


def normal(angle: float) -> Point:
    """Return the unit vector at `angle`, from +z toward +r."""
    return Point(math.cos(angle), math.sin(angle))


def wrapped(angle: float) -> float:
    """Return `angle` brought into [-pi, pi)."""
    return (angle + math.pi) % TURN - math.pi


@dataclass(frozen=True, slots=True)
class Span:
    """Normals from `low` to `high` that one arc or corner of the turned piece owns."""

    low: float
    high: float
    centre: Point
    """Centre of the arc, or the corner itself."""
    radius: float
    """0 for a corner."""

    def at(self, angle: float) -> Point:
        """Return the boundary point whose normal has this `angle`."""
        z, r = self.centre
        return Point(z + self.radius * math.cos(angle), r + self.radius * math.sin(angle))


@dataclass(frozen=True, slots=True)
class TurnedPiece:
    """A convex piece turned through 180 degrees about the reference point."""

    spans: tuple[Span, ...]
    """In order of their normals, without gap, one full turn."""
    breaks: tuple[float, ...]
    """Low end of every span, and the first one's plus a full turn."""
    anchor: Point
    """A place inside the piece, near its cutting end."""
    sides: tuple[tuple[Point, float], ...]
    """Half planes of its straight edges: outward normal and distance from the reference."""

    def below(self, angle: float) -> Point:
        """Return the boundary point at `angle`, reached from smaller angles."""
        index, at = self._place(angle)
        return self.spans[index - 1 if at is not None else index].at(angle)

    def above(self, angle: float) -> Point:
        """Return the boundary point at `angle`, reached from greater angles."""
        return self.spans[self._place(angle)[0]].at(angle)

    def span_above(self, angle: float) -> Span:
        """Return the span that owns the normals just above `angle`."""
        return self.spans[self._place(angle)[0]]

    def rising(self, start: float, end: float) -> Iterator[tuple[Span, float, float]]:
        """Yield the spans met from `start` up to `end`, each with the angles where it holds."""
        index, _ = self._place(start)
        angle = start
        shift = start - self._turned(start)
        while angle < end - ANGLE:
            high = self.breaks[index + 1] + shift
            stop = end if high > end - ANGLE else high
            if stop > angle + ANGLE:
                yield self.spans[index], angle, stop
            angle = max(stop, angle)
            index += 1
            if index == len(self.spans):
                index, shift = 0, shift + TURN

    def falling(self, start: float, end: float) -> Iterator[tuple[Span, float, float]]:
        """Yield the spans met from `start` down to `end`, each with the angles where it holds."""
        parts = list(self.rising(end, start))
        yield from ((span, high, low) for span, low, high in reversed(parts))

    def _turned(self, angle: float) -> float:
        """Return `angle` moved by whole turns to where the breaks are."""
        base = self.breaks[0]
        turned = base + (angle - base) % TURN
        return base if turned > self.breaks[-1] - ANGLE else turned

    def _place(self, angle: float) -> tuple[int, float | None]:
        """Return the span that begins at or holds `angle`, and the break when there is one."""
        turned = self._turned(angle)
        index = bisect_left(self.breaks, turned + ANGLE) - 1
        at = self.breaks[index]
        return index, (at if abs(at - turned) <= ANGLE else None)


def turned_piece(outline: Sequence[Element]) -> TurnedPiece:
    """Return a piece turned through 180 degrees, ready to be slid along an outline.

    Parameters
    ----------
    outline : sequence of Line or Arc
        Closed, convex and counterclockwise, around the reference point.
    """
    spans: list[Span] = []
    angle = _first_normal(outline[0])
    base = angle
    for element, after in zip(outline, (*outline[1:], outline[0]), strict=True):
        if isinstance(element, Arc):
            centre = element.centre.times(-1.0)
            spans.append(Span(angle, angle + element.sweep, centre, element.radius))
            angle += element.sweep
        gap = wrapped(_first_normal(after) - angle)
        if gap > ANGLE:
            spans.append(Span(angle, angle + gap, element.end.times(-1.0), 0.0))
            angle += gap
    last = spans[-1]
    spans[-1] = Span(last.low, base + TURN, last.centre, last.radius)
    breaks = (*(span.low for span in spans), base + TURN)
    return TurnedPiece(tuple(spans), breaks, _anchor(spans), _sides(outline))


def _first_normal(element: Element) -> float:
    """Return the angle of the turned element's outward normal at its start."""
    along = element.start_direction
    return math.atan2(along.z, -along.r)


def _sides(outline: Sequence[Element]) -> tuple[tuple[Point, float], ...]:
    found = []
    for element in outline:
        if not isinstance(element, Arc):
            outward = normal(_first_normal(element))
            found.append((outward, -(element.start.z * outward.z + element.start.r * outward.r)))
    return tuple(found)


def _anchor(spans: Sequence[Span]) -> Point:
    """Return a place inside: the middle of the arcs, or the end nearest the reference, pulled in.

    The pull makes it truly inside, also where an arc spans the whole width of its piece.
    """
    centre = _mean([span.at(0.5 * (span.low + span.high)) for span in spans])
    arcs = [span.centre for span in spans if span.radius > 0]
    near = _mean(arcs) if arcs else min((s.centre for s in spans), key=lambda p: math.hypot(*p))
    return near.plus(centre.minus(near).times(0.1))


def _mean(points: Sequence[Point]) -> Point:
    count = len(points)
    return Point(sum(p.z for p in points) / count, sum(p.r for p in points) / count)
