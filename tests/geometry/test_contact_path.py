"""The exact path of a sliding tool: closed forms, clearance at random, closed corners."""

from __future__ import annotations

import itertools
import math
import os
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from tests.geometry.sliding import Builder, Chain, chains, clearances, cutting, tools
from turnsketch.errors import InputError
from turnsketch.geometry._candidates import slide
from turnsketch.geometry._gauss import turned_piece
from turnsketch.geometry._joins import Joined
from turnsketch.geometry._ring import closed_ring
from turnsketch.geometry._verify import Scene
from turnsketch.geometry.contact_path import ContactPath, Join, PathElement, contact_path
from turnsketch.geometry.corner_close import closed_at_corners
from turnsketch.geometry.elements import Arc, Element, Line, Point, chain_chords
from turnsketch.geometry.minkowski import no_go, polygons, region
from turnsketch.shop.records import Tool

LONG = os.environ.get("HYPOTHESIS_PROFILE") == "long"
EXAMPLES = settings(
    max_examples=3000 if LONG else 40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

SAFE = Point(80.0, 200.0)
RIGHT = Tool(1, "right", "turning", nose_radius_mm=0.4)
SHARP = Tool(2, "sharp", "turning", edge_angle_deg=93, end_edge_angle_deg=32)
ROUND = Tool(3, "round", "round", nose_radius_mm=3.0)
BLADE = Tool(4, "blade", "parting", width_mm=3.0, corner_radius_mm=0.2, reach_mm=20.0)


def lines(*corners: tuple[float, float]) -> tuple[Element, ...]:
    """Return straight elements through corners (z, r)."""
    points = [Point(*corner) for corner in corners]
    return tuple(Line(a, b) for a, b in itertools.pairwise(points))


def path_of(keep: Sequence[Element], joins: Sequence[Join], tool: Tool) -> ContactPath:
    path = contact_path(keep, joins, cutting(tool), SAFE)
    assert path.cautions == ()
    return path


def heading(shape: Element, fraction: float) -> Point:
    """Return the unit vector of travel at a fraction of an element."""
    if isinstance(shape, Line):
        return shape.start_direction
    away = shape.at(fraction).minus(shape.centre).times(1.0 / shape.radius)
    return Point(-away.r, away.z) if shape.turn == "ccw" else Point(away.r, -away.z)


STEP = lines((0, 0), (0, 8), (-22, 8), (-22, 12), (-60, 12))
STEP_JOINS: tuple[Join, ...] = ("convex", "reflex", "convex")


class TestClosedForms:
    def test_nose_on_a_stepped_pin(self) -> None:
        path = path_of(STEP, STEP_JOINS, RIGHT)
        rows = [(e.source, e.contact, e.shape.end) for e in path.elements]
        expected: list[tuple[int | None, str, tuple[float, float]]] = [
            (0, "nose", (0.0, 7.6)),
            (None, "vertex", (-0.4, 8.0)),
            (1, "nose", (-22.0, 8.0)),
            (2, "nose", (-22.0, 11.6)),
            (None, "vertex", (-22.4, 12.0)),
            (3, "nose", (-60.4, 12.0)),
        ]
        for (source, contact, end), (s, c, e) in zip(rows, expected, strict=True):
            assert (source, contact) == (s, c)
            assert end == pytest.approx(e, abs=1e-9)

    def test_sharp_corner_follows_the_outline_itself(self) -> None:
        path = path_of(STEP, STEP_JOINS, SHARP)
        assert [e.shape for e in path.elements] == list(STEP)
        assert {e.contact for e in path.elements} == {"corner"}

    @pytest.mark.parametrize(("turn", "radius"), [("ccw", 5.4), ("cw", 4.6)])
    def test_arc_radius_grows_or_shrinks_by_the_nose(self, turn: str, radius: float) -> None:
        build = Builder()
        build.line(math.radians(90), 8.0)
        if turn == "ccw":
            build.arc(math.radians(100), math.radians(70), 5.0)
        else:
            build.arc(math.radians(170), math.radians(-70), 5.0)
        chain = build.chain()
        path = path_of(chain.elements, chain.joins, RIGHT)
        (arc,) = [e.shape for e in path.elements if e.source == 1 and e.contact == "nose"]
        assert isinstance(arc, Arc)
        assert arc.radius == pytest.approx(radius, abs=1e-12)
        given_arc = chain.elements[1]
        assert isinstance(given_arc, Arc)
        # The reference stands left of and below the nose's centre by its radius.
        assert arc.centre == pytest.approx(given_arc.centre.minus(Point(0.4, 0.4)), abs=1e-12)

    @pytest.mark.parametrize("radius", [0.2, 0.4])
    def test_fillet_not_larger_than_the_nose_leaves_a_corner(self, radius: float) -> None:
        r = 8.0
        keep = (
            *lines((0, 0), (0, r), (-20 + radius, r)),
            Arc(
                Point(-20 + radius, r),
                Point(-20, r + radius),
                Point(-20 + radius, r + radius),
                "cw",
            ),
            *lines((-20, r + radius), (-20, 12), (-60, 12)),
        )  # fmt: skip
        path = path_of(keep, ("convex", "smooth", "smooth", "convex"), RIGHT)
        assert [e.source for e in path.elements] == [0, None, 1, 3, None, 4]
        assert path.elements[2].shape.end == pytest.approx((-20.0, 8.0), abs=1e-9)

    def test_nose_starts_at_minus_its_radius_on_a_face(self) -> None:
        for tool, radius in ((RIGHT, 0.4), (ROUND, 3.0)):
            path = path_of(STEP, STEP_JOINS, tool)
            assert path.elements[0].shape.start == pytest.approx((0.0, -radius), abs=1e-9)

    def test_round_insert_rolls_in_one_arc(self) -> None:
        path = path_of(STEP, STEP_JOINS, ROUND)
        contacts = [e.contact for e in path.elements]
        assert contacts == ["nose", "vertex", "nose", "nose", "vertex", "nose"]
        assert path.elements[1].shape.length == pytest.approx(3.0 * math.pi / 2)

    def test_blade_falls_off_a_shoulder_with_its_side_flush(self) -> None:
        keep = lines((0, 0), (0, 12), (-10, 12), (-10, 8), (-20, 8), (-20, 12), (-60, 12))
        path = path_of(keep, ("convex", "convex", "reflex", "reflex", "convex"), BLADE)
        groove = [e for e in path.elements if e.source == 3]
        # Left corner is the reference: the groove's floor is read from -13 to -20.
        assert groove[0].shape.start == pytest.approx((-13.0, 8.0), abs=1e-9)
        assert groove[-1].shape.end == pytest.approx((-20.0, 8.0), abs=1e-9)
        assert [e.contact for e in path.elements if e.source == 2] == ["flank"]

    def test_flank_slides_over_a_corner_that_hides_a_fall(self) -> None:
        keep = lines((0, 0), (0, 12), (-10, 12), (-14, 8), (-20, 8), (-20, 12), (-60, 12))
        joins: tuple[Join, ...] = ("convex", "convex", "reflex", "reflex", "convex")
        path = path_of(keep, joins, RIGHT)
        fall = [e for e in path.elements if e.contact == "flank"]
        assert [e.source for e in fall] == [None]
        slope = fall[0].shape.start_direction
        assert math.degrees(math.atan2(-slope.r, -slope.z)) == pytest.approx(5.0)
        assert 3 not in {e.source for e in path.elements}

    def test_left_hand_mirrors_right_hand(self) -> None:
        # A groove that is its own mirror image about z = -15: the left-hand path mirrors too.
        keep = lines((0, 0), (0, 12), (-10, 12), (-12, 9), (-18, 9), (-20, 12), (-30, 12))
        joins: tuple[Join, ...] = ("convex", "convex", "reflex", "reflex", "convex")
        right = Tool(
            1,
            "r",
            "turning",
            nose_radius_mm=0.4,
            reference="centre",
            edge_angle_deg=107.5,
            end_edge_angle_deg=30.0,
        )
        left = replace_hand(right)
        here = [p for e in path_of(keep, joins, right).elements for p in e.shape.chords(0.1)]
        there = [p for e in path_of(keep, joins, left).elements for p in e.shape.chords(0.1)]
        inner = [p for p in here if -29 < p.z < -1]
        mirror = shapely.linestrings([(-30 - p.z, p.r) for p in there])
        assert max(mirror.distance(shapely.Point(p)) for p in inner) < 1e-9

    def test_arc_that_runs_on_through_the_top_is_one_element(self) -> None:
        ball = Arc(
            Point(0, 0), Point(-22.5, 15 * math.sin(math.radians(120))), Point(-15, 0), "ccw"
        )
        keep = (ball, *lines(ball.end, (-60, ball.end.r)))
        path = path_of(keep, ("reflex",), ROUND)
        assert [e.source for e in path.elements] == [0, 1]


def replace_reach(tool: Tool, reach: float) -> Tool:
    """Return a blade with another reach."""
    return Tool(
        5,
        "short blade",
        "parting",
        width_mm=tool.width_mm,
        corner_radius_mm=tool.corner_radius_mm,
        reach_mm=reach,
    )


def replace_hand(tool: Tool) -> Tool:
    """Return the left-hand twin of a tool."""
    return Tool(
        2,
        "left",
        "turning",
        hand="left",
        nose_radius_mm=tool.nose_radius_mm,
        edge_angle_deg=tool.edge_angle_deg,
        end_edge_angle_deg=tool.end_edge_angle_deg,
        reference=tool.reference,
    )


class TestWhereItMayGo:
    def test_start_in_metal_is_refused(self) -> None:
        with pytest.raises(InputError, match="cannot start here"):
            contact_path(STEP, STEP_JOINS, cutting(RIGHT), Point(-10.0, 4.0))

    def test_blocked_region_is_gone_round(self) -> None:
        jaws = shapely.box(-80.0, 0.0, -50.0, 30.0)
        path = contact_path(STEP, STEP_JOINS, cutting(RIGHT), SAFE, blocked=jaws)
        last = path.elements[-1]
        assert last.source == 3
        assert last.shape.end == pytest.approx((-50.0, 12.0), abs=1e-9)

    def test_blocked_region_between_is_followed(self) -> None:
        stop = shapely.box(-12.0, 5.0, -9.0, 9.5)
        path = contact_path(STEP, STEP_JOINS, cutting(RIGHT), SAFE, blocked=stop)
        around = [e.shape for e in path.elements if e.contact == "blocked"]
        corners = [(-9, 8), (-9, 9.5), (-12, 9.5), (-12, 8)]
        assert [around[0].start, *(s.end for s in around)] == [
            pytest.approx(corner, abs=1e-9) for corner in corners
        ]

    def test_pocket_without_a_way_in_is_not_entered(self) -> None:
        # A neck 2 wide before a wide room: the 3 mm blade fits the room and never gets there.
        keep = lines(
            (0, 0), (0, 20), (-10, 20), (-10, 15), (-5, 15), (-5, 10), (-17, 10), (-17, 15),
            (-12, 15), (-12, 20), (-60, 20),
        )  # fmt: skip
        joins: tuple[Join, ...] = (
            "convex", "convex", "convex", "reflex", "reflex", "reflex", "reflex", "convex",
            "convex",
        )  # fmt: skip
        short = replace_reach(BLADE, 4.0)
        path = path_of(keep, joins, short)
        behind = [p for e in path.elements if e.shape.end.z < -5 for p in e.shape.chords(0.1)]
        assert min(p.r for p in behind) > 19.0
        assert not {4, 5, 6} & {e.source for e in path.elements}
        # For a place within the room, the room is all there is.
        room = contact_path(keep, joins, cutting(short), Point(-12.0, 10.5))
        assert {e.source for e in room.elements} >= {5}
        assert max(e.shape.end.r for e in room.elements) < 15.0

    def test_own_closing_serves_a_bore(self) -> None:
        # Bottom and wall of a bore, metal outside: travelled from the axis out and to the front.
        keep = lines((-30, 0), (-30, 10), (0, 10), (0, 20))
        tool = Tool(1, "bar", "turning", nose_radius_mm=0.4)
        bar = [tuple(_upside_down(e) for e in reversed(cutting(tool)[0]))]
        closing = [Point(-60, 20), Point(-60, 0)]
        path = contact_path(keep, ("reflex", "convex"), bar, Point(20.0, 3.0), closing=closing)
        ends = [e.shape.end for e in path.elements if e.source == 1]
        assert ends[-1] == pytest.approx((-0.4 + 0.4, 10.0), abs=0.5)
        assert path.cautions == ()

    def test_wrong_number_of_joins(self) -> None:
        with pytest.raises(Exception, match="one join fewer"):
            contact_path(STEP, ("convex",), cutting(RIGHT), SAFE)


def _upside_down(element: Element) -> Element:
    def flip(point: Point) -> Point:
        return Point(point.z, -point.r)

    if isinstance(element, Line):
        return Line(flip(element.end), flip(element.start))
    return Arc(flip(element.end), flip(element.start), flip(element.centre), element.turn)


class TestAtRandom:
    """Paths along random chains, by tools of every kind, against the exact clearance."""

    @EXAMPLES
    @given(chains(), tools(), st.floats(0.05, 0.95))
    def test_path_touches_and_nothing_more(self, chain: Chain, tool: Tool, at: float) -> None:
        path = path_of(chain.elements, chain.joins, tool)
        assert path.elements
        for before, after in itertools.pairwise(path.elements):
            assert before.shape.end == after.shape.start
        shapes = [e.shape for e in path.elements]
        on = [shape.at(f) for shape in shapes for f in (0.0, at, 1.0)]
        middles = [(shape.at(0.5), heading(shape, 0.5)) for shape in shapes]
        into = [p.plus(Point(-d.r, d.z).times(1e-6)) for p, d in middles]
        away = [p.plus(Point(d.r, -d.z).times(1e-6)) for p, d in middles]
        found = clearances([*on, *into, *away], chain.ring(), cutting(tool))
        assert np.abs(found[: len(on)]).max() < 2e-9
        assert found[len(on) : len(on) + len(into)].max() < -1e-8
        # A short stretch in a tight place may move away from one side into another.
        long = np.array([shape.length > 1e-4 for shape in shapes])
        assert found[len(on) + len(into) :][long].min(initial=1.0) > 0.0

    @EXAMPLES
    @given(chains(), tools())
    def test_path_is_the_edge_of_the_sum(self, chain: Chain, tool: Tool) -> None:
        path = path_of(chain.elements, chain.joins, tool)
        chord = 1e-3
        obstacle = region(chain_chords(chain.ring(), chord)[:-1])
        pieces = [tuple(chain_chords(piece, chord)[:-1]) for piece in cutting(tool)]
        total = shapely.union_all([no_go(obstacle, piece) for piece in pieces])
        outside = shapely.unary_union([shapely.Polygon(p.exterior) for p in polygons(total)])
        way = shapely.linestrings(chain_chords([e.shape for e in path.elements], chord))
        edge = outside.boundary
        on_way = shapely.points(shapely.get_coordinates(shapely.segmentize(way, 0.1)))
        assert shapely.distance(on_way, edge).max() < 3 * chord
        assert shapely.distance(_stretch(edge, way), way).max() < 3 * chord

    @EXAMPLES
    @given(chains(), tools())
    def test_closed_corners_roll_nowhere_and_cut_nothing(self, chain: Chain, tool: Tool) -> None:
        path = path_of(chain.elements, chain.joins, tool)
        closed = closed_at_corners(path)
        assert not any(e.contact == "vertex" and isinstance(e.shape, Arc) for e in closed.elements)
        for before, after in itertools.pairwise(closed.elements):
            assert before.shape.end.distance(after.shape.start) < 1e-9
        places = [e.shape.at(f) for e in closed.elements for f in (0.02, 0.5, 0.98, 1.0)]
        found = clearances(places, chain.ring(), cutting(tool))
        assert found.min() > -1.1e-4
        assert sum(c.kind == "cut short" for c in closed.cautions) <= len(path.elements)

    @EXAMPLES
    @given(chains(), tools())
    def test_strips_are_valid(self, chain: Chain, tool: Tool) -> None:
        ring = closed_ring(chain.elements, chain.joins, None)
        for piece in cutting(tool):
            strips = slide(ring, turned_piece(piece), 1e-3).strips
            for strip in strips:
                assert shapely.Polygon(strip).buffer(0).area == pytest.approx(
                    shapely.Polygon(strip).area, rel=1e-6, abs=1e-9
                )


def _stretch(edge: shapely.Geometry, way: shapely.LineString) -> NDArray[np.object_]:
    """Return points of the region's edge between the way's start and its end."""
    ends = [shapely.Point(way.coords[0]), shapely.Point(way.coords[-1])]
    ring = max(shapely.get_parts(edge), key=lambda r: -max(r.distance(p) for p in ends))
    start, end = (ring.project(p) for p in ends)
    ahead = (end - start) % ring.length
    tries = [
        shapely.line_interpolate_point(ring, (start + np.linspace(0, to, 4000)) % ring.length)
        for to in (ahead, ahead - ring.length)
    ]
    return min(tries, key=lambda points: float(shapely.distance(points, way).max()))


class TestClosedCorners:
    def test_square_corner_becomes_a_corner(self) -> None:
        closed = closed_at_corners(path_of(STEP, STEP_JOINS, RIGHT))
        for element, given_line in zip(closed.elements[:-1], STEP[:-1], strict=True):
            assert element.shape.end == pytest.approx(given_line.end, abs=1e-9)
        assert closed.cautions == ()

    def test_acute_corner_is_cut_short(self) -> None:
        # A sharp fin: the path turns by 160 degrees.
        keep = lines((0, 0), (0, 5), (-10, 5), (-11, 15), (-12.5, 5), (-60, 5))
        joins: tuple[Join, ...] = ("convex", "reflex", "convex", "reflex")
        tool = Tool(1, "point", "round", nose_radius_mm=0.5)
        path = path_of(keep, joins, tool)
        closed = closed_at_corners(path)
        (caution,) = closed.cautions
        assert caution.kind == "cut short"
        straights = [e for e in closed.elements if e.contact == "vertex"]
        assert len(straights) == 1
        chain = Chain(keep, joins)
        places = [straights[0].shape.at(f) for f in np.linspace(0, 1, 41)]
        found = clearances(places, chain.ring(), cutting(tool))
        assert abs(found.min()) < 1e-9

    def test_extension_that_would_cut_is_not_made(self) -> None:
        # A wall 0.2 behind the corner's end leaves no room for the meeting point.
        corner = Arc(Point(0.0, 7.6), Point(-0.4, 8.0), Point(-0.4, 7.6), "ccw")
        wall = shapely.box(-1.0, 7.0, -0.4, 8.0).union(shapely.box(-0.05, 7.9, 1.0, 9.0))
        elements = (
            PathElement(Line(Point(0.0, 0.0), corner.start), 0, "nose"),
            PathElement(corner, None, "vertex"),
            PathElement(Line(corner.end, Point(-5.0, 8.0)), 1, "nose"),
        )
        closed = closed_at_corners(ContactPath(elements, (), wall))
        assert [c.kind for c in closed.cautions] == ["cut short"]
        way = shapely.linestrings([e.shape.start for e in closed.elements])
        assert way.intersection(wall.buffer(-1e-6)).is_empty

    def test_two_arcs_in_a_dip_leave_straights(self) -> None:
        keep = lines((0, 0), (0, 8), (-10, 8), (-10, 5), (-10.5, 5), (-10.5, 8), (-60, 8))
        joins: tuple[Join, ...] = ("convex", "convex", "reflex", "reflex", "convex")
        path = path_of(keep, joins, RIGHT)
        assert sum(e.contact == "vertex" for e in path.elements) == 3
        closed = closed_at_corners(path)
        assert all(isinstance(e.shape, Line) for e in closed.elements)


class TestVerification:
    """The check of rule 9 notices what is wrong."""

    def test_moved_path_is_doubted(self) -> None:
        ring = closed_ring(STEP, STEP_JOINS, None)
        piece = turned_piece(cutting(RIGHT)[0])
        scene = Scene.of(ring, [piece])
        curve = slide(ring, piece, 1e-3).candidates[0]
        good = Joined(curve, curve.shape.start, curve.shape.end)
        assert scene.doubtful([good]) == ()
        deeper = Point(-1e-6, 0.0)
        bad = Joined(curve, good.start.plus(deeper), good.end.plus(deeper))
        assert scene.doubtful([bad])

    def test_unsure_join_is_told(self) -> None:
        ring = closed_ring(STEP, STEP_JOINS, None)
        piece = turned_piece(cutting(RIGHT)[0])
        curve = slide(ring, piece, 1e-3).candidates[0]
        stretch = Joined(curve, curve.shape.start, curve.shape.end, sure=False)
        assert Scene.of(ring, [piece]).doubtful([stretch]) == (curve.shape.start,)
