"""Choosing several, splitting and dragging on the board of the real window."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from tests.desk.hands import Mouse
from tests.desk.whole_job import corner, on, shown
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point

CTRL = Qt.KeyboardModifier.ControlModifier
PIN = load_demo("stepped_pin")


def test_several_chosen_sections_go_together(unplanned: MainWindow) -> None:
    mouse, stack = Mouse(unplanned), unplanned.session.undo_stack
    mouse.click(on(mouse, 1))
    mouse.click(on(mouse, 3), CTRL)
    assert unplanned.board_panel.board.chosen == {1, 3}
    mouse.answer("20")
    assert [s.diameter for s in unplanned.session.job.part.sections] == ["20", "25 h6", "20"]
    assert stack.count() == 1
    mouse.key(Qt.Key.Key_Delete)
    assert [s.name for s in unplanned.session.job.part.sections] == ["seat"]
    assert stack.count() == 2
    mouse.menu("Edit", f"Undo: {stack.undoText()}")
    mouse.menu("Edit", f"Undo: {stack.undoText()}")
    assert unplanned.session.job == PIN


def test_a_text_that_one_of_them_cannot_take_changes_none(unplanned: MainWindow) -> None:
    mouse = Mouse(unplanned)
    mouse.click(on(mouse, 1))
    mouse.click(on(mouse, 3), CTRL)
    mouse.answer("R")
    editor = unplanned.board_panel.board.fields.editor
    assert editor is not None
    assert editor.complaint.startswith("⚠")
    assert unplanned.session.job == PIN


def test_a_double_click_splits_and_the_halves_are_one_step(unplanned: MainWindow) -> None:
    mouse = Mouse(unplanned)
    mouse.press(unplanned.board_panel.board.viewport(), on(mouse, 2, 0.3), twice=True)
    lengths = [s.length for s in unplanned.session.job.part.sections]
    assert len(lengths) == 4
    assert float(lengths[1] or 0) + float(lengths[2] or 0) == 36.0
    assert unplanned.session.undo_stack.count() == 1


# Dragging


def test_a_drag_is_followed_by_the_table_and_is_one_step_on_release(unplanned: MainWindow) -> None:
    mouse, viewport = Mouse(unplanned), unplanned.board_panel.board.viewport()
    start = corner(mouse, 2, "back")
    start = mouse.pixel(Point(-58.0, 15.0))
    button = Qt.MouseButton.LeftButton
    QTest.mousePress(viewport, button, pos=start)
    seen = set()
    for step in range(1, 5):
        mouse.move(start + QPoint(-6 * step, -3 * step), held=True)
        seen.add((shown(unplanned, 1, "length"), shown(unplanned, 2, "diameter")))
        assert unplanned.session.job == PIN, "no step yet"
        assert (
            shown(unplanned, 1, "length") == unplanned.board_panel.board.job.part.sections[1].length
        )
    assert len(seen) > 2
    QTest.mouseRelease(viewport, button, pos=start + QPoint(-24, -12))
    assert unplanned.session.undo_stack.count() == 1
    assert unplanned.session.job == unplanned.board_panel.board.job != PIN
    unplanned.session.undo_stack.undo()
    assert unplanned.session.job == PIN
    assert shown(unplanned, 1, "length") == "36"


def test_a_drag_that_is_given_up_leaves_table_and_job_alone(unplanned: MainWindow) -> None:
    mouse, viewport = Mouse(unplanned), unplanned.board_panel.board.viewport()
    start = mouse.pixel(Point(-58.0, 15.0))
    QTest.mousePress(viewport, Qt.MouseButton.LeftButton, pos=start)
    mouse.move(start + QPoint(-20, -15), held=True)
    assert shown(unplanned, 1, "length") != "36"
    mouse.key(Qt.Key.Key_Escape)
    QTest.mouseRelease(viewport, Qt.MouseButton.LeftButton, pos=start)
    assert shown(unplanned, 1, "length") == "36"
    assert unplanned.session.undo_stack.count() == 0
