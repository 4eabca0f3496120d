"""What the window shows at its very first paint: empty sheets where the panels will be.

Plain widgets filled from the palette: a painter's calls would make all enumerations of `Qt` first.
"""

from __future__ import annotations

from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QWidget

__all__ = ["BareSheet"]

_EDGE, _GAP = 12, 9
Room = tuple[int, int, int, int]


class BareSheet(QWidget):
    """Empty paper on the desk."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sheets = [QWidget(self) for _ in range(6)]
        for sheet in self._sheets:
            sheet.setBackgroundRole(QPalette.ColorRole.Base)
            sheet.setAutoFillBackground(True)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Lay the sheets out as the panels will stand."""
        letter = self.fontMetrics().averageCharWidth()
        rooms = _rooms(self.width(), self.height(), letter)
        for sheet, room in zip(self._sheets, rooms, strict=True):
            sheet.setGeometry(*room)


def _rooms(width: int, height: int, letter: int) -> list[Room]:
    """Return left, top, width and height of each panel."""
    left, right, low = 44 * letter, 70 * letter, max(height - 200, 100)
    middle = width - 2 * _EDGE - left - right - 2 * _GAP
    second, third = _EDGE + left + _GAP, width - _EDGE - right
    upper = round(0.57 * low)
    under = low - upper - _GAP
    return [
        (_EDGE, 2, left, upper),
        (_EDGE, 2 + upper + _GAP, left, under),
        (second, 2, middle, low),
        (third, 2, right, upper),
        (third, 2 + upper + _GAP, right, under),
        (_EDGE, 2 + low + _GAP, width - 2 * _EDGE, height - low - _GAP - 2 - _EDGE),
    ]
