"""Outlines of drills, reamers, countersinks and boring bars."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely import Polygon

from turnsketch.errors import InputError
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import ToolShape, tool_shape

DRILL = Tool(1, "drill", "drill", diameter_mm=10.0, point_angle_deg=118.0, length_mm=60.0,
             reference="centre")  # fmt: skip
BAR = Tool(2, "bar", "boring", shape="C", nose_radius_mm=0.4, edge_length_mm=6.0,
           bar_diameter_mm=12.0, least_bore_mm=16.0, length_mm=48.0)  # fmt: skip


def regions(shape: ToolShape) -> dict[str, Polygon]:
    return {p.name: Polygon([(q.z, q.r) for q in p.ring(1e-4)]) for p in shape.pieces}


def test_a_drills_point_is_as_long_as_its_angle_makes_it() -> None:
    pieces = regions(tool_shape(DRILL))
    # Computed: d / 2 / tan 59 degrees.
    assert pieces["point"].bounds == pytest.approx((0, -5, 3.0043, 5), abs=1e-4)
    assert pieces["flutes"].bounds == pytest.approx((3.0043, -5, 60, 5), abs=1e-4)
    assert pieces["shank"].bounds[0] == pytest.approx(60)
    assert {p.name for p in tool_shape(DRILL).cutting} == {"point", "flutes"}


def test_a_reamer_is_flat_in_front() -> None:
    reamer = Tool(3, "reamer", "reamer", diameter_mm=20.0105, length_mm=90.0)
    pieces = regions(tool_shape(reamer))
    assert "point" not in pieces
    assert pieces["flutes"].bounds == pytest.approx((0, -10.00525, 90, 10.00525))


def test_a_countersink_is_a_cone_of_its_angle() -> None:
    sink = Tool(4, "sink", "countersink", diameter_mm=31.0, point_angle_deg=90.0)
    pieces = regions(tool_shape(sink))
    assert pieces["cone"].bounds == pytest.approx((0, -15.5, 15.5, 15.5))
    assert pieces["cone"].area == pytest.approx(15.5**2)


def test_a_boring_bars_edge_is_its_highest_point() -> None:
    pieces = regions(tool_shape(BAR))
    assert pieces["insert"].bounds[3] == pytest.approx(0, abs=1e-6)
    assert all(region.bounds[3] <= 1e-6 for name, region in pieces.items() if name != "block")


def test_a_bar_stands_in_the_middle_of_the_least_bore() -> None:
    bar = regions(tool_shape(BAR))["bar"]
    # The edge on the wall of Ø16: the axis is 8 below it.
    assert bar.bounds[1] + 8 == pytest.approx(-(bar.bounds[3] + 8))
    assert bar.bounds[3] - bar.bounds[1] == pytest.approx(12)
    assert bar.bounds[2] == pytest.approx(48)


@pytest.mark.parametrize(
    "tool",
    [t for t in demo_shop().tools if t.kind in ("drill", "reamer", "countersink", "boring")],
    ids=lambda t: f"T{t.number}",
)
def test_the_shops_tools_are_sound(tool: Tool) -> None:
    for piece in tool_shape(tool).pieces:
        region = Polygon([(p.z, p.r) for p in piece.ring(1e-3)])
        assert region.is_valid
        assert region.exterior.is_ccw
        assert region.area == pytest.approx(shapely.convex_hull(region).area, rel=1e-9)
    if tool.kind == "boring":
        # Common practice: four times its diameter for a bar of steel.
        assert tool.length_mm <= 4 * tool.bar_diameter_mm


@pytest.mark.parametrize(
    ("tool", "what"),
    [
        (Tool(5, "d", "drill", length_mm=50.0), "give its diameter"),
        (Tool(5, "d", "drill", diameter_mm=10.0), "length of its flutes"),
        (Tool(5, "d", "drill", diameter_mm=10.0, length_mm=2.0), "length of its flutes"),
        (
            Tool(5, "d", "drill", diameter_mm=10.0, length_mm=50.0, point_angle_deg=180.0),
            "included angle",
        ),
        (Tool(5, "b", "boring", shape="C", nose_radius_mm=0.4, edge_length_mm=6.0), "bar's dia"),
        (
            Tool(5, "b", "boring", shape="C", nose_radius_mm=0.4, edge_length_mm=6.0,
                 bar_diameter_mm=12.0, least_bore_mm=12.0, length_mm=48.0),
            "wider than its bar",
        ),
    ],
)  # fmt: skip
def test_records_that_make_no_tool(tool: Tool, what: str) -> None:
    with pytest.raises(InputError, match=what) as caught:
        tool_shape(tool)
    assert "tool 5" in str(caught.value)


def test_the_point_angle_is_a_full_one() -> None:
    flat = Tool(6, "d", "drill", diameter_mm=10.0, length_mm=60.0, point_angle_deg=140.0)
    assert regions(tool_shape(flat))["point"].bounds[2] == pytest.approx(
        5 / math.tan(math.radians(70))
    )
