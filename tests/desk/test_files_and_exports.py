"""Files in and out, with the real dialogs."""

from __future__ import annotations

import os
from pathlib import Path

import msgspec
import pytest
from pypdf import PdfReader
from PySide6.QtCore import QMimeData, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QDesktopServices, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QMessageBox
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import answer_file_dialog
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import copy_demo, load_demo
from turnsketch.document.files import load
from turnsketch.document.open_document import OpenDocument, Recovery
from turnsketch.document.settings import load_settings


def answer_box(button: QMessageBox.StandardButton, said: list[str] | None = None) -> None:
    """Press a button of the next question."""

    def look(left: int = 200) -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            if left:
                QTimer.singleShot(20, lambda: look(left - 1))
            return
        if said is not None:
            said.append(f"{box.text()} {box.informativeText()}")
        box.button(button).click()

    QTimer.singleShot(20, look)


def change(desk: MainWindow, note: str = "changed") -> None:
    desk.session.edit(msgspec.structs.replace(desk.session.job, note=note), "note")


def test_save_as_open_and_recent(desk: MainWindow, tmp_path: Path) -> None:
    file = tmp_path / "my.job.json"
    change(desk)
    assert desk.windowTitle().startswith("Rowlock pin")
    assert desk.isWindowModified()
    answer_file_dialog(str(file))
    desk.files.save_as()
    assert load(file) == desk.session.job
    assert not desk.isWindowModified()
    assert desk.windowTitle() == "my[*] — TurnSketch"
    assert "saved" in desk._corner.text()
    copy_demo("knob", tmp_path)
    desk.files.open_path(tmp_path / "knob.job.json")
    assert desk.session.job == load_demo("knob")
    (words, _), (_, older) = desk.files.recent()
    assert words.startswith("knob")
    older()
    assert desk.session.document.path == file


