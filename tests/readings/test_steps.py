"""Step tables against a numeric sweep that knows none of their formulas."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.readings.moves import Rounder
from turnsketch.readings.step_cusps import (
    StepTool,
    arc_cusp_mm,
    arc_step_angle,
    cusp_between,
    greatest_cusp,
    nose_steps_on_arc,
)
from turnsketch.readings.step_path import StepPath
from turnsketch.readings.step_placing import step_ways
from turnsketch.readings.steps import MANY_STEPS, many_steps_advice, step_table

MM = Rounder(0.01, 0.005, "mm")
INCH = Rounder(0.0005, 0.0005, "inch")


def ball_path(radius: float, nose: float, first: float, last: float) -> Arc:
    """Return the reference's way around a ball with its pole at z 0, angles in degrees."""
    path, centre = radius + nose, Point(-radius - nose, -nose)

    def at(degrees: float) -> Point:
        angle = math.radians(degrees)
        return Point(centre.z + path * math.cos(angle), centre.r + path * math.sin(angle))

    return Arc(at(first), at(last), centre, "ccw")


def waist_path(radius: float, nose: float, half_deg: float) -> Arc:
    """Return the reference's way through a hollow of `radius` whose bottom stands at r 10."""
    path, half = radius - nose, math.radians(half_deg)
    centre = Point(-30.0 - nose, 10.0 + radius - nose)

    def at(angle: float) -> Point:
        return Point(centre.z + path * math.sin(angle), centre.r - path * math.cos(angle))

    return Arc(at(half), at(-half), centre, "cw")


def left_on_ball(
    radius: float, nose: float, places: tuple[Point, ...], last: float
) -> NDArray[np.float64]:
    """Return the height left along rays from the ball's centre, by meeting the nose discs."""
    angles = np.radians(np.linspace(0.0, last, 20_001))
    rays = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    centres = np.array([[p.z + nose + radius, p.r + nose] for p in places])
    along = rays @ centres.T
    across = np.sum(centres**2, axis=1) - along**2
    inside = np.where(across <= nose**2, along - np.sqrt(np.maximum(nose**2 - across, 0)), np.inf)
    return np.asarray(inside.min(axis=1) - radius)


@pytest.mark.parametrize(("radius", "nose", "limit"), [(15, 3, 0.05), (15, 5, 0.1), (6, 1, 0.02)])
@pytest.mark.parametrize("last", [90.0, 120.0])
def test_the_stated_cusp_is_what_the_swept_nose_leaves(
    radius: float, nose: float, limit: float, last: float
) -> None:
    found = step_table([ball_path(radius, nose, 0, last)], StepTool(nose), limit, MM)
    exact = left_on_ball(radius, nose, found.exact, last)
    read = left_on_ball(radius, nose, found.read, last)
    assert exact.max() == pytest.approx(found.cusp_exact, abs=2e-5)
    assert exact.min() > -1e-9
    # The rays stand 0.001 mm apart and may miss a cusp's very tip, but never find a higher one.
    assert found.cusp_read - 3e-4 < read.max() <= found.cusp_read + 1e-9
    assert read.min() > -1e-9
    assert found.cusp_read <= limit
    assert found.table.cusp == found.cusp_read


def test_one_step_fewer_would_pass_the_limit() -> None:
    path = StepPath([ball_path(15, 3, 0, 90)])
    for limit in (0.03, 0.05, 0.1):
        count = len(step_ways(path, StepTool(3.0), limit)) - 1
        assert arc_cusp_mm(15, 3, math.pi / 2 / count) <= limit
        assert arc_cusp_mm(15, 3, math.pi / 2 / (count - 1)) > limit


