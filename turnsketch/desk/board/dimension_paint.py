"""Dimensions drawn on the board: narrow lines, slim arrow heads, text on paper."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

from turnsketch.desk.board.dimension_layout import Box, Layout, PlacedLength, PlacedTag
from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.theme import Theme

__all__ = ["paint_dimensions", "rect_of"]

_ARROW_LENGTH = 10.0
_ARROW_HALF = 2.6
_DOUBTFUL = (6.0, 3.0)


def rect_of(box: Box) -> QRectF:
    """Return Qt's rectangle."""
    return QRectF(box.left, box.top, box.width, box.height)


def paint_dimensions(
    painter: QPainter, layout: Layout, theme: Theme, hovered: tuple[int | None, str] | None = None
) -> None:
    """Draw a layout in pixels. Doubtful lengths are dashed, and their text says why."""
    for length in layout.lengths:
        _paint_length(painter, length, theme, length.dimension.key == hovered)
    for tag in layout.tags:
        _paint_leader(painter, tag, theme)
    for tag in layout.tags:
        _write(painter, tag.box, tag.dimension.shown, theme, tag.dimension.key == hovered)


def _paint_length(painter: QPainter, length: PlacedLength, theme: Theme, hovered: bool) -> None:
    dash = _DOUBTFUL if length.dimension.doubt else ()
    pen = cosmetic(theme.narrow, 1.0, dash)
    painter.setPen(pen)
    beyond = 5.0 if length.y > length.from_low else -5.0
    for x, y in ((length.low, length.from_low), (length.high, length.from_high)):
        painter.drawLine(QPointF(x, y), QPointF(x, length.y + beyond))
    left, right = length.low, length.high
    if length.outside:
        left, right = left - _ARROW_LENGTH - 4, right + _ARROW_LENGTH + 4
        right = max(right, length.box.left) if length.box.left > length.high else right
        text_right = length.box.left + length.box.width
        left = min(left, text_right) if text_right < length.low else left
    painter.drawLine(QPointF(left, length.y), QPointF(right, length.y))
    inward = -1.0 if length.outside else 1.0
    _arrow(painter, length.low, length.y, inward, theme)
    _arrow(painter, length.high, length.y, -inward, theme)
    shown = length.dimension.shown
    _write(painter, length.box, shown, theme, hovered, faint=shown.startswith("("))


def _arrow(painter: QPainter, x: float, y: float, way: float, theme: Theme) -> None:
    """Draw a filled arrow head with its point at a place; `way` +1: its body to the right."""
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.narrow))
    back = x + way * _ARROW_LENGTH
    painter.drawPolygon(
        QPolygonF([QPointF(x, y), QPointF(back, y - _ARROW_HALF), QPointF(back, y + _ARROW_HALF)])
    )
    painter.restore()


def _paint_leader(painter: QPainter, tag: PlacedTag, theme: Theme) -> None:
    painter.setPen(cosmetic(theme.narrow, 1.0))
    painter.setBrush(QBrush())
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in tag.way]))
    above = tag.way[-1][1] > tag.box.top + tag.box.height / 2
    y = tag.box.top + tag.box.height + 1 if above else tag.box.top - 1
    painter.drawLine(QPointF(tag.box.left, y), QPointF(tag.box.left + tag.box.width, y))
    painter.setBrush(QColor(theme.narrow))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawEllipse(QPointF(*tag.way[0]), 2.2, 2.2)


def _write(
    painter: QPainter, box: Box, text: str, theme: Theme, hovered: bool, *, faint: bool = False
) -> None:
    """Write a text on paper, so that no line runs through its letters."""
    rect = rect_of(box)
    painter.fillRect(rect, QColor(theme.chosen_light if hovered else theme.paper))
    painter.setPen(QPen(QColor(theme.narrow if faint else theme.ink)))
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)
    if hovered:
        painter.setPen(cosmetic(theme.chosen, 1.4))
        painter.drawRect(rect)
