"""What a drawn segment snaps to: faces, cylinders, the angles of prints, levels that are there."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt

from tests.desk.board.hand import Hand
from turnsketch.desk.board.tools import DrawTool
from turnsketch.geometry.elements import Point
from turnsketch.part.resolve import resolve


def drawing(hand: Hand, *corners: tuple[float, float]) -> DrawTool:
    """Draw cylinders to these corners, and return the tool."""
    hand.board.set_mode("draw")
    for z, r in corners:
        hand.click(hand.pixel(Point(z, r)))
    tool = hand.board.tool
    assert isinstance(tool, DrawTool)
    return tool


def test_a_segment_along_the_axis_is_a_cylinder_at_the_level_it_came_from(
    empty_hand: Hand,
) -> None:
    tool = drawing(empty_hand, (-20.0, 8.0))
    start = tool.start()
    empty_hand.move(empty_hand.pixel(Point(-35.0, start.r)) + QPoint(0, 5))
    band = tool.band()
    assert (band.kind, band.to.r) == ("cylinder", start.r)


def test_a_segment_across_the_axis_is_a_face_and_the_next_one_goes_on_from_it(
    empty_hand: Hand,
) -> None:
    hand = empty_hand
    tool = drawing(hand, (-20.0, 8.0))
    start = tool.start()
    hand.click(hand.pixel(Point(start.z, 12.0)) + QPoint(3, 0))
    assert len(hand.edits) == 1, "the shoulder is understood: it is no section of its own"
    assert tool.start() == pytest.approx(Point(start.z, 12.0), abs=0.26)
    top = tool.start()
    hand.click(hand.pixel(Point(-30.0, top.r)))
    first, second = hand.job.part.sections
    assert (first.kind, second.kind) == ("cylinder", "cylinder")
    assert second.drawn is not None
    assert second.drawn.to.r == top.r
    assert hand.board.drawing.vertices[3] == pytest.approx(top)


def test_a_slope_can_begin_at_a_shoulder(empty_hand: Hand) -> None:
    hand = empty_hand
    tool = drawing(hand, (-20.0, 8.0))
    hand.click(hand.pixel(Point(tool.start().z, 11.0)))
    top = tool.start()
    hand.click(hand.pixel(Point(top.z - 6.0, top.r - 6.1)))
    assert [s.kind for s in hand.job.part.sections] == ["cylinder", "face", "taper"]
    assert len(hand.edits) == 2, "shoulder and slope are one step"
    assert hand.job.part.sections[2].angle == "45°"
    solved = resolve(hand.job.part, hand.job.units)
    assert solved.sections[2].front == pytest.approx(top, abs=1e-6)
    assert solved.sections[2].back.r < top.r


def test_escape_takes_a_shoulder_back_before_it_leaves_drawing(empty_hand: Hand) -> None:
    hand = empty_hand
    tool = drawing(hand, (-20.0, 8.0))
    before = tool.start()
    hand.click(hand.pixel(Point(before.z, 12.0)))
    assert tool.start() != before
    hand.key(Qt.Key.Key_Escape)
    assert (tool.start(), hand.board.mode) == (before, "draw")
    hand.key(Qt.Key.Key_Escape)
    assert hand.board.mode == "choose"


def test_sizes_typed_at_a_shoulder_make_the_cylinder_behind_it(empty_hand: Hand) -> None:
    hand = empty_hand
    tool = drawing(hand, (-20.0, 8.0))
    hand.click(hand.pixel(Point(tool.start().z, 12.0)))
    hand.move(hand.pixel(Point(tool.start().z, 14.0)))
    hand.type("25 h6")
    hand.key(Qt.Key.Key_Tab)
    hand.type("36")
    hand.key(Qt.Key.Key_Return)
    last = hand.job.part.sections[-1]
    assert (last.kind, last.diameter, last.length) == ("cylinder", "25 h6", "36")


def test_a_segment_snaps_to_a_diameter_that_is_there_already(empty_hand: Hand) -> None:
    hand = empty_hand
    tool = drawing(hand, (-10.0, 6.0), (-20.0, 9.3))
    level = hand.board.drawing.vertices[1].r
    hand.move(hand.pixel(Point(-40.0, level)) + QPoint(0, 4))
    assert tool.band().to.r == level


def test_shift_draws_a_slope_at_any_angle(empty_hand: Hand) -> None:
    hand = empty_hand
    tool = drawing(hand, (-10.0, 6.0))
    hand.move(hand.pixel(Point(-40.0, 8.0)), keys=Qt.KeyboardModifier.ShiftModifier)
    assert (tool.band().kind, tool.band().angle) == ("taper", None)
