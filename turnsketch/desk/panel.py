"""A sheet of paper on the desk: a title, a word on its right, and what stands below."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from turnsketch.desk.text import capital, told

__all__ = ["Panel", "Said", "ShortLabel", "label", "say_nothing"]


class Panel(QFrame):
    """A framed panel with a heading line.

    Parameters
    ----------
    title : str
        Shown in bold, and the panel's name for screen readers.
    """

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self.setAccessibleName(title)
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(12, 9, 12, 10)
        self.body.setSpacing(6)
        self.heading = QHBoxLayout()
        self.heading.setSpacing(8)
        self.title = label(title, "title")
        self.aside = label("", "aside")
        self.heading.addWidget(self.title)
        self.heading.addStretch(1)
        self.heading.addWidget(self.aside)
        self.body.addLayout(self.heading)


def label(text: str, kind: str = "", *, wrap: bool = False) -> QLabel:
    """Return a label of one of the style sheet's kinds: title, aside, faint, remedy, wrong."""
    made = QLabel(text)
    made.setObjectName(kind)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wrap)
    return made


class Said(QFrame):
    """What is wrong or open, and below it what to do; hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("said")
        self.message = label("", "", wrap=True)
        self.remedy = label("", "remedy", wrap=True)
        body = QVBoxLayout(self)
        body.setContentsMargins(10, 0, 0, 0)
        body.setSpacing(1)
        body.addWidget(self.message)
        body.addWidget(self.remedy)
        self.hide()

    def say(self, message: str, remedy: str = "", kind: str = "") -> None:
        """Show both lines; `kind` is "wrong", "open" or nothing."""
        self.message.setText(told(message))
        self.remedy.setText(capital(told(remedy)))
        self.remedy.setVisible(bool(remedy))
        self.setVisible(bool(message))
        if self.property("kind") != kind:
            self.setProperty("kind", kind)
            self.style().unpolish(self)
            self.style().polish(self)


def say_nothing(view: QWidget, words: str) -> None:
    """Write over an empty list what will stand there, and what brings it."""
    painter = QPainter(view)
    painter.setPen(view.palette().placeholderText().color())
    side = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
    painter.drawText(view.rect().adjusted(4, 4, -4, -4), side, words)
    painter.end()


class ShortLabel(QLabel):
    """A line that is cut in its middle where there is no room; the tip has all of it.

    Of a path the folder and the name are what one looks for: its two ends.
    """

    def setText(self, text: str) -> None:  # noqa: N802
        """Show `text`."""
        super().setText(text)
        self.setToolTip(text)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint as much as there is room for."""
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        side = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        words = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideMiddle, self.width()
        )
        painter.drawText(self.rect(), side, words)
        painter.end()
