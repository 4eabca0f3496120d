"""Fields that take the print's text and give it back only when it reads."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPolygon
from PySide6.QtWidgets import (
    QComboBox,
    QLineEdit,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QWidget,
)

from turnsketch.errors import InputError

__all__ = ["ChoiceField", "TextField"]


class TextField(QLineEdit):
    """One line of text. What does not read stays in the field, marked, and the reason is told.

    Parameters
    ----------
    name : str
        For screen readers.
    commit : callable
        Takes the text; raises InputError when it cannot be used.
    told : callable
        Takes the reason; an empty one takes it back.
    """

    def __init__(
        self,
        name: str,
        commit: Callable[[str], None],
        told: Callable[[str], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._commit = commit
        self._told = told
        self._shown = ""
        self.editingFinished.connect(self._finished)

    def show_text(self, text: str) -> None:
        """Show what the job has, unless somebody is typing something else."""
        if self.hasFocus() and self.isModified() and self.text() != self._shown:
            self._shown = text
            return
        self._shown = text
        self.setText(text)
        if not self.hasFocus():
            self.setCursorPosition(0)
        self._mark(False)

    def _finished(self) -> None:
        text = " ".join(self.text().split())
        if text == self._shown:
            self.setText(text)
            if self.property("wrong"):
                self._mark(False)
                self._told("")
            return
        self.setModified(False)
        try:
            self._commit(text)
        except InputError as error:
            self._mark(True)
            self._told(error.what)
            return
        self._shown = text
        self._mark(False)
        self._told("")

    def _mark(self, wrong: bool) -> None:
        if bool(self.property("wrong")) != wrong:
            self.setProperty("wrong", wrong)
            self.style().unpolish(self)
            self.style().polish(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Enter goes on to the next field; Esc brings back what the job has."""
        if event.key() == Qt.Key.Key_Escape:
            self.setText(self._shown)
            self.setModified(False)
            self._finished()
            event.accept()
            return
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not self.property("wrong"):
            self.focusNextChild()


class ChoiceField(QComboBox):
    """A list to choose from; with `typed` another text can be typed as well."""

    chosen = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.activated.connect(lambda _: self.chosen.emit(str(self.currentData())))

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the words, with dots where they are cut, and a small triangle for the list."""
        painter = QStylePainter(self)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        option.currentText = self.shown_text()
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.palette().placeholderText())
        x, y = self.width() - 11, self.height() // 2 - 1
        painter.drawPolygon(
            QPolygon([QPoint(x - 4, y - 1), QPoint(x + 4, y - 1), QPoint(x, y + 4)])
        )
        painter.end()

    def shown_text(self) -> str:
        """Return the words of the choice as they stand there; the tip has all of them."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        room = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        side = Qt.TextElideMode.ElideRight
        return self.fontMetrics().elidedText(self.currentText(), side, room.width())

    def show_choice(self, entries: Sequence[tuple[str, str]], value: str) -> None:
        """Offer `entries` (value, words) with `value` chosen; an unknown value is shown as well."""
        known = list(entries)
        if value not in [entry for entry, _ in known]:
            known.insert(0, (value, value))
        now = [(str(self.itemData(i)), self.itemText(i)) for i in range(self.count())]
        blocked = self.blockSignals(True)
        if now != known:
            self.clear()
            for entry, words in known:
                self.addItem(words, entry)
        self.setCurrentIndex([entry for entry, _ in known].index(value))
        self.setToolTip(self.currentText())
        self.blockSignals(blocked)
