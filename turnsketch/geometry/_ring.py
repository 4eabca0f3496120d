"""The closed outline along which a tool slides: the given chain, its mirror and its closing.

A chain that begins on the axis is joined by its mirror in the axis, because the full section
counts (a nose that faces to the centre touches metal below it). A chain that ends off the axis is
continued along the bar.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from turnsketch.errors import TurnSketchError
from turnsketch.geometry._gauss import ANGLE, wrapped
from turnsketch.geometry.constants import CLOSE
from turnsketch.geometry.elements import Arc, Element, Line, Point, Turn

__all__ = ["Join", "Member", "closed_ring"]

Join = Literal["smooth", "convex", "reflex"]


@dataclass(frozen=True, slots=True)
class Member:
    """One element of the closed outline, with the directions of its outward normals."""

    shape: Element
    source: int | None
    """Index in the given chain; None: mirror or closing."""
    first: float
    """Angle of the outward normal at the start, from +z toward +r."""
    last: float
    """The same at the end: greater on convex arcs, smaller on concave ones."""
    join: Join
    """How it runs into the next one."""


def closed_ring(
    keep: Sequence[Element], joins: Sequence[Join], closing: Sequence[Point] | None
) -> tuple[Member, ...]:
    """Return the closed outline, metal on its left, beginning with the given chain.

    Parameters
    ----------
    keep, joins : sequences
        The chain, and the joins between each element and the next.
    closing : sequence of Point or None
        Corners of a way back from the chain's end to its start through metal; None: by the mirror
        in the axis and along the bar.
    """
    if not keep or len(joins) != len(keep) - 1:
        raise TurnSketchError("a chain needs one join fewer than elements")
    shapes = list(keep)
    kinds: list[Join | None] = list(joins)
    given = None if closing is None else [keep[-1].end, *closing, keep[0].start]
    corners = given or _along_bar(keep)
    lines = [Line(a, b) for a, b in itertools.pairwise(corners) if a.distance(b) > CLOSE]
    shapes += lines
    kinds += [None] * len(lines)
    if closing is None and abs(keep[0].start.r) < CLOSE:
        shapes += [_mirrored(element) for element in reversed(keep)]
        kinds += [None, *reversed(joins)]
        shapes[-1] = replace(shapes[-1], end=keep[0].start)
    kinds.append(None)
    return _members(_connected(shapes), kinds, len(keep))


def _connected(shapes: Sequence[Element]) -> list[Element]:
    """Let every element begin at the very floats where the one before ends."""
    ends = [shape.end for shape in shapes[:-1]]
    return [
        shape if shape.start == start else replace(shape, start=start)
        for shape, start in zip(shapes, [shapes[0].start, *ends], strict=True)
    ]


def _along_bar(keep: Sequence[Element]) -> list[Point]:
    """Return the corners from the chain's end along the bar and back to its (mirrored) start."""
    end, start = keep[-1].end, keep[0].start
    if abs(end.r) < CLOSE:
        return [end]
    lengths = [abs(e.start.z) + abs(e.start.r) for e in keep]
    far = min(min(e.start.z for e in keep), end.z) - max(lengths) - 20.0
    if abs(start.r) < CLOSE:
        return [end, Point(far, end.r), Point(far, -end.r), Point(end.z, -end.r)]
    return [end, Point(far, end.r), Point(far, start.r), start]


def _mirrored(element: Element) -> Element:
    """Return the mirror in the axis, travelled so that metal stays on the left."""

    def flip(point: Point) -> Point:
        return Point(point.z, -point.r)

    if isinstance(element, Line):
        return Line(flip(element.end), flip(element.start))
    turn: Turn = element.turn
    return Arc(flip(element.end), flip(element.start), flip(element.centre), turn)


def _members(
    shapes: Sequence[Element], kinds: Sequence[Join | None], own: int
) -> tuple[Member, ...]:
    """Give every element its normals; those at a smooth join are made the very same number."""
    count = len(shapes)
    angles = [_normals(shape) for shape in shapes]
    settled: list[Join] = []
    for index, kind in enumerate(kinds):
        after = (index + 1) % count
        turn = wrapped(angles[after][0] - angles[index][1])
        settled.append(_settle(kind, turn))
    # Lines give their direction to arcs, and an arc to the next arc.
    for index, join in enumerate(settled):
        if join != "smooth":
            continue
        after = (index + 1) % count
        if isinstance(shapes[after], Line) and isinstance(shapes[index], Arc):
            last = angles[index][1] + wrapped(angles[after][0] - angles[index][1])
            angles[index] = (angles[index][0], last)
        else:
            first = angles[after][0] + wrapped(angles[index][1] - angles[after][0])
            straight = isinstance(shapes[after], Line)
            angles[after] = (first, first if straight else angles[after][1])
    return tuple(
        Member(shape, i if i < own else None, angles[i][0], angles[i][1], settled[i])
        for i, shape in enumerate(shapes)
    )


def _settle(kind: Join | None, turn: float) -> Join:
    if kind == "smooth" or abs(turn) <= ANGLE:
        return "smooth"
    if kind is not None and abs(abs(turn) - math.pi) < 1e-6:
        return kind
    return "convex" if turn > 0 else "reflex"


def _normals(shape: Element) -> tuple[float, float]:
    """Return the angles of the outward normal (right of travel) at start and end."""
    along = shape.start_direction
    first = math.atan2(-along.z, along.r)
    return first, first + (shape.sweep if isinstance(shape, Arc) else 0.0)
