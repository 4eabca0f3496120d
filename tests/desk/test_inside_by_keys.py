"""Bores, grooves and threads typed into the tables of the print, by keys in the real window."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands, answer_file_dialog
from tests.desk.whole_job import check_paper
from turnsketch.desk.main_window import MainWindow
from turnsketch.part.records import Bore, Groove, Section

TAB, ENTER = Qt.Key.Key_Tab, Qt.Key.Key_Return


def go_to(window: MainWindow, row: int, column: str) -> None:
    """Put the keys on a cell of the table on show."""
    table = window.print_panel.tables.table
    keys = table.model().keys  # type: ignore[attr-defined]
    table.setFocus()
    table.setCurrentIndex(table.model().index(row, keys.index(column)))
    QApplication.processEvents()


def show(window: MainWindow, words: str) -> None:
    """Choose another table by the keys of its list."""
    choice = window.print_panel.tables.choice
    choice.setFocus()
    texts = [choice.itemText(i) for i in range(choice.count())]
    wanted = next(i for i, text in enumerate(texts) if text.startswith(words))
    step = Qt.Key.Key_Down if wanted > choice.currentIndex() else Qt.Key.Key_Up
    while choice.currentIndex() != wanted:
        QTest.keyClick(choice, step)
    QApplication.processEvents()


def outside(window: MainWindow, hands: Hands) -> None:
    """Begin a new job and type a flanged outside."""
    hands.ctrl(Qt.Key.Key_N)
    for text, then in (("32", TAB), ("30", TAB), ("1x45°", ENTER), ("48", TAB), ("8", ENTER)):
        hands.field(text, then)
    hands.key(Qt.Key.Key_Escape)
    assert len(window.session.job.part.sections) == 2


def test_a_bush_with_a_through_bore_from_nothing_to_paper(
    make_desk: MakeDesk, qtbot: QtBot, tmp_path: Path
) -> None:
    window = make_desk("stepped_pin")
    hands = Hands(window)
    outside(window, hands)
    show(window, "Bore from the front")
    go_to(window, 0, "diameter")
    for text, then in (("26", TAB), ("6", TAB), ("1x45°", ENTER), ("20 H7", ENTER)):
        hands.field(text, then)
    hands.key(Qt.Key.Key_Escape)
    ends = window.print_panel.tables.ends
    assert ends.isVisible()
    ends.setFocus()
    QTest.keyClick(ends, Qt.Key.Key_Home)
    while "through" not in ends.currentText():
        before = ends.currentIndex()
        QTest.keyClick(ends, Qt.Key.Key_Down)
        assert ends.currentIndex() != before, "the list has no such end"
    QApplication.processEvents()
    assert window.session.job.part.bore == Bore(
        (
            Section("cylinder", diameter="26", length="6", front_corner="1x45°"),
            Section("cylinder", diameter="20 H7"),
        ),
        through=True,
    )
    planned(qtbot, window)
    plan = window.session.plan
    assert plan is not None
    kinds = [operation.kind for operation in plan.setups[0].operations]
    assert "drill" in kinds
    assert {"ream", "finish bore"} & set(kinds)
    path = tmp_path / "bush.pdf"
    answer_file_dialog(str(path))
    hands.ctrl(Qt.Key.Key_E)
    qtbot.waitUntil(path.exists, timeout=20_000)
    qtbot.waitUntil(lambda: path.stat().st_size > 1000, timeout=20_000)
    check_paper(path, window)


def test_a_ring_groove_and_a_thread_are_typed_and_undone(make_desk: MakeDesk, qtbot: QtBot) -> None:
    window = make_desk("stepped_pin")
    hands = Hands(window)
    hands.ctrl(Qt.Key.Key_N)
    for text, then in (
        ("M12", TAB), ("20", TAB), ("1.5x45°", ENTER), ("25", TAB), ("30", ENTER),
    ):  # fmt: skip
        hands.field(text, then)
    hands.key(Qt.Key.Key_Escape)
    first = window.session.job.part.sections[0]
    assert (first.thread, first.diameter) == ("M12", None)
    show(window, "Grooves")
    go_to(window, 0, "kind")
    for text in ("ring", "2", "10 from front"):
        hands.field(text)
    hands.key(Qt.Key.Key_Escape)
    go_to(window, 0, "size")
    hands.field("25x1.2", ENTER)
    hands.key(Qt.Key.Key_Escape)
    wanted = Groove("ring", 2, from_front="10", size="25x1.2")
    assert window.session.job.part.grooves == (wanted,)
    planned(qtbot, window)
    plan = window.session.plan
    assert plan is not None
    kinds = [operation.kind for operation in plan.setups[0].operations]
    assert "groove" in kinds
    assert {"thread", "die"} & set(kinds)
    steps = 0
    while window.session.job.part.grooves:
        hands.ctrl(Qt.Key.Key_Z)
        steps += 1
        assert steps < 8, "undo takes the groove away again"
    assert window.session.job.part.sections[0].thread == "M12"
