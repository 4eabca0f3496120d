"""The window with the charts; matplotlib is loaded when it is opened, and paints a picture."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.desk.theme import LIGHT, Theme

__all__ = ["ChartsWindow"]

_TYPE_DPI = 100.0


class _Picture(QWidget):
    """Shows the charts as large as it is; painted anew a moment after the last change."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.theme: Theme = LIGHT
        self._image = QImage()
        self._soon = QTimer(self, singleShot=True, interval=60)
        self._soon.timeout.connect(self.make)
        self.setAccessibleName(tr("Spindle speed, depth and time of every pass"))

    def later(self) -> None:
        """Paint anew when things have settled."""
        if self.isVisible():
            self._soon.start()

    def make(self) -> None:
        """Paint the charts of the newest plan."""
        from turnsketch.picture.charts import ChartColours, chart_png

        plan, theme, ratio = self._session.plan, self.theme, self.devicePixelRatioF()
        if plan is None or self.width() < 50:
            self._image = QImage()
        else:
            colours = ChartColours(
                theme.paper, theme.ink, theme.rule, theme.layer_dark, theme.chosen
            )
            size = (round(self.width() * ratio), round(self.height() * ratio))
            data = chart_png(plan, size, _TYPE_DPI * ratio, colours, self._session.position)
            self._image = QImage.fromData(data)
            self._image.setDevicePixelRatio(ratio)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Show the picture."""
        painter = QPainter(self)
        painter.drawImage(0, 0, self._image)
        painter.end()

    def resizeEvent(self, event: object) -> None:  # noqa: N802
        """Paint anew at the new size."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self.later()

    def showEvent(self, event: object) -> None:  # noqa: N802
        """Paint at once when shown."""
        super().showEvent(event)  # type: ignore[arg-type]
        self._soon.start()


class ChartsWindow(QDialog):
    """Spindle speed, depth and time per pass, beside the main window."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Speed, depth and time of every pass"))
        self.setWindowFlag(Qt.WindowType.WindowContextHelpButtonHint, False)
        self.picture = _Picture(session)
        body = QVBoxLayout(self)
        body.setContentsMargins(0, 0, 0, 0)
        body.addWidget(self.picture)
        session.planned.connect(lambda _: self.picture.later())
        session.position_changed.connect(lambda _: self.picture.later())

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for room for three charts."""
        return QSize(640, 620)

    def set_theme(self, theme: Theme) -> None:
        """Take the theme's colours."""
        self.picture.theme = theme
        self.picture.later()
