"""Tangent cuts by the top slide: few straight cuts that leave no more than a long step table."""

from __future__ import annotations

import math

import pytest
import shapely

from turnsketch.geometry.elements import Arc, Line, Point
from turnsketch.plan_records import TangentCut
from turnsketch.readings.moves import Rounder
from turnsketch.readings.steps import many_steps_advice
from turnsketch.readings.tangent_cuts import tangent_count, tangent_cuts
from turnsketch.shop.records import Dial, TopSlide

SLIDE = TopSlide(60.0, Dial("mm", 2.0, 100))
FINE = Rounder(1e-6, 1e-6, "mm")
READOUT = Rounder(0.01, 0.005, "mm")
NOSE, BALL, LIMIT = 3.0, 15.0, 0.05

BACK = math.radians(130)


def reference(angle: float) -> Point:
    """Return where the reference (left and under the nose) stands over a ball at the origin."""
    way = BALL + NOSE
    return Point(way * math.cos(angle) - NOSE, way * math.sin(angle) - NOSE)


PATH = Arc(reference(0.0), reference(BACK), Point(-NOSE, -NOSE), "ccw")


def swept(cuts: tuple[TangentCut, ...], nose: float) -> shapely.Geometry:
    """Return what a nose takes away along the cuts."""
    return shapely.union_all(
        [
            shapely.LineString([(p.z + nose, p.x / 2 + nose) for p in (cut.start, cut.end)]).buffer(
                nose, quad_segs=256
            )
            for cut in cuts
        ]
    )


def test_they_touch_a_ball_and_leave_no_more_than_the_limit() -> None:
    """Swept: nothing inside R15, and no way along it higher than the limit."""
    cuts = tangent_cuts([PATH], LIMIT, FINE, SLIDE)
    air = swept(cuts, NOSE)
    origin = shapely.Point(0, 0)
    assert air.distance(origin) == pytest.approx(BALL, abs=2e-4)
    heights = []
    for i in range(2, 259):
        angle = BACK * i / 260
        ray = shapely.LineString(
            [(0, 0), (20 * math.cos(angle), 20 * math.sin(angle))]
        ).intersection(air)
        heights.append(ray.distance(origin) - BALL)
    assert -2e-4 <= min(heights) < 1e-3
    assert 0.6 * LIMIT < max(heights) <= LIMIT + 1e-4


def test_their_number_their_angles_and_their_scale() -> None:
    """P = 18, limit 0.05: cos(d/2) = 18 / 18.05, d = 8.53 degrees; 130 degrees are 16 cuts."""
    cuts = tangent_cuts([PATH], LIMIT, FINE, SLIDE)
    assert len(cuts) == tangent_count(PATH, LIMIT) == 16
    each = 130 / 16
    for i, cut in enumerate(cuts):
        # A tangent stands square to the radius; from the pole it falls from 90 degrees.
        assert math.degrees(cut.angle) == pytest.approx(90 - (i + 0.5) * each, abs=1e-6)
        assert cut.scale_deg == pytest.approx(abs(math.degrees(cut.angle)))
        assert (cut.end.x > cut.start.x) == (cut.angle > 0)
    across = TopSlide(60.0, Dial("mm", 2.0, 100), scale_zero="across")
    (first, *_) = tangent_cuts([PATH], LIMIT, FINE, across)
    assert first.scale_deg == pytest.approx(0.5 * each)


def test_a_hollow_is_made_by_chords() -> None:
    """A waist R20 under a nose R3: the path's R17, its chords on the outer side of it."""
    centre = Point(-10.0, 30.0)
    path = Arc(Point(-2.0, 15.0), Point(-18.0, 15.0), centre, "cw")
    cuts = tangent_cuts([path], LIMIT, FINE, SLIDE)
    half = math.acos(1 - LIMIT / path.radius)
    assert len(cuts) == math.ceil(abs(path.sweep) / (2 * half))
    for cut in cuts:
        for end in (cut.start, cut.end):
            assert math.hypot(end.z - centre.z, end.x / 2 - centre.r) == pytest.approx(
                path.radius, abs=1e-5
            )


def test_a_taper_is_one_cut() -> None:
    (cut,) = tangent_cuts([Line(Point(0, 10), Point(-30, 12))], LIMIT, READOUT, SLIDE)
    assert math.tan(cut.angle) == pytest.approx(2 / 30)
    assert cut.travel == pytest.approx(math.hypot(2, 30))
    assert (cut.start.x, cut.start.z, cut.end.x, cut.end.z) == (20.0, 0.0, 24.0, -30.0)


def test_none_where_the_slide_is_too_short_or_does_not_swivel_so_far() -> None:
    long = [Line(Point(0, 10), Point(-80, 12))]
    assert not tangent_cuts(long, LIMIT, READOUT, SLIDE)
    stiff = TopSlide(60.0, Dial("mm", 2.0, 100), greatest_angle_deg=60.0)
    assert not tangent_cuts([PATH], LIMIT, READOUT, stiff)


def test_readings_are_rounded_to_the_side_that_leaves_metal() -> None:
    exact = tangent_cuts([PATH], LIMIT, FINE, SLIDE)
    for fine, read in zip(exact, tangent_cuts([PATH], LIMIT, READOUT, SLIDE), strict=True):
        for a, b in ((fine.start, read.start), (fine.end, read.end)):
            assert 0 <= b.x - a.x + 1e-6 <= 0.01 + 1e-5
            outward = (b.z - a.z) if fine.angle >= 0 else (a.z - b.z)
            assert 0 <= outward + 1e-6 <= 0.005 + 1e-5


def test_the_advice_tells_how_many_they_are() -> None:
    assert many_steps_advice(40, 9) == ""
    assert "form tool or 9 tangent cuts" in many_steps_advice(59, 9)
    assert "1 tangent cut by" in many_steps_advice(83, 1)
    assert "tangent cuts by the top slide need" in many_steps_advice(59)
