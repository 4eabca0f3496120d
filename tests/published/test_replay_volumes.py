"""Volumes that the replay reckons, against closed forms and a general mesh library.

Source of every number: closed form by Pappus and Guldin, V = 2 pi x (distance of the area's
centroid from the axis) x area, worked out for this project, formula beside it. The circle about an
axis is example 7 of Larson, Calculus (the book prints 39.5).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from turnsketch.checking.metal import region, volume
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Ring


def ring(*points: tuple[float, float]) -> Ring:
    return tuple(Point(float(z), float(r)) for z, r in points)


def arc(
    z: float, r: float, radius: float, begin: float, end: float, count: int = 4001
) -> list[tuple[float, float]]:
    angles = np.linspace(begin, end, count)
    return [(z + radius * math.cos(a), r + radius * math.sin(a)) for a in angles]


QUARTER = math.pi / 2

TEST_PART = ring(
    (0, 0),
    (0, 8),
    (-2, 10),
    (-27, 10),
    *arc(-27, 13, 3, 3 * QUARTER, 2 * QUARTER, 201),
    (-30, 15),
    (-60, 15),
    (-90, 22.5),
    (-100, 22.5),
    (-100, 0),
)
"""Chamfer, seat, concave fillet R3, shoulder, cone, collar."""


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        (ring((0, 0), (0, 25), (-100, 25), (-100, 0)), 196349.5408),  # cylinder, pi r^2 L
        (ring((0, 0), (0, 10), (-60, 20), (-60, 0)), 43982.2972),  # frustum, pi L/3 (R2+Rr+r2)
        (ring((0, 0), (-40, 15), (-40, 0)), 9424.7780),  # cone, pi r^2 L/3
        (ring(*arc(0, 0, 15, 0, math.pi)), 14137.1669),  # sphere, 4/3 pi R^3
        (ring((0, 18), (0, 20), (-2, 20)), 242.9498),  # chamfer ring 2 x 45 degrees off d 40
        (ring((0, 20), *arc(-3, 17, 3, QUARTER, 0)), 234.5769),  # outside a convex R3 on d 40
        (ring((-3, 10), *arc(0, 13, 3, 2 * QUARTER, 3 * QUARTER)), 129.4865),  # inside fillet R3
        (ring(*arc(0, 2, 1, 0, 4 * QUARTER)[:-1]), 4 * math.pi**2),  # Larson, example 7
        (TEST_PART, 80122.8131),
    ],
)
def test_volume_of_a_turned_body(body: Ring, expected: float) -> None:
    assert volume(region((body,), "test")) == pytest.approx(expected, rel=2e-6)


def test_the_bar_less_the_test_part() -> None:
    bar = region((ring((0, 0), (0, 25), (-100, 25), (-100, 0)),), "test")
    part = region((TEST_PART,), "test")
    removed = volume(bar.difference(part))
    assert removed == pytest.approx(116226.7277, rel=1e-6)
    assert removed + volume(part) == pytest.approx(volume(bar), rel=1e-12)


def test_a_mesh_of_the_test_part_agrees() -> None:
    """The mesh inscribes an N-gon: its volume is smaller by (N / 2 pi) sin(2 pi / N)."""
    sections = 128
    line = np.array([(r, z) for z, r in reversed(TEST_PART)])
    mesh = trimesh.creation.revolve(line, sections=sections)
    factor = sections / (2 * math.pi) * math.sin(2 * math.pi / sections)
    assert abs(mesh.volume) / factor == pytest.approx(
        volume(region((TEST_PART,), "test")), rel=1e-6
    )
