"""Small fields that open on the board: at the pointer, at a dimension, in the title block."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QLineEdit, QWidget

from turnsketch.desk.text import told
from turnsketch.desk.theme import Theme
from turnsketch.errors import InputError

__all__ = ["FieldEditor"]


class _Line(QLineEdit):
    """One field: Enter commits, Esc gives up, Tab goes round."""

    def __init__(self, editor: FieldEditor, name: str, text: str) -> None:
        super().__init__(text, editor)
        self._editor = editor
        self.setAccessibleName(name)

    def event(self, event: QEvent) -> bool:
        """Take Tab before Qt moves the focus out, and keys that a window's menu may want."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            if event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter):
                event.accept()
                return True
            return super().event(event)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = event.key()
            if key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
                self._editor.step(self, 1 if key == Qt.Key.Key_Tab else -1)
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self._editor.commit()
                return True
            if key == Qt.Key.Key_Escape:
                self._editor.give_up()
                return True
        return super().event(event)


class FieldEditor(QFrame):
    """One or two fields with their labels, over the board.

    `take` is called with what was typed; an `InputError` from it is shown below the fields and the
    editor stays open.
    """

    closed = Signal(bool)
    """True: what was typed has been taken."""
    typed = Signal()

    def __init__(
        self,
        parent: QWidget,
        labels: Sequence[str],
        values: Sequence[str],
        take: Callable[[Sequence[str]], None],
        theme: Theme,
        *,
        stay_open: bool = False,
        bare: bool = False,
    ) -> None:
        super().__init__(parent)
        self._room, self._take = parent, take
        self._stay_open = stay_open
        self.onward: Callable[[int], None] | None = None
        """Where Tab (1) and back (-1) go from a single field, once it has been taken."""
        self._open = True
        self.lines = [
            _Line(self, label, value) for label, value in zip(labels, values, strict=True)
        ]
        self._complaint = QLabel("", self)
        self._complaint.setWordWrap(True)
        self._complaint.hide()
        grid = QGridLayout(self)
        margin = 0 if bare else 5
        grid.setContentsMargins(margin, margin, margin, margin)
        grid.setSpacing(4)
        for column, (label, line) in enumerate(zip(labels, self.lines, strict=True)):
            if not bare:
                words = QLabel(label, self)
                words.setBuddy(line)
                grid.addWidget(words, 0, 2 * column)
            grid.addWidget(line, 0, 2 * column + 1)
            line.textEdited.connect(lambda _text: self.typed.emit())
            if not bare:
                line.setMinimumWidth(line.fontMetrics().averageCharWidth() * 11)
        grid.addWidget(self._complaint, 1, 0, 1, 2 * len(self.lines))
        self.setStyleSheet(_style(theme))
        self.setAutoFillBackground(True)

    @property
    def texts(self) -> tuple[str, ...]:
        """What stands in the fields."""
        return tuple(line.text() for line in self.lines)

    def open_at(self, place: QPoint) -> None:
        """Show at a place of the parent, kept inside it, with the first field ready."""
        self.adjustSize()
        room = self._room.rect().adjusted(4, 4, -4, -4)
        left = max(min(place.x(), room.right() - self.width()), room.left())
        top = max(min(place.y(), room.bottom() - self.height()), room.top())
        self.move(left, top)
        self._ready()

    def open_over(self, rect: QRect) -> None:
        """Show over a field of the board, as large as it or larger."""
        self.adjustSize()
        self.setGeometry(
            rect.x(), rect.y(), max(rect.width(), 90), max(rect.height(), self.sizeHint().height())
        )
        self._ready()

    def _ready(self) -> None:
        self.show()
        self.raise_()
        self.lines[0].setFocus(Qt.FocusReason.OtherFocusReason)
        self.lines[0].selectAll()

    def start_with(self, text: str) -> None:
        """Put the first typed character into the first field, and go on behind it."""
        self.lines[0].setText(text)
        self.lines[0].setCursorPosition(len(text))
        self.lines[0].deselect()

    def go_on_with(self, text: str) -> None:
        """Take the keys again, and a character that was typed elsewhere meanwhile."""
        self.lines[0].setFocus(Qt.FocusReason.OtherFocusReason)
        self.lines[0].insert(text)

    def step(self, line: QLineEdit, way: int) -> None:
        """Go to the next field, round and round; from a single one to what lies beyond it."""
        if len(self.lines) == 1 and self.onward is not None:
            self.commit()
            if not self._open:
                self.onward(way)
            return
        index = (self.lines.index(line) + way) % len(self.lines)  # type: ignore[arg-type]
        self.lines[index].setFocus(Qt.FocusReason.TabFocusReason)
        self.lines[index].selectAll()

    def commit(self) -> None:
        """Hand over what was typed; a text that cannot be used is told and stays."""
        try:
            self._take(self.texts)
        except InputError as error:
            self.complain(told(error.what))
            return
        if self._stay_open:
            for line in self.lines:
                line.clear()
            self.complain("")
            self.lines[0].setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._close(taken=True)

    def complain(self, text: str) -> None:
        """Say below the fields what is wrong; empty takes it away."""
        self._complaint.setText(f"⚠ {text}" if text else "")
        self._complaint.setVisible(bool(text))
        self.adjustSize()
        room = self._room.rect()
        self.move(
            max(min(self.x(), room.right() - self.width()), 0),
            max(min(self.y(), room.bottom() - self.height()), 0),
        )

    @property
    def complaint(self) -> str:
        """What is wrong with the typed text, in words; empty when nothing is."""
        return self._complaint.text() if not self._complaint.isHidden() else ""

    def give_up(self) -> None:
        """Close without taking anything."""
        self._close(taken=False)

    def _close(self, *, taken: bool) -> None:
        if self._open:
            self._open = False
            self.hide()
            self.closed.emit(taken)
            self.deleteLater()


def _style(theme: Theme) -> str:
    return (
        f"FieldEditor {{ background: {theme.paper}; border: 1px solid {theme.chosen}; }}"
        f"QLabel {{ color: {theme.ink}; background: transparent; }}"
        f"QLineEdit {{ color: {theme.ink}; background: {theme.paper};"
        f" border: 1px solid {theme.rule}; padding: 2px 4px;"
        f" selection-background-color: {theme.chosen}; selection-color: {theme.paper}; }}"
        f"QLineEdit:focus {{ border: 2px solid {theme.chosen}; }}"
    )
