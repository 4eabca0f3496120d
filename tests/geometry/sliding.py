"""For tests of sliding tools: chains and tools at random, and an independent measure of clearance.

The measure knows nothing of Minkowski sums: it takes the exact signed distance from points of the
outline to the placed tool, and looks for its least value along every element.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from numpy.typing import NDArray

from turnsketch.geometry.contact_path import Join
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.geometry.intersect import r_extent
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import tool_shape

Array = NDArray[Any]


@dataclass(frozen=True)
class Chain:
    """An outline with its joins."""

    elements: tuple[Element, ...]
    joins: tuple[Join, ...]

    def ring(self) -> tuple[Element, ...]:
        """Return the full section: the chain, the bar behind it, and the mirror of both."""
        end = self.elements[-1].end
        far = Point(-400.0, end.r)
        mirror = [_mirror(e) for e in reversed(self.elements)]
        bar = (
            Line(end, far),
            Line(far, Point(far.z, -far.r)),
            Line(Point(far.z, -far.r), Point(end.z, -end.r)),
        )
        return (*self.elements, *bar, *mirror)


def _mirror(element: Element) -> Element:
    def flip(point: Point) -> Point:
        return Point(point.z, -point.r)

    if isinstance(element, Line):
        return Line(flip(element.end), flip(element.start))
    return Arc(flip(element.end), flip(element.start), flip(element.centre), element.turn)


# Chains ---------------------------------------------------------------------------------------

UP, BACK, DOWN = 90, 180, 270
NICE = (90, 95, 105, 120, 135, 150, 165, 175, 177, 180, 183, 185, 195, 210, 225, 240, 265, 270)


class Builder:
    """Adds elements that never go toward the front, so that the chain cannot cross itself."""

    def __init__(self) -> None:
        self.at = Point(0.0, 0.0)
        self.heading = math.radians(UP)
        self.elements: list[Element] = []
        self.joins: list[Join] = []

    def turn_to(self, heading: float) -> Join:
        """Return the join that a turn to `heading` makes."""
        turn = heading - self.heading
        return "smooth" if abs(turn) < 1e-6 else "convex" if turn > 0 else "reflex"

    def line(self, heading: float, length: float) -> bool:
        """Add a straight element unless it would double back or come near the axis."""
        if abs(heading - self.heading) > math.radians(172):
            return False
        end = self.at.plus(Point(math.cos(heading), math.sin(heading)).times(length))
        return self._add(Line(self.at, end), heading, heading)

    def arc(self, heading: float, sweep: float, radius: float) -> bool:
        """Add an arc that begins at `heading`; a positive sweep is convex."""
        last = heading + sweep
        if not math.radians(UP) - 1e-9 <= last <= math.radians(DOWN) + 1e-9:
            return False
        if abs(heading - self.heading) > math.radians(172):
            return False
        side = 1.0 if sweep > 0 else -1.0
        left = Point(-math.sin(heading), math.cos(heading))
        centre = self.at.plus(left.times(side * radius))
        left = Point(-math.sin(last), math.cos(last))
        end = centre.plus(left.times(-side * radius))
        return self._add(Arc(self.at, end, centre, "ccw" if sweep > 0 else "cw"), heading, last)

    def _add(self, element: Element, first: float, last: float) -> bool:
        if r_extent(element)[0] < (0.4 if self.elements else -1e-12) or r_extent(element)[1] > 60:
            return False
        if self.elements:
            self.joins.append(self.turn_to(first))
        self.elements.append(element)
        self.at, self.heading = element.end, last
        return True

    def chain(self) -> Chain:
        """Close with a shoulder and the bar."""
        if self.heading < math.radians(260):
            self.line(math.radians(UP), 2.0)
        self.line(math.radians(BACK), 5.0)
        return Chain(tuple(self.elements), tuple(self.joins))


lengths = st.one_of(
    st.integers(1, 200).map(lambda n: n / 10),
    st.floats(0.02, 1.0),
    st.sampled_from([0.4, 0.8, 1.0, 3.0, 5.0]),
)
headings = st.one_of(st.sampled_from(NICE), st.floats(UP, DOWN)).map(math.radians)
sweeps = st.one_of(st.sampled_from([15, 30, 45, 60, 75, 90, 120, 180]), st.floats(2.0, 180.0)).map(
    math.radians
)
radii = st.one_of(
    st.sampled_from([0.2, 0.3, 0.4, 0.5, 0.8, 1.0, 2.0, 3.0, 5.0, 15.0]), st.floats(0.1, 40.0)
)


@st.composite
def chains(draw: DrawFn, most: int = 8) -> Chain:
    """Yield chains: faces, cylinders, tapers both ways, arcs of both senses, tangential or not."""
    build = Builder()
    start = draw(st.sampled_from(["face", "ball", "cone"]))
    if start == "face":
        build.line(math.radians(UP), draw(st.integers(5, 250)) / 10)
    elif start == "ball":
        build.arc(math.radians(UP), draw(st.integers(20, 140)) * math.pi / 180, draw(radii))
    else:
        build.line(math.radians(draw(st.integers(100, 170))), 6.0)
    for _ in range(draw(st.integers(1, most))):
        heading = build.heading if draw(st.booleans()) else draw(headings)
        if draw(st.booleans()):
            build.line(heading, draw(lengths))
        else:
            sign = draw(st.sampled_from([1, -1]))
            build.arc(heading, sign * draw(sweeps), draw(radii))
    return build.chain()


# Tools ----------------------------------------------------------------------------------------


REFERENCES: tuple[Literal["left", "right", "centre"], ...] = ("left", "right", "centre")
HANDS: tuple[Literal["left", "right"], ...] = ("right", "left")


@st.composite
def tools(draw: DrawFn) -> Tool:
    """Yield tools of every kind, hand and reference."""
    kind = draw(st.sampled_from(["turning", "sharp", "round", "parting", "chamfer"]))
    reference = draw(st.sampled_from(REFERENCES))
    if kind == "round":
        radius = draw(st.sampled_from([0.5, 1.5, 3.0, 5.0]))
        return Tool(1, kind, "round", nose_radius_mm=radius, reference=reference)
    if kind == "parting":
        corner = draw(st.sampled_from([0.0, 0.1, 0.2, 0.4]))
        width = draw(st.sampled_from([1.0, 2.0, 3.0]))
        return Tool(
            1, kind, "parting", width_mm=width, corner_radius_mm=corner, reach_mm=12.0,
            reference=reference,
        )  # fmt: skip
    if kind == "chamfer":
        angle = draw(st.sampled_from([30.0, 45.0, 60.0, 20.0]))
        return Tool(1, kind, "chamfer", chamfer_angle_deg=angle, edge_length_mm=8.0)
    edges = draw(
        st.sampled_from([(95.0, 5.0), (93.0, 32.0), (72.5, 72.5), (107.5, 37.5), (90.0, 10.0)])
    )
    radius = 0.0 if kind == "sharp" else draw(st.sampled_from([0.2, 0.4, 0.8, 1.2]))
    return Tool(
        1, kind, "turning", hand=draw(st.sampled_from(HANDS)), nose_radius_mm=radius,
        edge_angle_deg=edges[0], end_edge_angle_deg=edges[1], reference=reference,
        edge_length_mm=draw(st.sampled_from([6.0, 12.0])),
    )  # fmt: skip


def cutting(tool: Tool) -> list[tuple[Element, ...]]:
    """Return the outlines of a tool's cutting pieces."""
    return [piece.outline for piece in tool_shape(tool).cutting]


