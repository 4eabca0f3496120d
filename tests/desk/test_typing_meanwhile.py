"""What is being typed stays, whatever the workers answer meanwhile."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from tests.desk.conftest import planned
from tests.desk.hands import Hands, Mouse
from turnsketch.desk.main_window import MainWindow


def test_an_answer_leaves_a_half_typed_cell_alone(desk: MainWindow, qtbot: QtBot) -> None:
    hands, session, table = Hands(desk), desk.session, desk.print_panel.table
    Mouse(desk).press(table.viewport(), table.visualRect(table.model().index(0, 1)).center())
    for letter in "13":
        QTest.keyClicks(hands.focus(), letter)
    line = hands.focus()
    assert isinstance(line, QLineEdit)
    assert session.answer is not None
    session.part_changed.emit(session.answer)
    session.planned.emit(session.answer)
    assert hands.focus() is line
    assert line.text() == "13"
    hands.key(Qt.Key.Key_Return)
    assert session.job.part.sections[0].diameter == "13"
    planned(qtbot, desk)


def test_a_half_typed_note_is_left_alone(desk: MainWindow) -> None:
    hands, session = Hands(desk), desk.session
    box = desk.print_panel.seldom.note
    desk.print_panel.seldom.button.click()
    box.setFocus()
    box.selectAll()
    QTest.keyClicks(box, "Half a")
    assert session.answer is not None
    session.part_changed.emit(session.answer)
    session.job_changed.emit(session.job)
    assert box.text() == "Half a"
    hands.field(" note")
    assert session.job.note == "Half a note"
