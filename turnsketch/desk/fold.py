"""A row that unfolds: fields which few prints need, and in one line what stands in them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from turnsketch.desk.text import tr

__all__ = ["Fold"]


class Fold(QWidget):
    """A button that shows and hides what stands below it.

    Parameters
    ----------
    words : str
        What the button says.
    content : QWidget
        What it shows and hides; hidden at first.
    less : str
        What the button says while it is unfolded.
    """

    def __init__(
        self, words: str, content: QWidget, less: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._words, self._less, self._summary = words, less, ""
        self.content = content
        self.button = QPushButton()
        self.button.setObjectName("plain")
        self.button.setStyleSheet("text-align: left")
        self.button.setCheckable(True)
        self.button.setAccessibleName(words)
        self.button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        body = QVBoxLayout(self)
        body.setContentsMargins(0, 0, 0, 0)
        body.setSpacing(3)
        body.addWidget(self.button)
        body.addWidget(content)
        content.hide()
        self.button.toggled.connect(content.setVisible)
        self.button.toggled.connect(lambda _: self._show())

    def summarise(self, summary: str) -> None:
        """Say in one line what stands in the fields; read while they are hidden."""
        self._summary = summary
        self.button.setToolTip(summary or tr("nothing stands here yet"))
        self.button.setAccessibleDescription(summary)
        self._show()

    def _show(self) -> None:
        if self.button.isChecked():
            self.button.setText(self._less)
            return
        words = f"{self._words}: {self._summary}" if self._summary else f"{self._words} …"
        metrics, room = self.button.fontMetrics(), max(self.width() - 24, 60)
        self.button.setText(metrics.elidedText(words, Qt.TextElideMode.ElideRight, room))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Cut the line to the room that there is."""
        super().resizeEvent(event)
        self._show()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        """Cut it anew for another font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._show()
