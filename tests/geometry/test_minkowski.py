"""Minkowski sums against direct overlap tests of the placed tool, and their small helpers."""

from __future__ import annotations

import itertools
import math
import os

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from tests.geometry.sliding import Chain, chains, cutting, tools
from turnsketch.errors import TurnSketchError
from turnsketch.geometry.elements import Point, chain_chords
from turnsketch.geometry.minkowski import (
    clean,
    component_at,
    full_section,
    no_go,
    polygons,
    region,
    swept,
)
from turnsketch.shop.records import Tool

LONG = os.environ.get("HYPOTHESIS_PROFILE") == "long"
EXAMPLES = settings(
    max_examples=1500 if LONG else 25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

SQUARE = (Point(0, 0), Point(2, 0), Point(2, 2), Point(0, 2))


def placed(ring: tuple[Point, ...], at: Point) -> Polygon:
    return Polygon([p.plus(at) for p in ring])


def hulls(obstacle: BaseGeometry, ring: tuple[Point, ...]) -> BaseGeometry:
    """Return the sum the plain way: the hull of every edge with the turned piece at both ends."""
    turned = -np.asarray(ring)
    parts: list[BaseGeometry] = []
    for polygon in polygons(obstacle):
        parts.append(shapely.transform(polygon, lambda xy: xy + turned[0]))
        for line in (polygon.exterior, *polygon.interiors):
            points = shapely.get_coordinates(line)
            for a, b in itertools.pairwise(points):
                both = np.concatenate([a + turned, b + turned])
                parts.append(shapely.convex_hull(shapely.multipoints(both)))
    return shapely.union_all(parts)


@st.composite
def convex_rings(draw: DrawFn) -> tuple[Point, ...]:
    """Yield convex polygons of some area, the reference anywhere near."""
    numbers = st.integers(-40, 40).map(lambda n: n / 10)
    points = draw(st.lists(st.tuples(numbers, numbers), min_size=3, max_size=12, unique=True))
    hull = shapely.convex_hull(shapely.multipoints(points))
    if not isinstance(hull, Polygon) or hull.area < 0.5:
        return SQUARE
    return tuple(Point(*xy) for xy in shapely.get_coordinates(hull)[:-1].tolist())


@st.composite
def obstacles(draw: DrawFn) -> BaseGeometry:
    """Yield polygonal obstacles: stars, with a hole or a second part now and then."""
    count = draw(st.integers(3, 14))
    sizes = draw(st.lists(st.integers(5, 100), min_size=count, max_size=count))
    angles = np.arange(count) / count * 2 * math.pi
    star = Polygon(
        np.column_stack([np.cos(angles), np.sin(angles)]) * np.array(sizes)[:, None] / 10
    )
    if draw(st.booleans()):
        star = star.difference(Polygon([(-0.2, -0.2), (0.2, -0.2), (0.0, 0.2)]))
    if draw(st.booleans()):
        star = star.union(shapely.box(12, -3, 14, draw(st.integers(-2, 9))))
    return star


class TestNoGo:
    def test_square_about_a_square(self) -> None:
        # A square piece with its reference at the lower left corner, about a unit box.
        found = no_go(shapely.box(0, 0, 1, 1), SQUARE)
        assert found.equals(shapely.box(-2, -2, 1, 1))

    def test_nothing_about_nothing(self) -> None:
        assert no_go(Polygon(), SQUARE).is_empty

    def test_piece_without_area_is_refused(self) -> None:
        with pytest.raises(TurnSketchError, match="area"):
            no_go(shapely.box(0, 0, 1, 1), (Point(0, 0), Point(1, 1), Point(2, 2)))

    def test_room_in_a_hole_stays_free(self) -> None:
        frame = shapely.box(-10, -10, 10, 10).difference(shapely.box(-3, -3, 3, 3))
        found = no_go(frame, SQUARE)
        room = Polygon(found.interiors[0]) if isinstance(found, Polygon) else Polygon()
        assert room.equals(shapely.box(-3, -3, 1, 1))

    @EXAMPLES
    @given(obstacles(), convex_rings())
    def test_equals_the_plain_sum(self, obstacle: BaseGeometry, ring: tuple[Point, ...]) -> None:
        found, plain = no_go(obstacle, ring), hulls(obstacle, ring)
        assert found.is_valid
        assert found.symmetric_difference(plain).area < 1e-9 * max(1.0, plain.area)

    @EXAMPLES
    @given(obstacles(), convex_rings(), st.floats(0, 1))
    def test_just_inside_overlaps_and_just_outside_is_free(
        self, obstacle: BaseGeometry, ring: tuple[Point, ...], at: float
    ) -> None:
        found = no_go(obstacle, ring)
        outline = polygons(found)[0].exterior
        middle = outline.interpolate(at, normalized=True)
        ahead = outline.interpolate(min(at + 1e-7, 1.0), normalized=True)
        for side in (1e-5, -1e-5):
            z, r = ahead.x - middle.x, ahead.y - middle.y
            size = math.hypot(z, r) or 1.0
            place = Point(middle.x - r / size * side, middle.y + z / size * side)
            overlap = placed(ring, place).intersection(obstacle).area
            depth = found.boundary.distance(shapely.Point(place))
            if depth < 1e-6:
                continue
            assert (overlap > 0) == found.contains(shapely.Point(place))

    @EXAMPLES
    @given(obstacles(), convex_rings(), st.floats(-20, 20), st.floats(-20, 20))
    def test_anywhere(
        self, obstacle: BaseGeometry, ring: tuple[Point, ...], z: float, r: float
    ) -> None:
        found = no_go(obstacle, ring)
        if found.boundary.distance(shapely.Point(z, r)) < 1e-7:
            return
        overlap = placed(ring, Point(z, r)).intersects(obstacle)
        assert overlap == found.contains(shapely.Point(z, r))

    @EXAMPLES
    @given(chains(), tools())
    def test_real_parts_and_tools_equal_the_plain_sum(self, chain: Chain, tool: Tool) -> None:
        obstacle = region(chain_chords(chain.ring(), 5e-3)[:-1])
        ring = tuple(chain_chords(cutting(tool)[0], 5e-3)[:-1])
        found, plain = no_go(obstacle, ring), hulls(obstacle, ring)
        assert found.symmetric_difference(plain).area < 1e-9 * plain.area


class TestHelpers:
    def test_full_section_mirrors_in_the_axis(self) -> None:
        both = full_section(shapely.box(-5, 0, 0, 3))
        assert both.equals(shapely.box(-5, -3, 0, 3))
        assert full_section(Polygon()).is_empty

    def test_swept_square_along_a_bend(self) -> None:
        found = swept([Point(0, 0), Point(5, 0), Point(5, 5)], SQUARE)
        assert found.area == pytest.approx(7 * 2 + 2 * 5)
        assert swept([Point(1, 1)], SQUARE).area == pytest.approx(4)

    def test_component_at_takes_the_one_that_holds_the_place(self) -> None:
        two = shapely.union_all([shapely.box(0, 0, 1, 1), shapely.box(5, 0, 6, 1)])
        assert component_at(two, Point(5.5, 0.5)).equals(shapely.box(5, 0, 6, 1))
        assert component_at(two, Point(3, 0.5)).is_empty

    def test_clean_drops_slivers_by_width(self) -> None:
        sliver = shapely.box(10, 0, 60, 1e-5)
        kept = clean(shapely.union_all([shapely.box(0, 0, 1, 1), sliver]))
        assert kept.area == pytest.approx(1.0)
        # A small piece that is no sliver stays.
        assert not clean(shapely.box(0, 0, 0.01, 0.01)).is_empty

    def test_polygons_leaves_lines_out(self) -> None:
        mixed = shapely.GeometryCollection(
            [shapely.LineString([(0, 0), (1, 1)]), shapely.box(0, 0, 1, 1)]
        )
        assert len(polygons(mixed)) == 1