def test_a_damaged_file_is_told_in_a_sentence_and_nothing_changes(
    desk: MainWindow, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.job.json"
    bad.write_text('{"format": "turnsketch-job", "version": 1, "colour": 1}')
    before, said = desk.session.job, []  # type: ignore[var-annotated]
    answer_box(QMessageBox.StandardButton.Ok, said)
    desk.files.open_path(bad)
    assert "colour" in said[0]
    assert desk.session.job == before


@pytest.mark.parametrize("answer", ["Save", "Discard", "Cancel"])
def test_closing_asks_for_unsaved_work(
    desk: MainWindow, tmp_path: Path, answer: str, qtbot: QtBot
) -> None:
    file = tmp_path / "pin.job.json"
    desk.session.document.save(file)
    change(desk)
    answer_box(QMessageBox.StandardButton[answer])
    desk.close()
    assert desk.isVisible() == (answer == "Cancel")
    assert (load(file).note == "changed") == (answer == "Save")


def test_a_new_part_after_unsaved_work_asks_as_well(desk: MainWindow) -> None:
    change(desk)
    answer_box(QMessageBox.StandardButton.Cancel)
    desk.files.new()
    assert desk.session.job.note == "changed"
    answer_box(QMessageBox.StandardButton.Discard)
    desk.files.new_inch()
    assert desk.session.job.units == "inch"
    assert desk.session.undo_stack.count() == 0


def test_a_job_file_can_be_dropped(desk: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    copy_demo("knob", tmp_path)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(tmp_path / "knob.job.json"))])
    copy, left, none = (
        Qt.DropAction.CopyAction,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter = QDragEnterEvent(QPointF(9, 9).toPoint(), copy, mime, left, none)
    desk.dragEnterEvent(enter)
    assert enter.isAccepted()
    desk.dropEvent(QDropEvent(QPointF(9, 9), copy, mime, left, none))
    qtbot.waitUntil(lambda: desk.session.job == load_demo("knob"))


def test_work_from_a_crash_is_offered(make_desk: MakeDesk, folder: Path, qtbot: QtBot) -> None:
    job = msgspec.structs.replace(load_demo("knob"), note="nearly lost")
    aside = folder / "recovery"
    aside.mkdir(parents=True)
    (aside / "1.json").write_bytes(msgspec.json.encode(Recovery(job, "", 2**22 + 77, 0.0)))
    desk = make_desk()
    message = desk.board_panel.message
    qtbot.waitUntil(message.isVisible)
    message.buttons[0].click()
    assert desk.session.job == job
    assert desk.session.document.changed
    assert list(aside.glob("1.json")) == []


def test_the_layout_is_remembered(make_desk: MakeDesk, folder: Path) -> None:
    desk = make_desk()
    desk.top.setSizes([300, 600, 350])
    sizes = desk.top.sizes()
    desk.close()
    assert load_settings(folder).started_before
    again = make_desk()
    assert again.top.sizes() == sizes


def test_exports_write_their_files_and_leave_none_open(
    desk: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    planned(qtbot, desk)

    def handles() -> int:
        return len(os.listdir("/proc/self/fd")) if os.path.isdir("/proc/self/fd") else 0

    def export_all(stem: str) -> None:
        for act, name in (
            (desk.exports.pdf, f"{stem}.pdf"), (desk.exports.csv, f"{stem}.csv"),
            (desk.exports.picture, f"{stem}.svg"), (desk.exports.picture, f"{stem}.png"),
        ):  # fmt: skip
            answer_file_dialog(str(tmp_path / name))
            act()

    export_all("first")  # fonts and caches are opened once
    before = handles()
    export_all("second")
    assert handles() <= before
    assert len(PdfReader(tmp_path / "second.pdf").pages) >= 1
    assert (tmp_path / "second.csv").read_text().count("\n") > len(desk.session.passes)
    assert (tmp_path / "second.svg").read_text().lstrip().startswith("<?xml")
    assert (tmp_path / "second.png").read_bytes().startswith(b"\x89PNG")


def test_a_stop_finding_does_not_forbid_the_export(
    make_desk: MakeDesk, qtbot: QtBot, tmp_path: Path
) -> None:
    pin = load_demo("stepped_pin")
    thin = msgspec.structs.replace(pin, blank=msgspec.structs.replace(pin.blank, diameter="28"))
    desk = make_desk(thin)
    planned(qtbot, desk)
    answer_file_dialog(str(tmp_path / "thin.pdf"))
    desk.exports.pdf()
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / "thin.pdf").pages)
    assert "STOP" in text.upper()


def test_an_export_waits_for_the_plan_on_its_way(
    desk: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    change(desk, "just now")
    answer_file_dialog(str(tmp_path / "new.csv"))
    desk.exports.csv()
    assert desk.session.plan is not None
    assert desk.session.plan.source is not None
    assert desk.session.plan.source.job.note == "just now"


def test_a_folder_that_is_not_there_is_told(
    desk: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted = tmp_path / "no" / "such" / "x.csv"
    monkeypatch.setattr("turnsketch.desk.exports.ask_save_path", lambda *_: wanted)
    said: list[str] = []
    answer_box(QMessageBox.StandardButton.Ok, said)
    desk.exports.csv()
    assert "cannot be written" in said[0]


def test_the_preview_opens_a_sheet_in_the_platforms_viewer(
    desk: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []

    def show(url: QUrl) -> bool:
        shown.append(url.toLocalFile())
        return True

    monkeypatch.setattr(QDesktopServices, "openUrl", show)
    desk.exports.preview()
    assert len(PdfReader(shown[0]).pages) >= 1


def test_a_demo_part_is_opened_from_the_menu(desk: MainWindow) -> None:
    names = [words for words, _ in desk.files.demos()]
    assert load_demo("knob").title in names
    dict(desk.files.demos())[load_demo("knob").title]()
    assert desk.session.job == load_demo("knob")
    assert desk.session.document.path is None
    assert isinstance(desk.session.document, OpenDocument)
