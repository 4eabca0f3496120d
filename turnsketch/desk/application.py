"""Opening the desk: asks first whether it can be, then makes the application and its window."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import sys
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from turnsketch.desk.probe import obstacle, unloadable
from turnsketch.document.settings import Settings, config_folder, load_settings
from turnsketch.errors import InputError

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from turnsketch.desk.main_window import MainWindow
    from turnsketch.desk.session import Session
    from turnsketch.document.open_document import OpenDocument

__all__ = ["make_application", "make_session", "open_desk", "start_window"]

_FIRST_DEMO = "stepped_pin"
_INTERRUPTED = 130


def open_desk(name: str | None = None) -> int:
    """Open the desk and return its exit status when it is closed.

    Parameters
    ----------
    name : str, optional
        A job file, or the name of a demo part. Without one the last file is opened, or a demo.

    Raises
    ------
    InputError
        When there is no screen, a library is missing, or the job cannot be read.
    """
    document = None if name is None else _document(name)
    reason = obstacle() or unloadable()
    if reason is not None:
        raise InputError(reason)
    application = make_application(sys.argv[:1])
    window = start_window(config_folder(), document)
    with _interruptible(application), _faults_told(window):
        return int(application.exec())


@contextlib.contextmanager
def _faults_told(window: MainWindow) -> Iterator[None]:
    """Say a fault in one sentence on the screen; the window and the work in it live on."""
    from turnsketch.desk.dialogs import complain, fault_words

    before, telling = sys.excepthook, False

    def tell(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        nonlocal telling
        if os.environ.get("TURNSKETCH_DEBUG"):
            before(kind, error, trace)
        if not telling:
            telling = True
            complain(window, fault_words(error))
            telling = False

    sys.excepthook = tell
    try:
        yield
    finally:
        sys.excepthook = before


def make_application(arguments: list[str]) -> QApplication:
    """Return the application object, with this program's name and style."""
    from PySide6.QtWidgets import QApplication

    from turnsketch.version import VERSION

    application = QApplication(arguments)
    application.setApplicationName("TurnSketch")
    application.setApplicationVersion(VERSION)
    application.setStyle("Fusion")
    return application


def start_window(folder: Path, document: OpenDocument | None = None) -> MainWindow:
    """Return a window on the screen; it furnishes itself once it has been painted.

    Parameters
    ----------
    folder : Path
        Of the settings.
    document : OpenDocument, optional
        Default: the last file, or a demo part.
    """
    from turnsketch.desk.main_window import MainWindow

    settings = load_settings(folder)
    window = MainWindow(settings)
    first = not settings.started_before and document is None
    window.when_painted(
        window.bare,
        lambda: window.furnish(make_session(folder, document, settings), first_hint=first),
    )
    window.show()
    return window


def make_session(
    folder: Path, document: OpenDocument | None = None, settings: Settings | None = None
) -> Session:
    """Return the session of a new window with its settings in `folder`."""
    from turnsketch.desk.session import Session
    from turnsketch.document.open_document import OpenDocument
    from turnsketch.shop.files import demo_shop

    settings = load_settings(folder) if settings is None else settings
    recovery = folder / "recovery"
    if document is None:
        document = _last(settings.recent, recovery)
    else:
        document = OpenDocument(document.job, document.path, recovery)
    if document.path is not None:
        settings = settings.with_recent(document.path)
    return Session(document, demo_shop(), settings, folder)


def _document(name: str) -> OpenDocument:
    from turnsketch.document.demo import demo_names, load_demo
    from turnsketch.document.files import load
    from turnsketch.document.open_document import OpenDocument

    if not os.path.exists(name) and name in demo_names():
        return OpenDocument(load_demo(name))
    return OpenDocument(load(name), Path(name).absolute())


def _last(recent: tuple[str, ...], recovery: Path) -> OpenDocument:
    """Return the last file, if it is still there and reads, else a demo part."""
    from turnsketch.document.demo import load_demo
    from turnsketch.document.open_document import OpenDocument

    for name in recent[:1]:
        try:
            return OpenDocument.opened(name, recovery)
        except InputError:
            continue
    return OpenDocument(load_demo(_FIRST_DEMO), None, recovery)


class _interruptible:  # noqa: N801 - reads as a word after `with`
    """Lets Ctrl+C on the terminal end the desk: Qt's loop never lets Python see it otherwise."""

    def __init__(self, application: QApplication) -> None:
        self._application = application

    def __enter__(self) -> None:
        from PySide6.QtCore import QSocketNotifier

        self._ours, self._theirs = socket.socketpair()
        self._theirs.setblocking(False)
        self._wakeup = signal.set_wakeup_fd(self._theirs.fileno())
        self._before = signal.signal(signal.SIGINT, lambda *_: self._application.exit(_INTERRUPTED))
        self._notifier = QSocketNotifier(
            self._ours.fileno(), QSocketNotifier.Type.Read, self._application
        )
        self._notifier.activated.connect(lambda *_: self._ours.recv(64))

    def __exit__(self, *_: object) -> None:
        self._notifier.setEnabled(False)
        signal.signal(signal.SIGINT, self._before)
        signal.set_wakeup_fd(self._wakeup)
        self._ours.close()
        self._theirs.close()