@given(st.floats(2, 60), st.floats(0.2, 6), st.floats(0.005, 0.2), st.booleans())
def test_the_closed_form_and_its_inverse_agree(
    radius: float, nose: float, limit: float, convex: bool
) -> None:
    if not convex and nose >= radius * 0.95:
        return
    angle = arc_step_angle(radius, nose, limit, convex=convex)
    if angle < 2 * math.asin(min(1.0, nose / (radius + nose))) * 0.99:
        assert arc_cusp_mm(radius, nose, angle, convex=convex) == pytest.approx(limit, rel=1e-6)


@given(st.floats(3, 40), st.floats(0.4, 6), st.floats(0.01, 1.2), st.floats(0.005, 0.1))
def test_the_general_cusp_agrees_with_the_closed_form_on_an_arc(
    radius: float, nose: float, at: float, step: float
) -> None:
    path = StepPath([ball_path(radius, nose, 0, 120)])
    way, one = at * (radius + nose), step * (radius + nose)
    if one / 2 >= nose:
        return
    general = cusp_between(path, StepTool(nose), path.at(way), path.at(way + one))
    assert general == pytest.approx(arc_cusp_mm(radius, nose, step), abs=1e-9)


def test_a_hollow() -> None:
    nose, radius = 3.0, 20.0
    found = step_table([waist_path(radius, nose, 50)], StepTool(nose), 0.05, MM)
    centre = Point(-30.0, 10.0 + radius)
    angles = np.radians(np.linspace(-50, 50, 20_001))
    rays = np.stack([np.sin(angles), -np.cos(angles)], axis=1)
    for places, stated in ((found.exact, found.cusp_exact), (found.read, found.cusp_read)):
        centres = np.array([[p.z + nose - centre.z, p.r + nose - centre.r] for p in places])
        along = rays @ centres.T
        across = np.sum(centres**2, axis=1) - along**2
        far = np.where(across <= nose**2, along + np.sqrt(np.maximum(nose**2 - across, 0)), 0)
        left = radius - far.max(axis=1)
        assert left.min() > -1e-9
        assert left.max() == pytest.approx(stated, abs=2e-4)
    assert found.cusp_read <= 0.05


def left_by_stairs(surface: NDArray[np.float64], places: tuple[Point, ...], rise: float) -> float:
    """Return the greatest height that a sharp right-hand corner leaves over surface samples."""
    worst = 0.0
    for front, back in itertools.pairwise(places):
        # The roof between two steps: from the back step's corner rising to under the front one.
        z = np.linspace(back.z, front.z, 50)
        roof = np.stack([z, back.r + (z - back.z) * rise], axis=1)
        gaps = np.linalg.norm(roof[:, None, :] - surface[None, :, :], axis=2).min(axis=1)
        worst = max(worst, float(gaps.max()))
    return worst


@pytest.mark.parametrize("rise_deg", [0.0, 5.0])
def test_stairs_of_a_sharp_corner(rise_deg: float) -> None:
    rise = math.radians(rise_deg)
    arc = ball_path(15, 0, 0, 90)
    found = step_table([arc], StepTool(0.0, "right", rise), 0.15, MM)
    surface = np.array([arc.at(i / 5000) for i in range(5001)])
    assert left_by_stairs(surface, found.exact, math.tan(rise)) == pytest.approx(
        found.cusp_exact, abs=2e-4
    )
    assert left_by_stairs(surface, found.read, math.tan(rise)) == pytest.approx(
        found.cusp_read, abs=2e-4
    )
    assert found.cusp_read <= 0.15


def test_a_left_hand_corner_mirrors_a_right_hand_one() -> None:
    rising = Line(Point(0.0, 5.0), Point(-20.0, 9.0))
    falling = Line(Point(20.0, 9.0), Point(0.0, 5.0))
    right = step_table([rising], StepTool(0.0, "right"), 0.1, MM)
    left = step_table([falling], StepTool(0.0, "left"), 0.1, MM, free_back=True)
    assert len(right.exact) == len(left.exact)
    assert right.cusp_read == pytest.approx(left.cusp_read, abs=0.002)


