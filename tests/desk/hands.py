"""Hands for the tests: they type where the keyboard is, click, and count what they do."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QFileDialog,
    QLineEdit,
    QMenu,
    QStyle,
    QStyleOptionButton,
    QTableView,
    QWidget,
)

from tests.desk.board.hand import Hand
from turnsketch.desk.main_window import MainWindow

__all__ = ["Hands", "Mouse", "answer_file_dialog"]

_BRIEF_MS = 20
"""A list that opens under the button lets go of no entry until a double click is over."""
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


class Mouse(Hand):
    """A hand with a mouse on the whole window, and on its board; it types where it has clicked."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window.board_panel.board)
        self.window = window

    def press(self, widget: QWidget, at: QPoint | None = None, *, twice: bool = False) -> None:
        """Click in the middle of a widget, or elsewhere in it."""
        assert widget.isVisible(), widget.accessibleName()
        act = QTest.mouseDClick if twice else QTest.mouseClick
        place = widget.rect().center() if at is None else at
        act(widget, Qt.MouseButton.LeftButton, pos=place)
        QApplication.processEvents()

    def menu(self, *words: str) -> None:
        """Open a menu of the window and choose in it, by the words one reads there."""
        bar = self.window.menuBar()
        place: QWidget = bar
        for word in words:
            assert isinstance(place, type(bar) | QMenu)
            action = next(a for a in place.actions() if a.text().replace("&", "") == word)
            assert action.isEnabled(), word
            self.press(place, place.actionGeometry(action).center())
            if action.menu() is not None:
                place = action.menu()  # type: ignore[assignment]

    def choose(self, box: QComboBox, words: str) -> None:
        """Open a list and click an entry, once the list takes clicks."""
        usual = QApplication.doubleClickInterval()
        QApplication.setDoubleClickInterval(_BRIEF_MS)
        self.press(box)
        QTest.qWait(2 * _BRIEF_MS)
        QApplication.setDoubleClickInterval(usual)
        view = box.view()
        (row,) = (i for i in range(box.count()) if box.itemText(i) == words)
        index = box.model().index(row, 0)
        view.scrollTo(index)
        self.press(view.viewport(), view.visualRect(index).center())

    def field(self, panel: QWidget, name: str) -> QLineEdit:
        """Return the field of a panel that has this name for screen readers."""
        (found,) = (f for f in panel.findChildren(QLineEdit) if f.accessibleName() == name)
        return found

    def tick(self, box: QAbstractButton) -> None:
        """Click the mark of a box to tick."""
        option = QStyleOptionButton()
        option.initFrom(box)
        mark = box.style().subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, option, box)
        self.press(box, mark.center())

    def fill(self, line: QLineEdit, text: str, then: Qt.Key = Qt.Key.Key_Return) -> None:
        """Click a field, and type over what stands in it."""
        self.press(line)
        self.press(line, twice=True)
        QTest.keyClick(line, Qt.Key.Key_A, _CTRL)
        for letter in text:
            QTest.keyClicks(line, letter)
        QTest.keyClick(line, then)
        QApplication.processEvents()

    def cell(self, table: QTableView, row: int, column: int, text: str) -> None:
        """Click a cell of a table twice, and type into it."""
        index: QModelIndex = table.model().index(row, column)
        table.scrollTo(index)
        self.press(table.viewport(), table.visualRect(index).center())
        self.press(table.viewport(), table.visualRect(index).center(), twice=True)
        line = QApplication.focusWidget()
        assert isinstance(line, QLineEdit)
        line_text = line.text()
        if line_text:
            QTest.keyClick(line, Qt.Key.Key_A, _CTRL)
        for letter in text:
            QTest.keyClicks(line, letter)
        QTest.keyClick(line, Qt.Key.Key_Tab)
        QApplication.processEvents()

    def answer(self, text: str) -> None:
        """Type into the field that is open on the board, and take it with Enter."""
        self.type(text)
        self.key(Qt.Key.Key_Return)
        QApplication.processEvents()


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
