"""The window in use: edits, undo, plans that overtake one another, rows, slider, findings."""

from __future__ import annotations

import threading
import time
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands
from turnsketch.desk.background import Background
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import load_demo
from turnsketch.job import Job
from turnsketch.part.records import Section
from turnsketch.shop.files import demo_shop


def noted(job: Job, text: str) -> Job:
    return msgspec.structs.replace(job, note=text)


def with_bar(job: Job, diameter: str) -> Job:
    return msgspec.structs.replace(job, blank=msgspec.structs.replace(job.blank, diameter=diameter))


def type_cell(window: MainWindow, row: int, column: int, text: str) -> None:
    table = window.print_panel.table
    table.setFocus()
    table.setCurrentIndex(window.print_panel.model.index(row, column))
    Hands(window).field(text, Qt.Key.Key_Tab)


# Edits and undo


def test_an_edit_in_the_table_is_one_named_step_and_goes_both_ways(desk: MainWindow) -> None:
    before = desk.session.job
    type_cell(desk, 1, 1, "26 h6")
    after = desk.session.job
    assert after.part.sections[1].diameter == "26 h6"
    stack = desk.session.undo_stack
    assert (stack.count(), stack.undoText()) == (1, "Ø of section 2")
    assert desk.menus.actions["undo"].text().endswith("Ø of section 2")
    QTest.keyClick(desk, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert desk.session.job == before
    QTest.keyClick(desk, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert desk.session.job == after


def test_undo_stack_and_document_go_in_step(desk: MainWindow) -> None:
    session = desk.session
    jobs = [session.job]
    for number in range(5):
        session.edit(noted(jobs[0], str(number)), f"note {number}")
        jobs.append(session.job)
    for _ in range(3):
        desk.undo()
    session.edit(noted(jobs[0], "other"), "other")
    assert session.undo_stack.count() == session.document.position == 3
    for wanted in (jobs[2], jobs[1], jobs[0], jobs[0]):
        desk.undo()
        assert session.job == wanted


def test_an_edit_that_changes_nothing_is_no_step(desk: MainWindow) -> None:
    type_cell(desk, 0, 1, "12")
    assert desk.session.undo_stack.count() == 0


def test_text_that_does_not_read_stays_in_its_cell_until_it_is_mended(desk: MainWindow) -> None:
    hands = Hands(desk)
    type_cell(desk, 0, 2, "2x")
    model = desk.print_panel.model
    assert model.refused is not None
    assert desk.print_panel.said.message.text() == model.refused.reason
    assert desk.session.job.part.sections[0].length == "22"
    hands.key(Qt.Key.Key_Escape)
    assert model.refused is None
    assert model.data(model.index(0, 2)) == "22"


def test_sections_are_put_in_and_taken_out(desk: MainWindow) -> None:
    desk.print_panel.table.setCurrentIndex(desk.print_panel.model.index(1, 1))
    desk.insert_section()
    assert desk.session.job.part.sections[1] == Section("cylinder")
    desk.print_panel.table.setCurrentIndex(desk.print_panel.model.index(1, 1))
    desk.delete_section()
    assert desk.session.job == load_demo("stepped_pin")


def test_a_drag_on_the_board_is_one_step_and_the_table_agrees(
    desk: MainWindow, qtbot: QtBot
) -> None:
    board, job = desk.board_panel.board, desk.session.job
    sections = (msgspec.structs.replace(job.part.sections[0], length="24"), *job.part.sections[1:])
    moved = msgspec.structs.replace(job, part=msgspec.structs.replace(job.part, sections=sections))
    board.preview(moved)
    assert desk.session.job == job, "a drag is no edit before its release"
    board.finish_preview(moved, "Corner moved")
    assert desk.session.job == moved
    assert desk.session.undo_stack.undoText() == "Corner moved"
    model = desk.print_panel.model
    assert model.data(model.index(0, 2)) == "24"
    planned(qtbot, desk)
    assert desk.board_panel.board.job == moved


def test_table_and_board_choose_the_same_section(desk: MainWindow) -> None:
    desk.print_panel.table.setCurrentIndex(desk.print_panel.model.index(1, 1))
    assert desk.board_panel.board.chosen == {2}
    desk.board_panel.board.choose((3,), 3)
    assert desk.print_panel.table.currentIndex().row() == 2


# Planning


def test_the_newest_plan_wins(desk: MainWindow, qtbot: QtBot) -> None:
    seen: list[Job] = []
    desk.session.planned.connect(lambda answer: seen.append(answer.job))
    for number in range(6):
        desk.session.edit(noted(desk.session.job, str(number)), "note")
        qtbot.wait(15)
    planned(qtbot, desk)
    assert seen[-1].note == "5"
    assert len(seen) < 6, "plans that were overtaken are not shown"
    assert desk.session.plan is not None
    assert desk.session.plan.source is not None
    assert desk.session.plan.source.job.note == "5"


def test_the_window_stays_alive_while_a_plan_is_made(desk: MainWindow, qtbot: QtBot) -> None:
    beats: list[float] = []
    clock = QTimer(desk, interval=10)
    clock.timeout.connect(lambda: beats.append(time.perf_counter()))
    clock.start()
    desk.session.edit(with_bar(desk.session.job, "36"), "bar")
    planned(qtbot, desk)
    clock.stop()
    gaps = [b - a for a, b in pairwise(beats)]
    assert len(gaps) >= 5
    # Planned in the window's own thread, one gap would be as long as the plan takes.
    assert max(gaps) < 0.6 * sum(gaps)


def test_an_overtaken_request_is_never_answered(qapp: QApplication, qtbot: QtBot) -> None:
    background = Background(demo_shop())
    numbers: list[int] = []
    background.answered.connect(lambda answer: numbers.append(answer.number))
    job = load_demo("stepped_pin")
    for text in "abcde":
        background.ask(noted(job, text))
    qtbot.waitUntil(lambda: bool(numbers) and numbers[-1] == 5, timeout=30_000)
    background.close()
    assert numbers == sorted(set(numbers))
    assert len(numbers) <= 2


def test_a_job_that_cannot_be_planned_says_why(desk: MainWindow, qtbot: QtBot) -> None:
    desk.session.edit(msgspec.structs.replace(desk.session.job, lathe="Nowhere 9"), "lathe")
    planned(qtbot, desk)
    answer = desk.session.answer
    assert answer is not None
    assert answer.plan is None
    assert "Nowhere 9" in answer.error
    desk.undo()
    planned(qtbot, desk)
    assert desk.session.plan is not None


# Passes


def test_rows_slider_pictures_and_board_show_the_same_pass(desk: MainWindow) -> None:
    table, strip, session = desk.pass_panel.table, desk.strip, desk.session
    row = table._model.row_of(4)
    assert row is not None
    rect = table.visualRect(table._model.index(row, 3))
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=rect.center())
    assert session.position == strip.slider.value() == 4
    strip.slider.setValue(7)
    assert table._model.rows[table.currentIndex().row()].position == 7
    assert desk.board_panel.board.plan_item._number == 7
    card = next(n for n, c in enumerate(strip.row.cards) if c.words == "Finish")
    centre = strip.row.room_of(card).center().toPoint()
    QTest.mouseClick(strip.row, Qt.MouseButton.LeftButton, pos=centre)
    assert session.position == strip.row.cards[card].last
    assert strip.row.current() == card


def test_the_keys_step_and_play(desk: MainWindow, qtbot: QtBot) -> None:
    alt = Qt.KeyboardModifier.AltModifier
    for key, position in (
        (Qt.Key.Key_Right, 1), (Qt.Key.Key_Right, 2), (Qt.Key.Key_Left, 1),
        (Qt.Key.Key_End, len(desk.session.passes)), (Qt.Key.Key_Home, 0),
    ):  # fmt: skip
        QTest.keyClick(desk, key, alt)
        assert desk.session.position == position
    desk.strip._clock.setInterval(5)
    QTest.keyClick(desk, Qt.Key.Key_F9)
    assert desk.strip.playing
    qtbot.waitUntil(lambda: not desk.strip.playing, timeout=5000)
    assert desk.session.position == len(desk.session.passes)


def test_the_slider_keeps_its_place_when_the_plan_changes(desk: MainWindow, qtbot: QtBot) -> None:
    desk.session.go_to(6)
    desk.session.edit(noted(desk.session.job, "x"), "note")
    planned(qtbot, desk)
    assert (desk.session.position, desk.strip.slider.value()) == (6, 6)


# Findings and operations


def test_a_finding_takes_board_and_slider_to_its_place_and_its_remedy_is_applied(
    make_desk: MakeDesk, qtbot: QtBot
) -> None:
    desk = make_desk(with_bar(load_demo("stepped_pin"), "28"))
    planned(qtbot, desk)
    panel = desk.findings_panel
    assert panel.findings[0].severity == "stop"
    row = next(n for n, f in enumerate(panel.findings) if f.code == "blank-too-small")
    panel.list.setCurrentRow(row)
    assert panel.remedy.isVisible()
    QTest.mouseClick(panel.remedy, Qt.MouseButton.LeftButton)
    assert desk.session.job.blank.diameter == "32"
    planned(qtbot, desk)
    assert all(f.severity != "stop" for f in panel.findings)


def test_an_operation_can_be_switched_off_set_and_given_back(
    desk: MainWindow, qtbot: QtBot
) -> None:
    desk.go_operations()
    page = desk.pass_panel.operations
    kinds = [o.kind for o in page.operations]
    page.list.setCurrentRow(kinds.index("rough"))
    field = page.fields["depth"]
    assert field.placeholderText() == "2"
    field.setFocus()
    Hands(desk).replace("1")
    own = desk.session.job.setups[0].operations
    assert own is not None
    assert own[kinds.index("rough")].depth == "1"
    planned(qtbot, desk)
    count = len(desk.session.passes)
    page.list.item(kinds.index("part off")).setCheckState(Qt.CheckState.Unchecked)
    planned(qtbot, desk)
    assert len(desk.session.passes) < count
    page._explain("speed")
    assert "1000 v" in page._reason.text()
    QTest.mouseClick(page.propose, Qt.MouseButton.LeftButton)
    assert desk.session.job.setups[0].operations is None


# Looks and habits


def test_every_command_is_there_and_no_key_is_taken_twice(desk: MainWindow) -> None:
    keys = [a.shortcut().toString() for a in desk.menus.actions.values() if a.shortcut().toString()]
    assert len(keys) == len(set(keys))
    for action in desk.menus.actions.values():
        assert action.text()


def test_everything_that_takes_the_keyboard_has_a_name(desk: MainWindow) -> None:
    nameless = []
    for widget in desk.findChildren(QWidget):
        if (
            widget.focusPolicy() & Qt.FocusPolicy.TabFocus
            and widget.focusProxy() is None
            and widget.isVisible()
            and not (widget.accessibleName() or getattr(widget, "text", str)())
        ):
            nameless.append(f"{type(widget).__name__} in {type(widget.parent()).__name__}")
    assert not nameless


def test_no_type_is_smaller_than_the_platforms(desk: MainWindow) -> None:
    least = QApplication.font().pointSizeF()
    small = [
        w.objectName() or type(w).__name__
        for w in desk.findChildren(QWidget)
        if w.font().pointSizeF() < least - 1e-6
    ]
    assert not small


def test_themes_change_at_once_and_are_remembered(desk: MainWindow) -> None:
    desk.theme_dark()
    assert desk.theme.dark
    assert desk.board_panel.board.theme.dark
    dark = desk.grab().toImage().pixelColor(QPoint(2, 300))
    desk.theme_light()
    light = desk.grab().toImage().pixelColor(QPoint(2, 300))
    assert dark.lightness() < 60 < 200 < light.lightness()
    assert desk.session.settings.theme == "light"


def test_the_coordinate_line_follows_the_pointer_in_the_jobs_units(
    desk: MainWindow, make_desk: MakeDesk
) -> None:
    desk.board_panel.board.pointer_moved.emit(25.4, -12.7)
    assert desk.board_panel.coordinates.text() == "Ø 25.40   Z −12.70 mm"
    inch = make_desk("post_cap")
    inch.board_panel.board.pointer_moved.emit(25.4, -12.7)
    assert inch.board_panel.coordinates.text() == "Ø 1.000   Z −0.500 in"


def test_closing_leaves_no_thread_and_no_timer(make_desk: MakeDesk, qtbot: QtBot) -> None:
    before = set(threading.enumerate())
    desk = make_desk()
    planned(qtbot, desk)
    desk.show_charts()
    qtbot.wait(200)
    desk.play()
    desk.close()
    assert set(threading.enumerate()) <= before
    assert not [t for t in desk.findChildren(QTimer) if t.isActive()]
    assert not [t for t in desk.session.findChildren(QTimer) if t.isActive()]


def test_a_print_is_laid_below_faded_and_hidden(
    desk: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scan = tmp_path / "scan.png"
    desk.grab().save(str(scan))
    monkeypatch.setattr("turnsketch.desk.dialogs.ask_open_path", lambda *_: scan)
    desk.lay_print_below()
    assert desk.board_panel.board.mode == "scale"
    assert desk.menus.actions["mode_scale"].isChecked()
    seen = []
    for _ in range(4):
        desk.fade_print()
        seen.append(desk.board_panel.board.underlay.opacity())
    assert min(seen) == 0.0
    assert len(set(seen)) == 4