def test_cusps_are_made_alike_over_smooth_joins() -> None:
    arc = ball_path(15, 3, 0, 60)
    line = Line(arc.end, arc.end.plus(arc.end_direction.times(10)))
    path = StepPath([arc, line])
    ways = step_ways(path, StepTool(3.0), 0.05)
    cusps = [
        cusp_between(path, StepTool(3.0), path.at(a), path.at(b))
        for a, b in itertools.pairwise(ways)
    ]
    assert max(cusps) <= 0.05 + 1e-12
    assert min(cusps) > 0.97 * max(cusps)
    alone = nose_steps_on_arc(15, 3, math.pi / 3, 0.05) + math.ceil(
        10 / (2 * math.sqrt(0.05 * 5.95))
    )
    assert len(ways) - 1 <= alone


def test_every_kink_gets_a_step() -> None:
    first = Line(Point(0.0, 5.0), Point(-10.0, 8.0))
    second = Line(Point(-10.0, 8.0), Point(-20.0, 8.5))
    found = step_table([first, second], StepTool(2.0), 0.05, MM)
    assert any(p.distance(Point(-10.0, 8.0)) < 1e-9 for p in found.exact)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(5, 30),
    st.floats(0.4, 5),
    st.floats(20, 130),
    st.floats(0.02, 0.15),
    st.sampled_from([MM, INCH, Rounder(0.02, 0.02, "mm")]),
)
def test_no_step_as_read_stands_inside_the_part(
    radius: float, nose: float, last: float, limit: float, rounder: Rounder
) -> None:
    elements: list[Element] = [ball_path(radius, nose, 0, last)]
    path = StepPath(elements)
    found = step_table(elements, StepTool(nose), limit, rounder)
    assert len(found.table.rows) == len(found.exact) == len(found.read)
    assert max(path.depth(p) for p in found.read) <= 5e-6
    assert [r.z for r in found.table.rows] == sorted((r.z for r in found.table.rows), reverse=True)
    assert found.cusp_exact <= limit + 1e-9
    assert found.within_limit == (found.cusp_read <= limit + 1e-9)
    # The last Z stays in front of whatever stands behind the path.
    assert found.read[-1].z >= path.at(path.length).z - 5e-5


def test_a_readout_too_coarse_for_the_limit_is_said() -> None:
    coarse = Rounder(0.1, 0.1, "mm")
    found = step_table([ball_path(15, 3, 0, 90)], StepTool(3.0), 0.01, coarse)
    assert not found.within_limit
    assert found.cusp_read > 0.01
    assert found.cusp_exact <= 0.01


def test_a_wall_behind_is_not_touched() -> None:
    line = Line(Point(0.0, 12.0), Point(-10.0023, 8.0))
    walled = step_table([line], StepTool(1.0), 0.05, MM)
    free = step_table([line], StepTool(1.0), 0.05, MM, free_back=True)
    assert walled.table.rows[-1].z == -10.0
    assert walled.table.rows[-1].x == pytest.approx(16.01)
    assert free.table.rows[-1].z == -10.005
    assert free.table.rows[-1].x == 16.0


@pytest.mark.parametrize(
    ("path", "limit", "message"),
    [
        ([ball_path(15, 3, 0, 90)], 0.0, "more than zero"),
        ([ball_path(15, 3, 0, 90)], 1e-9, "so small"),
        ([], 0.05, "no surface"),
        ([Line(Point(0, 5), Point(-5, 6)), Line(Point(-6, 6), Point(-9, 7))], 0.05, "connected"),
        ([Line(Point(0, 5), Point(3, 6))], 0.05, "overhangs"),
        ([ball_path(15, 3, -20, 90)], 0.05, "overhangs"),
    ],
)
def test_what_cannot_be_stepped_is_refused(path: list[Element], limit: float, message: str) -> None:
    with pytest.raises(InputError, match=message):
        step_table(path, StepTool(3.0), limit, MM)


