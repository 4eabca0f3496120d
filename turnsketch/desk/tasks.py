"""Long work with a progress bar: beside the window, which stays alive meanwhile."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import QEventLoop, Qt, QTimer
from PySide6.QtWidgets import QProgressDialog, QWidget

__all__ = ["run_task"]

R = TypeVar("R")
_SHOWN_AFTER_MS = 350


def run_task(parent: QWidget, words: str, work: Callable[[], R]) -> R:
    """Return what `work` returns; raise what it raises.

    It runs in a thread of its own and must not touch the window. A bar is shown when it takes
    longer than a moment; the window takes no input until it is done.
    """
    done: list[R] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            done.append(work())
        except BaseException as error:
            failed.append(error)

    thread = threading.Thread(target=run, name="export", daemon=True)
    dialog = QProgressDialog(words, "", 0, 0, parent)
    dialog.setCancelButton(None)
    dialog.setWindowModality(Qt.WindowModality.WindowModal)
    dialog.setMinimumDuration(_SHOWN_AFTER_MS)
    loop = QEventLoop(parent)
    clock = QTimer(dialog, interval=15)
    clock.timeout.connect(lambda: None if thread.is_alive() else loop.quit())
    later = QTimer(dialog, singleShot=True, interval=_SHOWN_AFTER_MS)
    later.timeout.connect(dialog.show)
    thread.start()
    clock.start()
    later.start()
    loop.exec()
    clock.stop()
    later.stop()
    thread.join()
    dialog.reset()
    dialog.deleteLater()
    loop.deleteLater()
    if failed:
        raise failed[0]
    return done[0]
