"""Outlines of threading tools, taps and dies."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely import Polygon

from tests.thread_jobs import but, tool
from turnsketch.errors import InputError
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import ToolShape, tool_shape


def _cutting(shape: ToolShape) -> Polygon:
    return shapely.union_all([Polygon(piece.ring(1e-4)) for piece in shape.cutting])


@pytest.mark.parametrize("radius", [0.0, 0.1, 0.25])
def test_a_point_is_the_sharp_one_but_for_its_tip(radius: float) -> None:
    """The flanks' lines meet one radius below the tip: H - rho is where X counts from."""
    point = _cutting(tool_shape(but(tool(31), nose_radius_mm=radius)))
    assert point.bounds[1] == pytest.approx(0.0, abs=1e-4)
    for height in (0.5, 1.0, 2.0):
        line = shapely.LineString([(-9, height), (9, height)])
        wide = point.intersection(line).length
        assert wide == pytest.approx(2 * (height + radius) * math.tan(math.radians(30)), abs=1e-3)


@pytest.mark.parametrize(("reference", "middle"), [("left", 0.2), ("centre", 0.0), ("right", -0.2)])
def test_the_reference_is_a_side_of_the_tip(reference: str, middle: float) -> None:
    point = _cutting(tool_shape(but(tool(32), reference=reference)))
    assert point.centroid.x == pytest.approx(middle, abs=1e-3)


def test_an_inside_bar_points_outward() -> None:
    shape = tool_shape(tool(33))
    assert _cutting(shape).bounds[3] == pytest.approx(0.0, abs=1e-4)
    bar = next(piece for piece in shape.passive if piece.name == "bar")
    assert Polygon(bar.ring(1e-3)).bounds[3] < 0


def test_a_tap_and_a_die_stand_round_the_axis() -> None:
    tap, die = _cutting(tool_shape(tool(84))), _cutting(tool_shape(tool(89)))
    for body in (tap, die):
        mirror = shapely.transform(body, lambda zr: zr * (1.0, -1.0))
        assert body.symmetric_difference(mirror).area < 1e-6
    assert tap.bounds[3] == pytest.approx(6.0)
    assert not die.contains(shapely.Point(7.0, 4.0))
    assert die.contains(shapely.Point(7.0, 8.0))


@pytest.mark.parametrize(
    ("number", "change", "words"),
    [
        (31, {"profile_angle_deg": 0.0}, "included angle of its point"),
        (31, {"edge_length_mm": 0.0}, "length of the point's flanks"),
        (33, {"bar_diameter_mm": 0.0}, "the bar's diameter"),
        (82, {"thread": ""}, "the thread that it cuts"),
        (82, {"thread": "M8x"}, "is no thread"),
        (82, {"thread": "M8-6g"}, "write 6H"),
        (82, {"length_mm": 3.0}, "the length of its threads"),
        (87, {"length_mm": 0.0}, "the die's thickness"),
        (87, {"diameter_mm": 8.0}, "wider than its thread"),
    ],
)
def test_a_record_that_makes_no_tool_is_refused(
    number: int, change: dict[str, object], words: str
) -> None:
    made: Tool = but(tool(number), **change)
    with pytest.raises(InputError, match=words) as caught:
        tool_shape(made)
    assert caught.value.where.startswith(f"tool {number}")
