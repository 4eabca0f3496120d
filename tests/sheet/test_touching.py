"""A tool placed where its touch says must just touch the work: checked by overlap, not by formula.

What is entered is the readout's Z for that place.
"""

from __future__ import annotations

import pytest
from shapely import Polygon, box, union_all

from turnsketch.plan_records import ToolPiece, ToolRecord
from turnsketch.sheet.touching import corner_touch, face_touch, touch_of, x_offset_mm
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import tool_shape

ON_THE_AXIS = ("centre drill", "drill", "reamer", "countersink", "tap", "die")
IN_BORES = ("boring", "inside grooving", "inside threading")
EVERY = demo_shop().tools
BY_EYE = ("threading",)
TOOLS = tuple(t for t in EVERY if t.kind not in (*ON_THE_AXIS, *IN_BORES, *BY_EYE))
CLOSE = 2e-3


def record(tool: Tool) -> ToolRecord:
    shape = tool_shape(tool)
    pieces = tuple(ToolPiece(p.name, p.cuts, p.ring(1e-4)) for p in shape.pieces)
    return ToolRecord(
        tool.number, tool.name, shape.nose_radius, pieces, tool.kind, tool.hand, tool.reference
    )


def placed(tool: ToolRecord, z: float, x: float) -> Polygon:
    rings = [[(p.z + z, p.r + x / 2) for p in piece.ring] for piece in tool.pieces if piece.cuts]
    return union_all([Polygon(ring) for ring in rings])


def by_number(number: int) -> ToolRecord:
    return record(next(tool for tool in TOOLS if tool.number == number))


@pytest.mark.parametrize("number", [tool.number for tool in TOOLS])
@pytest.mark.parametrize("front", [0.0, 1.0])
def test_every_tool_of_the_shop_just_touches(number: int, front: float) -> None:
    tool = by_number(number)
    work = box(-60, -20, front, 20)
    touch = corner_touch(tool, 1.0) if tool.kind == "chamfer" else touch_of(tool, "mm")
    assert touch is not None
    z = front + touch.offset
    if touch.kind == "straight edge":
        # A rule held flat on the face, beside the work; the tool comes from the chuck.
        rule = box(front, 20, front + 2, 60)
        tool_there = placed(tool, z, 2 * 20.5)
        assert tool_there.intersection(rule).area < CLOSE
        assert tool_there.distance(rule) < CLOSE
        assert tool_there.disjoint(work)
        return
    # On a face the nose stands well inside the work's edge; a corner is met at its own height.
    depth = touch.height or 2 * max(tool.nose_radius, 1.0)
    tool_there = placed(tool, z, 2 * (20 - depth) + x_offset_mm(tool))
    assert tool_there.intersection(work).area < CLOSE
    assert tool_there.distance(work) < CLOSE


@pytest.mark.parametrize("number", [tool.number for tool in TOOLS])
def test_a_touched_diameter_is_entered_as_measured(number: int) -> None:
    tool = by_number(number)
    over = placed(tool, -10.0, 40.0 + x_offset_mm(tool))
    work = box(-60, -20, 0, 20)
    assert over.intersection(work).area < CLOSE
    assert over.distance(work) < CLOSE
    assert (x_offset_mm(tool) > 0) == (tool.kind == "form")


@pytest.mark.parametrize("number", [t.number for t in EVERY if t.kind in ON_THE_AXIS])
def test_a_tool_in_the_tailstock_touches_by_the_quill(number: int) -> None:
    tool = record(next(t for t in EVERY if t.number == number))
    assert touch_of(tool, "mm") is None
    assert x_offset_mm(tool) == 0.0


@pytest.mark.parametrize("number", [t.number for t in EVERY if t.kind == "boring"])
def test_a_boring_bars_edge_on_the_wall_shows_the_holes_diameter(number: int) -> None:
    tool = record(next(t for t in EVERY if t.number == number))
    assert x_offset_mm(tool) == 0.0
    touch = touch_of(tool, "mm")
    assert touch is not None
    assert touch.kind == "face"
    wall = box(-60, 20, 0, 40)
    on_wall = placed(tool, -10.0, 40.0)
    assert on_wall.intersection(wall).area < CLOSE
    assert on_wall.distance(wall) < CLOSE


def test_chamfer_tool_stands_its_height_in_front_of_the_corner() -> None:
    # CALC: 45 degrees; the tip 1.00 below the corner on radius stands 1.00 in front of it.
    touch = corner_touch(by_number(6), 1.0)
    assert touch is not None
    assert touch.kind == "corner"
    assert touch.offset == pytest.approx(1.0)
    back = corner_touch(by_number(6), 1.0, "right")
    assert back is not None
    assert back.offset == pytest.approx(-1.0)


def test_form_tool_r1_adds_its_horn() -> None:
    tool = by_number(8)
    assert x_offset_mm(tool) == pytest.approx(2.0, abs=1e-3)
    touch = face_touch(tool)
    assert touch is not None
    assert touch.offset == pytest.approx(0.0, abs=2e-3)


def test_paper_adds_in_front_and_is_taken_off_behind() -> None:
    right, left = face_touch(by_number(1)), face_touch(by_number(3))
    assert right is not None
    assert left is not None
    assert (right.side, right.paper) == ("left", 1)
    assert (left.kind, left.side, left.paper) == ("straight edge", "right", -1)


def test_a_leaning_edge_touches_no_face() -> None:
    assert face_touch(by_number(4)) is None
    assert face_touch(by_number(6)) is None
    touch = touch_of(by_number(4), "mm")
    assert touch is not None
    assert (touch.kind, touch.height) == ("corner", 1.0)