# Clearance --------------------------------------------------------------------------------------


def signed_distance(points: Array, outline: Sequence[Element]) -> Array:
    """Return the distance of points from a convex closed outline, negative inside; exact."""
    best = np.full(len(points), np.inf)
    inside = np.ones(len(points), dtype=bool)
    for element in outline:
        if isinstance(element, Line):
            start, way = np.array(element.start), np.subtract(element.end, element.start)
            size = float(np.hypot(*way))
            along = way / size
            from_start = points - start
            t = np.clip(from_start @ along, 0.0, size)
            best = np.minimum(best, np.hypot(*(from_start - t[:, None] * along).T))
            inside &= along[0] * from_start[:, 1] - along[1] * from_start[:, 0] > 0
        else:
            away = points - np.array(element.centre)
            size = np.hypot(*away.T)
            turn = (np.arctan2(away[:, 1], away[:, 0]) - element.start_angle) % (2 * math.pi)
            facing = turn <= element.sweep
            ends = np.minimum(
                np.hypot(*(points - np.array(element.start)).T),
                np.hypot(*(points - np.array(element.end)).T),
            )
            best = np.minimum(best, np.where(facing, np.abs(size - element.radius), ends))
            inside &= ~facing | (size < element.radius)
    return np.where(inside, -best, best)


