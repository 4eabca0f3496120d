"""The sweep against the plain union of placed tools and of hulls."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.checking.sweep import arc_points, convex_parts, swept_arc, swept_lines
from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point, Turn

if TYPE_CHECKING:
    from tests.checking.conftest import Bench

coordinate = st.floats(-20, 20).map(lambda value: round(value, 3))
points = st.tuples(coordinate, coordinate)
rings = st.lists(points, min_size=3, max_size=9).filter(
    lambda corners: shapely.MultiPoint(corners).convex_hull.area > 0.5
)


def hulls(path: np.ndarray, part: np.ndarray) -> list[shapely.Geometry]:
    return [
        shapely.MultiPoint(np.vstack([part + a, part + b])).convex_hull
        for a, b in itertools.pairwise(path)
    ]


@given(rings, st.lists(st.tuples(points, points), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_a_straight_sweep_is_the_hull_of_both_ends(
    corners: list[tuple[float, float]],
    moves: list[tuple[tuple[float, float], tuple[float, float]]],
) -> None:
    ring = tuple(Point(*p) for p in shapely.MultiPoint(corners).convex_hull.exterior.coords[:-1])
    (part,) = convex_parts(ring)
    starts, ends = (np.array([move[k] for move in moves]) for k in (0, 1))
    found = swept_lines(starts, ends, part)
    for shape, a, b in zip(found, starts, ends, strict=True):
        (expected,) = hulls(np.array([a, b]), part)
        assert shape.is_valid
        assert shape.symmetric_difference(expected).area < 1e-9


@given(
    rings,
    st.floats(0.05, 30),
    st.floats(-math.pi, math.pi),
    st.floats(0.01, 6.2),
    st.sampled_from(["cw", "ccw"]),
)
@settings(max_examples=40, deadline=None)
def test_a_sweep_along_an_arc_is_the_union_of_hulls(
    corners: list[tuple[float, float]], radius: float, begin: float, sweep: float, turn: Turn
) -> None:
    ring = tuple(Point(*p) for p in shapely.MultiPoint(corners).convex_hull.exterior.coords[:-1])
    (part,) = convex_parts(ring)
    stop = begin + (sweep if turn == "ccw" else -sweep)
    ends = [Point(radius * math.cos(a), radius * math.sin(a)) for a in (begin, stop)]
    path = arc_points(ends[0], ends[1], Point(0, 0), turn)
    if len(path) > 200:
        path = path[:: len(path) // 100]
    found = shapely.union_all(swept_arc(path, part))
    assert found.symmetric_difference(shapely.union_all(hulls(path, part))).area < 1e-8


def test_a_disc_along_an_arc_covers_a_ring(bench: Bench) -> None:
    """Half a turn of a disc: half the annulus and one disc, in closed form."""
    (part,) = convex_parts(bench.disc(2.0, centre_z=0.0))
    path = arc_points(Point(10, 0), Point(-10, 0), Point(0, 0), "ccw")
    area = shapely.union_all(swept_arc(path, part)).area
    assert area == pytest.approx(math.pi * (12**2 - 8**2) / 2 + math.pi * 4, rel=1e-4)


@pytest.mark.parametrize("turn", ["cw", "ccw"])
def test_chords_of_an_arc(turn: Turn) -> None:
    start, end, centre = Point(15, 0), Point(0, 15), Point(0, 0)
    path = arc_points(start, end, centre, turn)
    assert tuple(path[0]) == start
    assert tuple(path[-1]) == end
    middles = (path[:-1] + path[1:]) / 2
    gap = 15 - np.hypot(middles[:, 0], middles[:, 1])
    assert 0.5 * CHORD_FINE < gap.max() <= CHORD_FINE * 1.0001
    length = np.hypot(*np.diff(path, axis=0).T).sum()
    assert length == pytest.approx(15 * math.pi * (0.5 if turn == "ccw" else 1.5), rel=1e-4)


def test_a_radius_that_differs_at_the_ends_runs_evenly() -> None:
    path = arc_points(Point(10, 0), Point(0, 10.1), Point(0, 0), "ccw")
    radii = np.hypot(path[:, 0], path[:, 1])
    assert np.diff(radii) == pytest.approx(0.1 / (len(path) - 1), abs=1e-9)


def test_a_piece_that_is_not_convex_keeps_its_shape(bench: Bench) -> None:
    angle = bench.ring((0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4))
    parts = [shapely.Polygon(part) for part in convex_parts(angle)]
    assert shapely.union_all(parts).area == pytest.approx(7.0)
    assert len(convex_parts(bench.ring((0, 0), (0, 4), (4, 4), (4, 0)))) == 1
