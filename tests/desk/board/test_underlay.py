"""A print under the drawing: shown, scaled by two clicks and a length, faded, taken away."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from tests.desk.board.hand import Hand
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point


def test_a_print_lies_under_the_drawing_and_is_faded(empty_hand: Hand, scan: Path) -> None:
    board = empty_hand.board
    board.set_underlay(scan, 0.2, (400.0, 100.0), opacity=1.0)
    place = Point(-40.0, 10.0)
    seen = board.grab().toImage().pixelColor(empty_hand.pixel(place))
    assert seen == QColor("#204080")
    board.set_underlay(scan, 0.2, (400.0, 100.0), opacity=0.0)
    faded = board.grab().toImage().pixelColor(empty_hand.pixel(place))
    assert faded != seen
    board.set_underlay(None)
    assert board.underlay.path is None


def test_two_clicks_and_a_length_set_its_scale(empty_hand: Hand, scan: Path) -> None:
    hand, told = empty_hand, list[float]()
    hand.board.underlay_scaled.connect(told.append)
    hand.board.set_underlay(scan, 0.2, (400.0, 100.0))
    hand.board.set_mode("scale")
    hand.click(hand.pixel(Point(0.0, 0.0)))
    hand.click(hand.pixel(Point(-40.0, 0.0)))
    hand.type("80")
    hand.key(Qt.Key.Key_Return)
    assert told[0] == pytest.approx(0.4, rel=0.02)
    assert hand.board.mode == "choose"
    assert hand.edits == []


def test_a_file_that_is_no_picture_is_refused(empty_hand: Hand, tmp_path: Path) -> None:
    path = tmp_path / "print.png"
    path.write_text("no picture")
    with pytest.raises(InputError, match="PNG or JPEG"):
        empty_hand.board.set_underlay(path)
