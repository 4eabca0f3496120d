"""Hands for the tests: they type where the keyboard is, click, and count what they do."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QWidget

__all__ = ["Hands", "answer_file_dialog"]

_CTRL = Qt.KeyboardModifier.ControlModifier


class Hands:
    """Drives a window by keys alone, and counts typed fields."""

    def __init__(self, window: QWidget) -> None:
        self._window = window
        self.actions = 0

    def focus(self) -> QWidget:
        """Return where the keyboard is."""
        widget = QApplication.focusWidget()
        return widget if widget is not None else self._window

    def key(
        self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        """Press one key."""
        QTest.keyClick(self.focus(), key, modifier)
        QApplication.processEvents()

    def ctrl(self, key: Qt.Key) -> None:
        """Press one key with Ctrl."""
        self.key(key, _CTRL)

    def field(self, text: str, then: Qt.Key = Qt.Key.Key_Tab) -> None:
        """Type a field and go on."""
        self.actions += 1
        for letter in text:
            QTest.keyClicks(self.focus(), letter)
        self.key(then)

    def replace(self, text: str, then: Qt.Key = Qt.Key.Key_Tab) -> None:
        """Type a field over what stands in it."""
        widget = self.focus()
        assert isinstance(widget, QLineEdit)
        widget.selectAll()
        self.field(text, then)


def answer_file_dialog(path: str, tries: int = 150) -> None:
    """Type `path` into the next file dialog and press Enter, once it is there.

    A dialog that does not take it is given up, so that no test waits for ever.
    """

    def look(left: int) -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QFileDialog):
            if left:
                QTimer.singleShot(20, lambda: look(left - 1))
            return
        QTimer.singleShot(150, dialog, lambda: answer(dialog))
        QTimer.singleShot(4000, dialog, dialog.reject)

    def answer(dialog: QFileDialog) -> None:
        (line,) = dialog.findChildren(QLineEdit, "fileNameEdit")
        line.selectAll()
        QTest.keyClicks(line, path)
        QTest.keyClick(line, Qt.Key.Key_Return)

    QTimer.singleShot(20, lambda: look(tries))