GOLDEN = (math.sqrt(5) - 1) / 2
SAMPLES = 160
"""Finer than half a blade on the longest arc: each dip between two samples must be alone there."""


class Outline:
    """Elements as arrays, so that many points of many elements are had at once."""

    def __init__(self, ring: Sequence[Element]) -> None:
        arcs = [e if isinstance(e, Arc) else None for e in ring]
        self.start = np.array([e.start for e in ring])
        self.way = np.array([e.end for e in ring]) - self.start
        self.is_arc = np.array([a is not None for a in arcs])
        self.centre = np.array([a.centre if a else (0.0, 0.0) for a in arcs])
        self.radius = np.array([a.radius if a else 0.0 for a in arcs])
        self.angle = np.array([a.start_angle if a else 0.0 for a in arcs])
        self.sweep = np.array([a.sweep if a else 0.0 for a in arcs])
        self.length = np.array([e.length for e in ring])

    def at(self, which: Array, fraction: Array) -> Array:
        """Return points of the elements `which` at the given fractions of their lengths."""
        straight = self.start[which] + fraction[:, None] * self.way[which]
        angle = self.angle[which] + fraction * self.sweep[which]
        unit = np.column_stack([np.cos(angle), np.sin(angle)])
        round_ = self.centre[which] + self.radius[which][:, None] * unit
        points: Array = np.where(self.is_arc[which][:, None], round_, straight)
        return points


def clearances(
    places: Sequence[Point], ring: Sequence[Element], pieces: Sequence[Sequence[Element]]
) -> Array:
    """Return for each place the least signed distance between the outline and the tool there.

    Positive: free. Negative: the outline stands so deep inside the tool.
    """
    outline = Outline(ring)
    least = np.full(len(places), np.inf)
    grid = np.linspace(0.0, 1.0, SAMPLES + 1)
    at, count = np.array(places, dtype=float), len(ring)
    which = np.repeat(np.arange(count), SAMPLES + 1)
    points = outline.at(which, np.tile(grid, count))
    for piece in pieces:
        shifted = (points[None, :, :] - at[:, None, :]).reshape(-1, 2)
        values = signed_distance(shifted, piece).reshape(len(places), count, SAMPLES + 1)
        padded = np.pad(values, ((0, 0), (0, 0), (1, 1)), constant_values=np.inf)
        dips = (values <= padded[..., :-2]) & (values <= padded[..., 2:])
        dips &= values < 0.05 + (outline.length / SAMPLES)[None, :, None]
        np.minimum(least, values.min(axis=(1, 2)), out=least)
        place, element, sample = np.nonzero(dips)
        if not len(place):
            continue
        low, high = grid[np.maximum(sample - 1, 0)], grid[np.minimum(sample + 1, SAMPLES)]

        def measured(fraction: Array, element: Array = element, place: Array = place,
                     piece: Sequence[Element] = piece) -> Array:  # fmt: skip
            return signed_distance(outline.at(element, fraction) - at[place], piece)

        for _ in range(44):
            a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
            falls = measured(a) <= measured(b)
            low, high = np.where(falls, low, a), np.where(falls, b, high)
        np.minimum.at(least, place, measured(0.5 * (low + high)))
    return least