def test_distances_beyond_ends_and_at_corners() -> None:
    path = StepPath([Line(Point(0, 5), Point(-5, 5)), Line(Point(-5, 5), Point(-10, 10))])
    assert path.depth(Point(-2, 4)) == pytest.approx(1.0)
    assert path.depth(Point(-2, 7)) == pytest.approx(-2.0)
    assert path.depth(Point(3, 4)) == pytest.approx(1.0)
    assert path.depth(Point(-5.3, 4)) == pytest.approx(math.hypot(0.3, 1))
    outer = StepPath([Line(Point(0, 5), Point(0, 10)), Line(Point(0, 10), Point(-5, 10))])
    assert outer.depth(Point(0.3, 11)) == pytest.approx(-math.hypot(0.3, 1))
    assert path.radius_at(-7.0) == pytest.approx(7.0)
    assert path.radius_at(1.0) is None


def test_a_step_that_stands_off_the_path_leaves_metal_itself() -> None:
    path = StepPath([Line(Point(0.0, 10.0), Point(-1.0, 10.0))])
    places = [Point(0.0, 10.0), Point(-0.5, 10.02)]
    assert greatest_cusp(path, StepTool(0.0), places[1:]) == pytest.approx(0.02)
    assert greatest_cusp(path, StepTool(0.0), places) == pytest.approx(0.02)


def test_many_steps_get_advice() -> None:
    assert many_steps_advice(MANY_STEPS) == ""
    assert "form tool" in many_steps_advice(MANY_STEPS + 1)


def blade_at(place: Point, corner: float, width: float = 3.0) -> shapely.Geometry:
    """Return a blade fed straight in until its left corner's centre stands at `place`."""
    core = shapely.box(place.z, place.r, place.z + width - 2 * corner, place.r + 60)
    return core.buffer(corner, quad_segs=256) if corner else core


@pytest.mark.parametrize("corner", [0.0, 0.1, 0.4])
@pytest.mark.parametrize("degrees", [1.5, 12.0, 35.0, 60.0, 85.0])
@pytest.mark.parametrize("step", [0.03, 0.12, 0.35, 0.9])
def test_the_stair_of_a_blade_against_polygons(corner: float, degrees: float, step: float) -> None:
    """What two blades leave of the half plane over a slope is as high as the formula says."""
    slope = math.radians(degrees)
    along = Point(-math.cos(slope), math.sin(slope))
    outward = Point(math.sin(slope), math.cos(slope))
    path = StepPath([Line(Point(0, 10), Point(0, 10).plus(along.times(20)))])
    front, back = path.at(5.0), path.at(5.0 + step)
    foot = [p.minus(outward.times(corner)) for p in (front, back)]
    high = [p.plus(outward.times(30.0)) for p in reversed(foot)]
    over = shapely.Polygon([(p.z, p.r) for p in (*foot, *high)])
    left = over.difference(shapely.union_all([blade_at(p, corner) for p in (front, back)]))
    middle = shapely.Point((foot[0].z + foot[1].z) / 2, (foot[0].r + foot[1].r) / 2)
    standing = [p for p in shapely.get_parts(left) if p.area > 1e-12 and p.distance(middle) < 1e-6]
    heights = [
        (z - foot[0].z) * outward.z + (r - foot[0].r) * outward.r
        for piece in standing
        for z, r in shapely.get_coordinates(piece)
    ]
    found = cusp_between(path, StepTool(corner, flat=True), front, back)
    assert found == pytest.approx(max(heights, default=0.0), abs=1e-4)
    line = path.elements[0]
    mirrored = StepPath([Line(Point(-line.end.z, line.end.r), Point(-line.start.z, line.start.r))])
    other = cusp_between(
        mirrored, StepTool(corner, flat=True), Point(-back.z, back.r), Point(-front.z, front.r)
    )
    assert other == pytest.approx(found, abs=1e-9), "the right corner does as the left"
