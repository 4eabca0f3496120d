"""A scanned print under the drawing: laid, scaled, moved, faded, hidden, taken away."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from pytestqt.qtbot import QtBot

from tests.desk.hands import Mouse, answer_file_dialog
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import load_demo

PIN = load_demo("stepped_pin")


def test_a_scanned_print_is_laid_scaled_moved_faded_hidden_and_taken_away(
    unplanned: MainWindow, qtbot: QtBot, scan: Path
) -> None:
    mouse, board = Mouse(unplanned), unplanned.board_panel.board
    answer_file_dialog(str(scan))
    mouse.menu("Draw", "Picture of the print below …")
    unplanned.activateWindow()  # as a window manager does when a dialog ends
    qtbot.waitUntil(unplanned.isActiveWindow)
    below = board.underlay
    assert below.path == scan
    assert board.mode == "scale"
    corners = board.mapFromScene(below.sceneBoundingRect()).boundingRect()
    assert board.frame().adjusted(-2, -2, 2, 2).contains(corners.toRectF()), "all of it in sight"
    assert corners.width() > 0.9 * board.frame().width() or (
        corners.height() > 0.9 * board.frame().height()
    )

    before = below.sceneBoundingRect().center()
    mouse.drag(QPoint(200, 300), QPoint(230, 280))
    moved = below.sceneBoundingRect().center() - before
    assert moved.x() == pytest.approx(board.lens.mm(30), abs=board.lens.mm(1.5))
    assert moved.y() == pytest.approx(-board.lens.mm(20), abs=board.lens.mm(1.5))

    one, other = corners.center() + QPoint(-50, 0), corners.center() + QPoint(50, 0)
    seen = board.lens.mm(100)
    wide = below.sceneBoundingRect().width()
    mouse.click(one)
    mouse.click(other)
    mouse.answer(f"{seen * 1.5:.3f}")
    assert below.sceneBoundingRect().width() == pytest.approx(1.5 * wide, rel=0.01)
    assert str(board.mode) == "choose"

    place = QPoint(24, 24)
    colours = []
    for _ in range(4):
        colours.append(board.grab().toImage().pixelColor(board.rect().center() + place).name())
        mouse.menu("Draw", "Fade or hide that picture")
    assert len(set(colours)) >= 3
    assert below.path == scan, "hidden is not gone"
    mouse.menu("Draw", "Take that picture away")
    assert below.path is None
    assert unplanned.session.job == PIN, "the job keeps no picture"
