"""Sections drawn with keys and mouse on a real board."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt

from tests.desk.board.hand import Hand
from turnsketch.desk.board.tools import ChooseTool, DrawTool
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point


def test_a_pin_is_drawn_by_keys_alone(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    for diameter, length in (("12", "22"), ("25 h6", "36"), ("30", "8")):
        hand.type(diameter)
        hand.key(Qt.Key.Key_Tab)
        hand.type(length)
        hand.key(Qt.Key.Key_Return)
    sections = hand.job.part.sections
    wanted = load_demo("stepped_pin").part.sections
    assert [(s.kind, s.diameter, s.length) for s in sections] == [
        (s.kind, s.diameter, s.length) for s in wanted
    ]
    assert all(s.drawn is None for s in sections)
    assert [name for _, name in hand.edits] == [
        "Draw cylinder 12",
        "Draw cylinder 25 h6",
        "Draw cylinder 30",
    ]


def test_a_click_draws_in_pencil_and_a_typed_size_inks(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    hand.click(hand.pixel(Point(-20.0, 8.0)))
    (first,) = hand.job.part.sections
    assert first.diameter is None
    assert first.drawn is not None
    assert first.drawn.to == pytest.approx(Point(-20.0, 8.0), abs=0.51)
    assert hand.board.drawing.fixed == frozenset()
    hand.board.set_mode("dimension")
    hand.click(hand.pixel(Point(first.drawn.to.z / 2, first.drawn.to.r)))
    hand.type("16")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.sections[0].diameter == "16"


def test_the_band_snaps_to_the_angles_of_prints(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    hand.click(hand.pixel(Point(-20.0, 6.0)))
    start = hand.board.drawing.vertices[-2]
    hand.click(hand.pixel(Point(start.z - 10.0, start.r + 10.2)))
    taper = hand.job.part.sections[1]
    assert (taper.kind, taper.angle, taper.narrows) == ("taper", "45°", False)


def test_typed_signs_make_tapers_and_arcs(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    for first, length in (("20", "30"), ("1:10", "40"), ("R15", "12")):
        hand.type(first)
        hand.key(Qt.Key.Key_Tab)
        hand.type(length)
        hand.key(Qt.Key.Key_Return)
    taper, arc = hand.job.part.sections[1:]
    assert (taper.kind, taper.angle, taper.length) == ("taper", "1:10", "40")
    assert (arc.kind, arc.radius, arc.length) == ("arc", "R15", "12")


def test_what_cannot_be_read_is_told_and_stays(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    hand.type("2")
    hand.type("5 q99")
    hand.key(Qt.Key.Key_Return)
    assert hand.edits == []
    tool = hand.board.tool
    assert isinstance(tool, DrawTool)
    assert tool.editor is not None
    assert tool.editor.complaint.startswith("⚠")
    assert tool.editor.texts[0] == "25 q99"


def test_escape_always_gets_out(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    hand.type("1")
    tool = hand.board.tool
    assert isinstance(tool, DrawTool)
    assert tool.editor is not None
    hand.key(Qt.Key.Key_Escape)
    assert tool.editor is None
    assert hand.board.mode == "draw"
    hand.key(Qt.Key.Key_Escape)
    assert hand.board.mode == "choose"
    assert isinstance(hand.board.tool, ChooseTool)
    assert hand.edits == []


def test_backspace_takes_the_last_section_back(hand: Hand) -> None:
    hand.board.set_mode("draw")
    hand.key(Qt.Key.Key_Backspace)
    assert len(hand.job.part.sections) == 2


def test_drawing_toward_the_tailstock_is_explained(hand: Hand) -> None:
    hand.board.set_mode("draw")
    hand.click(hand.pixel(Point(-10.0, 3.0)))
    assert hand.edits == []
    assert "chuck" in hand.hints[-1]


def test_the_band_follows_the_pointer(empty_hand: Hand) -> None:
    hand = empty_hand
    hand.board.set_mode("draw")
    hand.move(hand.pixel(Point(-30.0, 10.0)))
    tool = hand.board.tool
    assert isinstance(tool, DrawTool)
    band = tool.band()
    assert band.to == pytest.approx(Point(-30.0, 10.0), abs=0.51)
    assert hand.board.grab().size() == hand.board.size() * hand.board.devicePixelRatio()
    hand.move(QPoint(3, 3))
    assert tool.band().to.r > 0
