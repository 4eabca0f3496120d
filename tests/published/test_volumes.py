"""Volumes against closed forms and against two general mesh libraries.

Sources: Pappus' theorem (the torus is example 7 of a calculus textbook's chapter on it, Larson:
4 pi² = 39.478, printed there as 39.5); sphere, cone and frustum are school geometry; ring volumes
by the formula beside each. The test part's figure was calculated from its parts. The meshes of
trimesh and manifold3d inscribe an N-gon, so their volume is the exact one times
``(N / 2 pi) sin(2 pi / N)``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
import trimesh
from manifold3d import CrossSection, Manifold

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.part.measures import elements_volume, ring, volume
from turnsketch.part.outline import build_outline
from turnsketch.part.outline_records import CornerSpec, JoinKind, Outline, OutlineElement

SIDES = 180
N_GON = SIDES / (2 * math.pi) * math.sin(2 * math.pi / SIDES)


def lines(*points: tuple[float, float]) -> list[Element]:
    return [Line(Point(*a), Point(*b)) for a, b in pairwise(points)]


def outline_of(shapes: list[Element]) -> Outline:
    elements = tuple(OutlineElement(s, i + 1, "face") for i, s in enumerate(shapes))
    joins: list[JoinKind] = ["convex" for _ in shapes[1:]]
    return Outline(elements, tuple(joins))


def sharp(*points: tuple[float, float]) -> tuple[OutlineElement, ...]:
    roles = [
        "face" if a[0] == b[0] else "cylinder" if a[1] == b[1] else "taper"
        for a, b in pairwise(points)
    ]
    return tuple(
        OutlineElement(shape, i + 1, role)  # type: ignore[arg-type]
        for i, (shape, role) in enumerate(zip(lines(*points), roles, strict=True))
    )


TEST_PART_SHARP = sharp(
    (0, 0), (0, 10), (-30, 10), (-30, 15), (-60, 15), (-90, 22.5), (-100, 22.5), (-100, 0)
)
TEST_PART = build_outline(
    TEST_PART_SHARP,
    [
        CornerSpec(0, 1, "chamfer", 2.0, math.pi / 4, "2x45°"),
        CornerSpec(1, 2, "round", 3.0, 0.0, "R3"),
    ],
)[0]
FRUSTUM_PARTS = (  # The test part once more, as a sum of school geometry.
    math.pi / 3 * 2 * (8**2 + 8 * 10 + 10**2)
    + math.pi * 10**2 * 28
    + math.pi * 15**2 * 30
    + math.pi / 3 * 30 * (15**2 + 15 * 22.5 + 22.5**2)
    + math.pi * 22.5**2 * 10
)


@dataclass(frozen=True)
class Body:
    name: str
    outline: Outline
    exact: float
    printed: float
    """The figure of the table, to the digits given there."""


FILLET_LEFT = 2 * math.pi * (10 * 9 * (1 - math.pi / 4) + 27 * (5 / 6 - math.pi / 4))
"""Fillet R3 at radius 10: square less quarter disc, each with its own centroid, R³(5/6 - pi/4)
about the cylinder (Pappus)."""

BODIES = [
    Body(
        "cylinder d 50, L 100",
        outline_of(lines((0, 0), (0, 25), (-100, 25), (-100, 0))),
        math.pi * 25**2 * 100,
        196349.5408,
    ),
    Body(
        "frustum 40/20, L 60",
        outline_of(lines((0, 0), (0, 10), (-60, 20), (-60, 0))),
        math.pi / 3 * 60 * (20**2 + 20 * 10 + 10**2),
        43982.2972,
    ),
    Body(
        "cone 30, L 40",
        outline_of(lines((0, 0), (-40, 15), (-40, 0))),
        math.pi / 3 * 15**2 * 40,
        9424.7780,
    ),
    Body(
        "sphere R 15",
        outline_of([Arc(Point(0, 0), Point(-30, 0), Point(-15, 0), "ccw")]),
        4 / 3 * math.pi * 15**3,
        14137.1669,
    ),
    Body("test part", TEST_PART, FRUSTUM_PARTS + FILLET_LEFT, 80122.8131),
]


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.name)
def test_volume_is_the_closed_form_and_the_printed_figure(body: Body) -> None:
    assert volume(body.outline) == pytest.approx(body.exact, rel=1e-13)
    assert volume(body.outline) == pytest.approx(body.printed, abs=2e-4)


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.name)
def test_volume_agrees_with_trimesh(body: Body) -> None:
    points = np.array([(p.r, p.z) for p in reversed(ring(body.outline, 1e-5))])
    points = np.vstack([points, points[:1]])
    mesh = trimesh.creation.revolve(points, sections=SIDES)
    assert abs(mesh.volume) / N_GON == pytest.approx(volume(body.outline), rel=1e-5)


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.name)
def test_volume_agrees_with_manifold(body: Body) -> None:
    section = CrossSection([np.array([(p.r, p.z) for p in reversed(ring(body.outline, 1e-5))])])
    solid = Manifold.revolve(section, SIDES)
    assert solid.volume() / N_GON == pytest.approx(volume(body.outline), rel=1e-5)


def test_torus_of_pappus() -> None:
    # Larson, Calculus: a circle of radius 1 about an axis 2 away gives 4 pi² (39.478).
    circle: list[Element] = [
        Arc(Point(1, 2), Point(-1, 2), Point(0, 2), "ccw"),
        Arc(Point(-1, 2), Point(1, 2), Point(0, 2), "ccw"),
    ]
    assert elements_volume(circle) == pytest.approx(4 * math.pi**2, rel=1e-14)


def stub(diameter: float, end: float = 50.0) -> tuple[OutlineElement, ...]:
    radius = diameter / 2
    return sharp((0, 0), (0, radius), (-end, radius), (-end, 0))


def test_chamfer_ring_two_by_45_on_40() -> None:
    # Triangle 2 x 2 with its centroid 2/3 below the surface: 2 pi (20 - 2/3) 2 (Pappus).
    chamfer = CornerSpec(0, 1, "chamfer", 2.0, math.pi / 4, "2x45°")
    whole, cut = stub(40), build_outline(stub(40), [chamfer])[0]
    removed = elements_volume([e.shape for e in whole]) - volume(cut)
    assert removed == pytest.approx(2 * math.pi * (20 - 2 / 3) * 2, rel=1e-10)
    assert removed == pytest.approx(242.9498, abs=1e-4)


def test_metal_removed_outside_a_round_r3_on_40() -> None:
    # Square less quarter disc at radius 20: 2 pi (20 R² (1 - pi/4) - R³ (5/6 - pi/4)) (Pappus).
    whole, cut = stub(40), build_outline(stub(40), [CornerSpec(0, 1, "round", 3.0, 0.0, "R3")])[0]
    removed = elements_volume([e.shape for e in whole]) - volume(cut)
    exact = 2 * math.pi * (20 * 9 * (1 - math.pi / 4) - 27 * (5 / 6 - math.pi / 4))
    assert removed == pytest.approx(exact, rel=1e-9)
    assert removed == pytest.approx(234.5769, abs=1e-4)


def test_metal_left_in_a_fillet_r3_at_20() -> None:
    elements = sharp((0, 0), (0, 10), (-30, 10), (-30, 20), (-40, 20), (-40, 0))
    filled = build_outline(elements, [CornerSpec(0, 2, "round", 3.0, 0.0, "R3")])[0]
    left = volume(filled) - elements_volume([e.shape for e in elements])
    assert left == pytest.approx(FILLET_LEFT, rel=1e-9)
    assert left == pytest.approx(129.4865, abs=1e-4)


def test_bar_50_by_100_minus_the_test_part() -> None:
    bar = math.pi * 25**2 * 100
    assert bar - volume(TEST_PART) == pytest.approx(116226.7277, abs=2e-4)


def test_bar_minus_part_by_mesh_difference() -> None:
    def solid(outline: Outline) -> Manifold:
        points = [(p.r, p.z) for p in reversed(ring(outline, 1e-5))]
        return Manifold.revolve(CrossSection([np.array(points)]), SIDES)

    chips = solid(BODIES[0].outline) - solid(TEST_PART)
    exact = math.pi * 25**2 * 100 - volume(TEST_PART)
    assert chips.volume() / N_GON == pytest.approx(exact, rel=1e-5)
