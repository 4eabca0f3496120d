"""Length, area, volume, mass and the half section as a polygon."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.strategies import bulged, corner_specs, outlines, sharp_chains
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point, reversed_chain
from turnsketch.part.measures import (
    area,
    centroid,
    elements_area,
    elements_volume,
    length,
    mass_kg,
    ring,
    volume,
)
from turnsketch.part.outline import build_outline, sharp_outline
from turnsketch.part.outline_records import CornerSpec, JoinKind, Outline, OutlineElement

slow = settings(suppress_health_check=[HealthCheck.too_slow])


def of(*shapes: Element) -> Outline:
    """Return an outline without a care for joins, roles and sections."""
    elements = tuple(OutlineElement(shape, None, "face") for shape in shapes)
    joins: list[JoinKind] = ["convex" for _ in shapes[1:]]
    return Outline(elements, tuple(joins))


DISC = of(
    Line(Point(0, 0), Point(0, 25)),
    Line(Point(0, 25), Point(-100, 25)),
    Line(Point(-100, 25), Point(-100, 0)),
)
BALL = of(Arc(Point(0, 0), Point(-30, 0), Point(-15, 0), "ccw"))


def test_cylinder() -> None:
    assert length(DISC) == 150.0
    assert area(DISC) == 2500.0
    assert volume(DISC) == pytest.approx(math.pi * 25**2 * 100, rel=1e-15)
    assert centroid(DISC) == Point(-50.0, 12.5)


def test_ball() -> None:
    assert length(BALL) == pytest.approx(15 * math.pi, rel=1e-15)
    assert area(BALL) == pytest.approx(math.pi * 15**2 / 2, rel=1e-15)
    assert volume(BALL) == pytest.approx(4 / 3 * math.pi * 15**3, rel=1e-15)
    middle = centroid(BALL)
    assert middle.z == pytest.approx(-15.0, rel=1e-15)
    assert middle.r == pytest.approx(4 * 15 / (3 * math.pi), rel=1e-15)


def test_mass_of_a_litre_of_water() -> None:
    litre = of(
        Line(Point(0, 0), Point(0, 50)),
        Line(Point(0, 50), Point(-400 / math.pi, 50)),
        Line(Point(-400 / math.pi, 50), Point(-400 / math.pi, 0)),
    )
    assert mass_kg(litre, 1000.0) == pytest.approx(1.0, rel=1e-14)


def test_nothing_has_no_centroid() -> None:
    with pytest.raises(InputError, match="no area"):
        centroid(of(Line(Point(0, 0), Point(0, 5)), Line(Point(0, 5), Point(0, 0))))


def test_flat_arc_keeps_its_digits() -> None:
    # An arc of radius 10 km over 50 mm: its rise is 50^2 / (8 R) = 31.25 nm, two thirds of which
    # times the chord is the area of the segment (its series; the next term is 1e-12 of it).
    radius, chord = 1e7, 50.0
    sweep = 2 * math.asin(chord / 2 / radius)
    arc = bulged(Point(0, 10), Point(-chord, 10), sweep, "ccw")
    extra = elements_area([arc]) - elements_area([Line(arc.start, arc.end)])
    assert extra == pytest.approx(2 / 3 * chord * chord**2 / (8 * radius), rel=1e-6)


def test_ring_is_closed_along_the_axis_and_repeats_no_vertex() -> None:
    open_chain = of(Line(Point(0, 5), Point(-9, 5)))
    assert ring(open_chain, 1e-3) == (Point(0, 5), Point(-9, 5), Point(-9, 0), Point(0, 0))
    assert ring(DISC, 1e-3)[0] == Point(0, 0)
    assert len(set(ring(DISC, 1e-3))) == 4


@slow
@given(outlines(), st.data())
def test_area_and_volume_do_not_depend_on_the_start(outline: Outline, data: st.DataObject) -> None:
    shapes: list[Element] = [e.shape for e in outline.elements]
    shapes.append(Line(shapes[-1].end, shapes[0].start))
    start = data.draw(st.integers(0, len(shapes) - 1))
    turned = shapes[start:] + shapes[:start]
    assert elements_area(turned) == pytest.approx(area(outline), rel=1e-12)
    assert elements_volume(turned) == pytest.approx(volume(outline), rel=1e-12)


@slow
@given(outlines())
def test_reversal_changes_the_sign_alone(outline: Outline) -> None:
    backwards = reversed_chain([e.shape for e in outline.elements])
    assert elements_area(backwards) == pytest.approx(-area(outline), rel=1e-12)
    assert elements_volume(backwards) == pytest.approx(-volume(outline), rel=1e-12)
    assert area(outline) > 0.0
    assert volume(outline) > 0.0


def radius_squared_dz(shape: Element) -> float:
    """Integrate ``-r^2 dz`` along an element by quadrature over its fraction."""

    def integrand(fraction: float) -> float:
        point = shape.at(fraction)
        if isinstance(shape, Line):
            return -(point.r**2) * (shape.end.z - shape.start.z)
        return point.r**2 * shape.sweep * (point.r - shape.centre.r)

    return float(quad(integrand, 0.0, 1.0, epsabs=1e-10, epsrel=1e-10)[0])


@slow
@given(outlines())
def test_volume_is_the_integral_of_discs(outline: Outline) -> None:
    integral = math.pi * sum(radius_squared_dz(e.shape) for e in outline.elements)
    assert volume(outline) == pytest.approx(integral, rel=1e-9)


@slow
@given(outlines())
def test_area_and_centroid_agree_with_chords(outline: Outline) -> None:
    polygon = shapely.Polygon(ring(outline, 1e-4))
    assert area(outline) == pytest.approx(polygon.area, abs=1e-4 * length(outline))
    middle = centroid(outline)
    assert middle.distance(Point(polygon.centroid.x, polygon.centroid.y)) < 0.01
    assert volume(outline) == pytest.approx(2 * math.pi * middle.r * area(outline), rel=1e-12)


@slow
@given(sharp_chains().flatmap(lambda c: corner_specs(c).map(lambda s: (c, s))))
def test_a_chamfer_on_an_outer_corner_takes_volume(
    drawn: tuple[tuple[OutlineElement, ...], tuple[CornerSpec, ...]],
) -> None:
    elements, specs = drawn
    whole = volume(sharp_outline(elements))
    for spec in specs:
        outline, (info,) = build_outline(elements, [spec])
        if spec.kind == "chamfer" and info.convex:
            assert volume(outline) < whole
