"""A line or two at the head of the board that can be put away: a hint, or work that was found."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QWidget

from turnsketch.desk.panel import label
from turnsketch.desk.text import tr

__all__ = ["MessageBar"]


class MessageBar(QFrame):
    """Hidden until there is something to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("message")
        self.words = label("", "", wrap=True)
        self._line = QHBoxLayout(self)
        self._line.setContentsMargins(10, 5, 8, 5)
        self._line.addWidget(self.words, 1)
        self.buttons: list[QPushButton] = []
        self.hide()

    def say(self, words: str, *answers: tuple[str, Callable[[], object]]) -> None:
        """Show `words` with a button for each answer, and one to put it away when there is none."""
        for button in self.buttons:
            self._line.removeWidget(button)
            button.deleteLater()
        self.buttons = []
        self.words.setText(words)
        self.setAccessibleName(words)
        for name, act in answers or ((tr("Got it"), lambda: None),):
            button = QPushButton(name)
            button.clicked.connect(self.hide)
            button.clicked.connect(lambda _=False, a=act: a())
            self._line.addWidget(button)
            self.buttons.append(button)
        self.show()
