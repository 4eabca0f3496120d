"""A bored part in pictures: cut open above the axis, closed below it."""

from __future__ import annotations

import pytest
from shapely import Polygon

from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Stroke
from turnsketch.picture.figures import part_in_blank
from turnsketch.picture.layers import plan_layers
from turnsketch.picture.silhouette import silhouette
from turnsketch.pipeline import plan

TUBE = (Point(0, 5), Point(0, 10), Point(-20, 10), Point(-20, 8), Point(-4, 8), Point(-4, 5))


def test_a_silhouette_fills_the_bore() -> None:
    (ring,) = silhouette([TUBE])
    shape = Polygon(ring)
    assert shape.bounds == pytest.approx((-20, 0, 0, 10))
    assert shape.area == pytest.approx(200)
    assert shape.exterior.is_ccw


def test_a_solid_is_its_own_silhouette() -> None:
    ring = (Point(0, 0), Point(0, 6), Point(-9, 6), Point(-9, 10), Point(-20, 10), Point(-20, 0))
    (found,) = silhouette([ring])
    assert Polygon(found).symmetric_difference(Polygon(ring)).area < 1e-9


def test_the_bore_shows_above_the_axis_alone() -> None:
    made = plan(load_demo("flanged_bush"))
    setup = made.setups[0]
    picture = part_in_blank(setup, plan_layers(made)[0], 200.0, 120.0)
    outlines = [
        item.points for item in picture.items if isinstance(item, Stroke) and item.role == "outline"
    ]
    radii = {round(p.r, 2) for line in outlines for p in line}
    assert 10.0 in radii or 10.01 in radii
    assert not {-10.0, -10.01} & radii
    assert -24.0 in radii
