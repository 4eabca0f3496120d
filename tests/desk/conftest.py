"""The real window for the tests of the desk: its own settings folder, nothing left behind."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from turnsketch.desk.application import make_session
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.setup_edits import pulled_out
from turnsketch.document.demo import load_demo
from turnsketch.document.open_document import OpenDocument
from turnsketch.document.settings import FOLDER_VARIABLE
from turnsketch.job import Job
from turnsketch.shop.files import demo_shop

MakeDesk = Callable[..., MainWindow]


@pytest.fixture(autouse=True)
def _no_thread_left() -> Iterator[None]:
    """A test fails when a thread outlives it."""
    before = set(threading.enumerate())
    yield
    left = [t.name for t in threading.enumerate() if t not in before and t.is_alive()]
    assert not left, f"threads left behind: {left}"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Settings and recovery copies go here."""
    place = tmp_path / "config"
    monkeypatch.setenv(FOLDER_VARIABLE, str(place))
    return place


@pytest.fixture
def make_desk(qtbot: QtBot, qapp: QApplication, folder: Path) -> Iterator[MakeDesk]:
    """Makes windows and closes them, whatever is unsaved."""
    windows: list[MainWindow] = []
    qapp.setStyle("Fusion")

    def make(job: str | Job = "stepped_pin", path: Path | None = None) -> MainWindow:
        if isinstance(job, str):
            job = load_demo(job)
        session = make_session(folder, OpenDocument(job, path))
        window = MainWindow(session.settings)
        window.furnish(session)
        windows.append(window)
        window.resize(1280, 800)
        window.show()
        qtbot.waitExposed(window)
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        return window

    yield make
    for window in windows:
        document = window.session.document
        document._saved = document.job  # nobody is asked at the end of a test
        window.close()
        window.deleteLater()
    qapp.processEvents()


@pytest.fixture
def desk(make_desk: MakeDesk, qtbot: QtBot) -> MainWindow:
    """A window with the stepped pin, planned."""
    window = make_desk()
    planned(qtbot, window)
    return window


def planned(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until the plan of the job as it stands has come in."""
    session = window.session
    qtbot.waitUntil(lambda: session.current and session.answer is not None, timeout=30_000)


def two_setups(name: str = "stepped_pin") -> Job:
    """Return a demo part whose bar is pulled out on the way."""
    return pulled_out(load_demo(name), demo_shop(), 0)


@pytest.fixture
def two(make_desk: MakeDesk, qtbot: QtBot) -> MainWindow:
    """A window with the stepped pin in two setups, planned."""
    window = make_desk(two_setups())
    planned(qtbot, window)
    return window


@pytest.fixture
def unplanned(make_desk: MakeDesk) -> MainWindow:
    """A window with the stepped pin; nothing here waits for its plan."""
    return make_desk()


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """A picture that stands for a scanned print."""
    picture = QImage(400, 200, QImage.Format.Format_RGB32)
    picture.fill(QColor("#204080"))
    path = tmp_path / "print.png"
    assert picture.save(str(path))
    return path
