"""What the desk leaves behind: after every export, after reopening and closing, nothing."""

from __future__ import annotations

import gc
import os
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import shiboken6
from pypdf import PdfReader
from PySide6.QtCore import QCoreApplication, QEvent, QTimer, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtWidgets import QApplication, QDialog
from pytestqt.qtbot import QtBot

from tests.desk.conftest import planned
from tests.desk.hands import answer_file_dialog
from turnsketch.desk.application import make_session
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import copy_demo, load_demo
from turnsketch.document.files import load
from turnsketch.document.open_document import OpenDocument

EXPORTS = ("pdf", "csv", "svg", "png", "preview", "print_to_file", "print_by_service")


def left() -> dict[str, Counter[str]]:
    """Return what is there now: threads, handles, running timers, widgets, processes."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    QApplication.processEvents()
    gc.collect()
    known = [t for t in gc.get_objects() if isinstance(t, QTimer) and shiboken6.isValid(t)]
    return {
        "threads": Counter(thread.name for thread in threading.enumerate()),
        "threads of Qt": Counter({"": len(os.listdir("/proc/self/task"))}),
        "handles": Counter(_handles()),
        "timers": Counter(type(t.parent()).__name__ for t in known if _goes_on(t)),
        "widgets": Counter(type(w).__name__ for w in QApplication.allWidgets()),
        "processes": Counter(_children()),
    }


def _goes_on(timer: QTimer) -> bool:
    """Whether a timer runs and belongs to something, or never ends by itself."""
    return timer.isActive() and (timer.parent() is not None or not timer.isSingleShot())


def _handles() -> list[str]:
    found = []
    for name in os.listdir("/proc/self/fd"):
        try:
            found.append(os.readlink(f"/proc/self/fd/{name}").split(":")[0])
        except OSError:
            continue  # the handle of this very listing
    return found


def _children() -> list[str]:
    return [
        child
        for task in os.listdir("/proc/self/task")
        for child in Path(f"/proc/self/task/{task}/children").read_text().split()
    ]


def more(before: dict[str, Counter[str]], after: dict[str, Counter[str]]) -> dict[str, object]:
    """Return what is there now and was not before."""
    return {what: after[what] - before[what] for what in after if after[what] - before[what]}


@pytest.fixture
def service(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A print service that puts what it is given into a file, and a viewer that looks away."""
    printed, folder = tmp_path / "printed.pdf", tmp_path / "bin"
    folder.mkdir()
    script = folder / "lp"
    script.write_text(f'#!/bin/sh\nfor last; do :; done\ncat "$last" > "{printed}"\n')
    script.chmod(0o755)
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: QUrl(url).isLocalFile())
    return printed


@pytest.fixture
def outputs(
    tmp_path: Path, service: Path, monkeypatch: pytest.MonkeyPatch
) -> dict[str, Callable[[MainWindow], Path]]:
    """Every way out of the program; each returns the file that it made."""

    def with_dialog(act: str, suffix: str) -> Callable[[MainWindow], Path]:
        def export(window: MainWindow) -> Path:
            file = tmp_path / f"out{suffix}"
            file.unlink(missing_ok=True)
            answer_file_dialog(str(file))
            getattr(window.exports, act)()
            return file

        return export

    def preview(window: MainWindow) -> Path:
        window.exports.preview()
        return max((window.session.folder / "print").glob("*.pdf"))

    def printing(to_file: str) -> Callable[[MainWindow], Path]:
        def accept(dialog: QPrintDialog) -> int:
            dialog.printer().setOutputFileName(to_file)
            return QDialog.DialogCode.Accepted.value

        def export(window: MainWindow) -> Path:
            file = Path(to_file) if to_file else service
            file.unlink(missing_ok=True)
            monkeypatch.setattr(QPrintDialog, "exec", accept)
            window.exports.print()
            return file

        return export

    ways = (
        with_dialog("pdf", ".pdf"), with_dialog("csv", ".csv"), with_dialog("picture", ".svg"),
        with_dialog("picture", ".png"), preview, printing(str(tmp_path / "to_file.pdf")),
        printing(""),
    )  # fmt: skip
    return dict(zip(EXPORTS, ways, strict=True))


@pytest.fixture
def window(qtbot: QtBot, qapp: QApplication, folder: Path) -> Iterator[MainWindow]:
    made = opened(qtbot, folder)
    yield made
    closed(made)


def opened(qtbot: QtBot, folder: Path, path: Path | None = None) -> MainWindow:
    """Return a window as the program opens it, planned."""
    job = load_demo("stepped_pin") if path is None else load(path)
    session = make_session(folder, OpenDocument(job, path))
    window = MainWindow(session.settings)
    window.furnish(session)
    window.show()
    planned(qtbot, window)
    return window


def closed(window: MainWindow) -> None:
    window.session.document._saved = window.session.document.job
    window.close()
    window.deleteLater()


def test_no_export_leaves_anything_behind(
    window: MainWindow, outputs: dict[str, Callable[[MainWindow], Path]]
) -> None:
    for name, export in outputs.items():
        export(window)  # what is imported, and its caches, are opened once
        before = left()
        made = export(window)
        assert made.stat().st_size > 500, name
        if made.suffix == ".pdf":
            assert len(PdfReader(made).pages) >= 1, name
        assert not more(before, left()), name


def test_closing_and_reopening_leave_nothing_behind(
    qtbot: QtBot, qapp: QApplication, folder: Path, tmp_path: Path
) -> None:
    def life() -> None:
        """Open, look at the charts, play, take another file, draw, close."""
        window = opened(qtbot, folder)
        window.show_charts()
        charts = window.charts
        assert charts is not None
        qtbot.waitUntil(lambda: not charts.picture._image.isNull())
        window.play()
        window.files.open_path(tmp_path / "shaft_end.job.json")
        planned(qtbot, window)
        window.board_panel.board.set_mode("draw")
        window.session.edit(load_demo("slender_pin"), "another part")
        closed(window)  # with a plan on its way
        left()
        again = opened(qtbot, folder, tmp_path / "shaft_end.job.json")
        closed(again)

    copy_demo("shaft_end", tmp_path)
    life()
    before = left()
    life()
    assert not more(before, left())


def test_the_look_around_sees_what_is_left(qtbot: QtBot, qapp: QApplication) -> None:
    before = left()
    stop = threading.Event()
    thread = threading.Thread(target=stop.wait, name="forgotten")
    thread.start()
    timer = QTimer(interval=1000)
    timer.start()
    dialog = QDialog()
    with open(__file__, "rb") as file:
        seen = more(before, left())
        assert not file.closed
    stop.set()
    thread.join()
    timer.stop()
    dialog.deleteLater()
    assert set(seen) == {"threads", "threads of Qt", "timers", "widgets", "handles"}
    assert not more(before, left())
