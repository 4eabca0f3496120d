"""Tool outlines: convex, closed, counterclockwise, and where the reference says."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
from hypothesis import given, settings

from tests.geometry.sliding import tools
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.geometry.intersect import distance, r_extent, turn_between, z_extent
from turnsketch.shop.records import Tool, ToolKind
from turnsketch.shop.tool_shape import Piece, tool_shape


def insert(tool: Tool) -> Piece:
    (piece,) = tool_shape(tool).cutting
    return piece


def nose_of(piece: Piece) -> Arc:
    (arc,) = [e for e in piece.outline if isinstance(e, Arc)]
    return arc


def extent(piece: Piece) -> tuple[float, float, float, float]:
    """Return least z, greatest z, least r, greatest r."""
    zs = [z_extent(e) for e in piece.outline]
    rs = [r_extent(e) for e in piece.outline]
    return (
        min(low for low, _ in zs),
        max(high for _, high in zs),
        min(low for low, _ in rs),
        max(high for _, high in rs),
    )


@settings(max_examples=80, deadline=None)
@given(tools())
def test_every_piece_is_closed_convex_and_counterclockwise(tool: Tool) -> None:
    for piece in tool_shape(tool).pieces:
        ring = (*piece.outline, piece.outline[0])
        turning = 0.0
        for before, after in itertools.pairwise(ring):
            assert before.end == pytest.approx(after.start, abs=1e-12)
            turn = turn_between(before.end_direction, after.start_direction)
            assert turn > -1e-9
            turning += turn
        turning += sum(e.sweep for e in piece.outline if isinstance(e, Arc))
        assert turning == pytest.approx(2 * math.pi)


@settings(max_examples=80, deadline=None)
@given(tools())
def test_lowest_point_reads_zero(tool: Tool) -> None:
    lowest = min(extent(piece)[2] for piece in tool_shape(tool).cutting)
    assert lowest == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("hand", ["right", "left", "neutral"])
@pytest.mark.parametrize(("reference", "centre"), [("left", 0.8), ("centre", 0.0), ("right", -0.8)])
def test_nose_centre_stands_where_the_reference_says(
    hand: str, reference: str, centre: float
) -> None:
    tool = Tool(1, "t", "turning", hand=hand, reference=reference, nose_radius_mm=0.8)  # type: ignore[arg-type]
    nose = nose_of(insert(tool))
    assert nose.centre == pytest.approx((centre, 0.8), abs=1e-12)
    assert nose.radius == pytest.approx(0.8)


def test_right_hand_edges_have_their_angles() -> None:
    tool = Tool(1, "t", "turning", nose_radius_mm=0.4, edge_angle_deg=93, end_edge_angle_deg=32)
    piece = insert(tool)
    nose = nose_of(piece)
    after = next(e for e in piece.outline if e.start == nose.end)
    before = next(e for e in piece.outline if e.end == nose.start)
    # Travelled counterclockwise: down the leading edge, round the nose, out along the trailing one.
    assert math.degrees(math.atan2(*reversed(after.start_direction))) == pytest.approx(32)
    lead = before.end_direction
    assert math.degrees(math.atan2(-lead.r, -lead.z)) == pytest.approx(180 - 93)
    for edge in (before, after):
        assert turn_between(edge.start_direction, edge.start_direction) == 0.0
        assert distance(edge, nose.centre) == pytest.approx(0.4, abs=1e-12)


def test_left_hand_is_the_mirror() -> None:
    right = insert(Tool(1, "r", "turning", nose_radius_mm=0.4, reference="centre"))
    left = insert(Tool(2, "l", "turning", nose_radius_mm=0.4, reference="centre", hand="left"))
    mirror = shapely.Polygon([(-p.z, p.r) for p in right.ring(1e-3)])
    assert shapely.Polygon(left.ring(1e-3)).symmetric_difference(mirror).area < 1e-9


def test_sharp_corner_is_the_reference() -> None:
    piece = insert(Tool(1, "t", "turning"))
    assert Point(0.0, 0.0) in [e.start for e in piece.outline]
    assert not any(isinstance(e, Arc) for e in piece.outline)


@pytest.mark.parametrize(("reference", "left"), [("left", 0.0), ("centre", -3.0), ("right", -6.0)])
def test_round_insert_is_a_disc(reference: str, left: float) -> None:
    piece = insert(Tool(1, "t", "round", nose_radius_mm=3.0, reference=reference))  # type: ignore[arg-type]
    assert extent(piece) == pytest.approx((left, left + 6.0, 0.0, 6.0))
    assert all(isinstance(e, Arc) and e.radius == pytest.approx(3.0) for e in piece.outline)


@pytest.mark.parametrize(("reference", "left"), [("left", 0.0), ("centre", -1.5), ("right", -3.0)])
@pytest.mark.parametrize("corner", [0.0, 0.2])
def test_blade_is_read_from_its_corner(reference: str, left: float, corner: float) -> None:
    tool = Tool(
        1, "t", "parting", width_mm=3.0, corner_radius_mm=corner, reach_mm=18.0,
        reference=reference,  # type: ignore[arg-type]
    )  # fmt: skip
    piece = insert(tool)
    assert extent(piece) == pytest.approx((left, left + 3.0, 0.0, 18.0))
    assert sum(isinstance(e, Arc) for e in piece.outline) == (2 if corner else 0)
    assert tool_shape(tool).nose_radius == corner


def test_chamfer_tool_is_symmetrical_about_its_point() -> None:
    piece = insert(Tool(1, "t", "chamfer", chamfer_angle_deg=30.0, edge_length_mm=8.0))
    slopes = sorted(
        round(math.degrees(math.atan2(abs(e.start_direction.r), abs(e.start_direction.z))), 9)
        for e in piece.outline
    )
    assert slopes == [30.0] * 4
    assert Point(0.0, 0.0) in [e.start for e in piece.outline]


def test_form_tool_leaves_the_round_and_nothing_less() -> None:
    tool = Tool(1, "t", "form", form_radius_mm=3.0, width_mm=6.0)
    pieces = tool_shape(tool).cutting
    body = shapely.union_all([shapely.Polygon(piece.ring(1e-3)) for piece in pieces])
    # The reference sits where the quarter runs out: the round's centre is 3 below it.
    disc = shapely.Point(0.0, -3.0).buffer(3.0, quad_segs=4000)
    assert body.intersection(disc).area < 1e-6
    quarter = disc.intersection(shapely.box(0.0, -3.0, 3.0, 0.0))
    gap = shapely.box(0.0, -3.0, 3.0, 0.0).difference(body).difference(quarter)
    assert gap.buffer(-1.2e-3).is_empty


def test_holder_is_turned_counterclockwise_and_does_not_cut() -> None:
    clockwise = (Point(2, 2), Point(2, 30), Point(20, 30), Point(20, 2))
    shape = tool_shape(Tool(1, "t", "turning", nose_radius_mm=0.4, holder=(clockwise,)))
    (holder,) = shape.passive
    assert shapely.Polygon(holder.ring(1e-3)).exterior.is_ccw
    assert holder.name == "holder"
    assert [piece.name for piece in shape.cutting] == ["insert"]


def test_ring_stays_within_the_chord() -> None:
    piece = insert(Tool(1, "t", "round", nose_radius_mm=5.0, reference="centre"))
    ring = piece.ring(1e-3)
    sagitta = [
        5.0 - math.hypot((a.z + b.z) / 2, (a.r + b.r) / 2 - 5.0)
        for a, b in itertools.pairwise((*ring, ring[0]))
    ]
    assert 0 < max(sagitta) <= 1e-3
    assert len(set(ring)) == len(ring)


@pytest.mark.parametrize(
    ("kind", "sizes", "words"),
    [
        ("turning", {"edge_angle_deg": 120.0, "end_edge_angle_deg": 60.0}, "edge angles"),
        ("turning", {"nose_radius_mm": 2.0, "edge_length_mm": 0.5}, "shorter than its own nose"),
        ("round", {}, "needs its radius"),
        ("form", {}, "needs the radius"),
        ("parting", {"width_mm": 1.0, "corner_radius_mm": 0.6, "reach_mm": 9.0}, "wider"),
    ],
)
def test_impossible_tools_are_refused(kind: ToolKind, sizes: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        tool_shape(Tool(7, "t", kind, **sizes))  # type: ignore[arg-type]
    assert caught.value.where == "tool 7"


def test_pieces_are_lines_and_arcs() -> None:
    kinds: list[type[Element]] = [Line, Arc]
    for piece in tool_shape(Tool(1, "t", "turning", nose_radius_mm=0.4)).pieces:
        assert all(type(e) in kinds for e in piece.outline)
