"""Choosing several, splitting and dragging on the board of the real window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from tests.desk.conftest import MakeDesk
from tests.desk.hands import Mouse
from tests.desk.whole_job import corner
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.section_cells import COLUMNS
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point

CTRL = Qt.KeyboardModifier.ControlModifier
PIN = load_demo("stepped_pin")


@pytest.fixture
def desk(make_desk: MakeDesk) -> MainWindow:
    """A window with the stepped pin; nothing here waits for its plan."""
    return make_desk()


def on(mouse: Mouse, number: int, share: float = 0.6) -> QPoint:
    """Return a place on a section."""
    return mouse.pixel(mouse.board.drawing.middle(number, share))


def shown(window: MainWindow, row: int, key: str) -> str:
    """Return what the table shows."""
    model = window.print_panel.model
    return str(model.data(model.index(row, COLUMNS.index(key))))


def test_several_chosen_sections_go_together(desk: MainWindow) -> None:
    mouse, stack = Mouse(desk), desk.session.undo_stack
    mouse.click(on(mouse, 1))
    mouse.click(on(mouse, 3), CTRL)
    assert desk.board_panel.board.chosen == {1, 3}
    mouse.answer("20")
    assert [s.diameter for s in desk.session.job.part.sections] == ["20", "25 h6", "20"]
    assert stack.count() == 1
    mouse.key(Qt.Key.Key_Delete)
    assert [s.name for s in desk.session.job.part.sections] == ["seat"]
    assert stack.count() == 2
    mouse.menu("Edit", f"Undo: {stack.undoText()}")
    mouse.menu("Edit", f"Undo: {stack.undoText()}")
    assert desk.session.job == PIN


def test_a_text_that_one_of_them_cannot_take_changes_none(desk: MainWindow) -> None:
    mouse = Mouse(desk)
    mouse.click(on(mouse, 1))
    mouse.click(on(mouse, 3), CTRL)
    mouse.answer("R")
    editor = desk.board_panel.board.fields.editor
    assert editor is not None
    assert editor.complaint.startswith("⚠")
    assert desk.session.job == PIN


def test_a_double_click_splits_and_the_halves_are_one_step(desk: MainWindow) -> None:
    mouse = Mouse(desk)
    mouse.press(desk.board_panel.board.viewport(), on(mouse, 2, 0.3), twice=True)
    lengths = [s.length for s in desk.session.job.part.sections]
    assert len(lengths) == 4
    assert float(lengths[1] or 0) + float(lengths[2] or 0) == 36.0
    assert desk.session.undo_stack.count() == 1


# Dragging


def test_a_drag_is_followed_by_the_table_and_is_one_step_on_release(desk: MainWindow) -> None:
    mouse, viewport = Mouse(desk), desk.board_panel.board.viewport()
    start = corner(mouse, 2, "back")
    start = mouse.pixel(Point(-58.0, 15.0))
    button = Qt.MouseButton.LeftButton
    QTest.mousePress(viewport, button, pos=start)
    seen = set()
    for step in range(1, 5):
        mouse.move(start + QPoint(-6 * step, -3 * step), held=True)
        seen.add((shown(desk, 1, "length"), shown(desk, 2, "diameter")))
        assert desk.session.job == PIN, "no step yet"
        assert shown(desk, 1, "length") == desk.board_panel.board.job.part.sections[1].length
    assert len(seen) > 2
    QTest.mouseRelease(viewport, button, pos=start + QPoint(-24, -12))
    assert desk.session.undo_stack.count() == 1
    assert desk.session.job == desk.board_panel.board.job != PIN
    desk.session.undo_stack.undo()
    assert desk.session.job == PIN
    assert shown(desk, 1, "length") == "36"


def test_a_drag_that_is_given_up_leaves_table_and_job_alone(desk: MainWindow) -> None:
    mouse, viewport = Mouse(desk), desk.board_panel.board.viewport()
    start = mouse.pixel(Point(-58.0, 15.0))
    QTest.mousePress(viewport, Qt.MouseButton.LeftButton, pos=start)
    mouse.move(start + QPoint(-20, -15), held=True)
    assert shown(desk, 1, "length") != "36"
    mouse.key(Qt.Key.Key_Escape)
    QTest.mouseRelease(viewport, Qt.MouseButton.LeftButton, pos=start)
    assert shown(desk, 1, "length") == "36"
    assert desk.session.undo_stack.count() == 0
