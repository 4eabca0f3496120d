"""Pencil, ink and words on the board of the real window; Esc gets out of every mode."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Mouse
from tests.desk.whole_job import corner, on, printed, shown
from turnsketch.desk.board.notes import placed_notes
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point

CTRL = Qt.KeyboardModifier.ControlModifier
PIN = load_demo("stepped_pin")


# Getting out


@pytest.mark.parametrize(
    "mode", ["Draw the outline", "Dimension", "Scale and place of that picture"]
)
def test_escape_leaves_every_mode_from_the_middle_of_it(unplanned: MainWindow, mode: str) -> None:
    mouse, board = Mouse(unplanned), unplanned.board_panel.board
    mouse.menu("Draw", mode)
    assert board.mode != "choose"
    if mode == "Draw the outline":
        mouse.move(mouse.pixel(Point(-75.0, 10.0)))
        mouse.type("1")
    elif mode == "Dimension":
        mouse.click(on(mouse, 1))
        mouse.type("2")
    else:
        mouse.click(QPoint(60, 60))
        mouse.click(QPoint(160, 60))
    for _ in range(3):
        mouse.key(Qt.Key.Key_Escape)
    assert str(board.mode) == "choose"
    assert unplanned.menus.actions["mode_choose"].isChecked()
    assert unplanned.session.job == PIN


# Ink and words


def outline_pixels(mouse: Mouse, number: int) -> int:
    """Count pixels of the ink's colour across the line of a section."""
    board = mouse.board
    image, place = board.grab().toImage(), on(mouse, number, 0.35)
    ink = QColor(board.theme.ink)
    return sum(image.pixelColor(place + QPoint(0, dy)) == ink for dy in range(-4, 5))


def test_pencil_turns_to_ink_as_sizes_fix_the_segment(make_desk: MakeDesk, qtbot: QtBot) -> None:
    window = make_desk()
    mouse, board = Mouse(window), window.board_panel.board
    mouse.menu("File", "New part")
    mouse.menu("Draw", "Draw the outline")
    mouse.click(mouse.pixel(Point(-20.0, 8.0)))
    mouse.key(Qt.Key.Key_Escape)
    planned(qtbot, window)
    assert board.drawing.fixed == frozenset()
    assert outline_pixels(mouse, 1) == 0, "pencil is doubled and grey"
    assert "free" in placed_notes(board)[0][0].text
    assert window.print_panel.model.in_pencil(0)
    mouse.menu("Draw", "Dimension")
    mouse.click(on(mouse, 1, 0.4))
    mouse.answer("16")
    mouse.click(corner(mouse, 1, "front"))
    mouse.click(corner(mouse, 1, "back"))
    mouse.answer("20")
    planned(qtbot, window)
    assert board.drawing.fixed == {1}
    assert outline_pixels(mouse, 1) >= 1
    assert not [n for n, _ in placed_notes(board) if "free" in n.text]
    assert not window.print_panel.model.in_pencil(0)


@pytest.mark.parametrize(("text", "word"), [("70", "contradicts"), ("66", "repeated")])
def test_what_does_not_agree_is_said_at_its_place(
    unplanned: MainWindow, qtbot: QtBot, text: str, word: str
) -> None:
    mouse, board = Mouse(unplanned), unplanned.board_panel.board
    mouse.menu("Draw", "Dimension")
    mouse.click(mouse.pixel(Point(0.0, 6.0)))
    mouse.click(mouse.pixel(Point(-66.0, 15.0)))
    mouse.answer(text)
    qtbot.waitUntil(lambda: bool(board.drawing.issues), timeout=20_000)
    notes = [(note, box) for note, box in placed_notes(board) if word in note.text]
    assert len(notes) == 1
    note, box = notes[0]
    assert board.frame().contains(box)
    lens = board.lens
    part = QPointF(lens.x(-66.0) - 4, 0), QPointF(lens.x(0.0) + 4, 0)
    assert part[0].x() <= note.at.x() <= part[1].x(), "it points to the part, not beside it"
    doubtful = [d.dimension for d in board.layout_now().lengths if d.dimension.doubt]
    assert text in [d.text for d in doubtful], "and its line has another style"


def test_a_printed_text_is_retyped_by_a_double_click(unplanned: MainWindow) -> None:
    mouse = Mouse(unplanned)
    viewport = unplanned.board_panel.board.viewport()
    mouse.press(viewport, printed(mouse, 2, "diameter"), twice=True)
    mouse.answer("26 g6")
    assert unplanned.session.job.part.sections[1].diameter == "26 g6"
    assert shown(unplanned, 1, "diameter") == "26 g6"


def test_tab_goes_through_the_title_block_from_the_keyboard(unplanned: MainWindow) -> None:
    mouse = Mouse(unplanned)
    QTest.keyClick(unplanned, Qt.Key.Key_9, CTRL)
    for text in ("Pin for the tender", "Thole pin", "brass", "ISO 2768-f"):
        mouse.type(text)
        mouse.key(Qt.Key.Key_Tab)
    mouse.key(Qt.Key.Key_Escape)
    job = unplanned.session.job
    assert (job.title, job.part.name) == ("Pin for the tender", "Thole pin")
    assert (job.part.material, job.part.general_tolerance) == ("brass", "ISO 2768-f")
    assert unplanned.session.undo_stack.count() == 4
    assert unplanned.board_panel.board.hasFocus()
