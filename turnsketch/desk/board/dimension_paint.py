"""Dimensions drawn on the board: narrow lines, slim arrow heads, text on paper."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

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
    """Draw a layout in pixels. Doubtful lengths are dashed, and their text says why.

    Lines of one kind are drawn as one path: that is several times as fast as one by one.
    """
    _paint_lines(painter, layout, theme)
    _paint_heads(painter, layout, theme)
    for length in layout.lengths:
        shown, over = length.dimension.shown, length.dimension.key == hovered
        _write(painter, length.box, shown, theme, over, faint=shown.startswith("("))
    for tag in layout.tags:
        _write(painter, tag.box, tag.dimension.shown, theme, tag.dimension.key == hovered)


def _paint_lines(painter: QPainter, layout: Layout, theme: Theme) -> None:
    """Draw end lines, dimension lines and leaders."""
    firm, doubtful = QPainterPath(), QPainterPath()
    for length in layout.lengths:
        _add_length(doubtful if length.dimension.doubt else firm, length)
    for tag in layout.tags:
        _add_leader(firm, tag)
    painter.setBrush(QBrush())
    for path, dash in ((firm, ()), (doubtful, _DOUBTFUL)):
        painter.setPen(cosmetic(theme.narrow, 1.0, dash))
        painter.drawPath(path)


def _paint_heads(painter: QPainter, layout: Layout, theme: Theme) -> None:
    """Fill arrow heads, and the dots at the ends of leaders."""
    heads = QPainterPath()
    for length in layout.lengths:
        inward = -1.0 if length.outside else 1.0
        _add_arrow(heads, length.low, length.y, inward)
        _add_arrow(heads, length.high, length.y, -inward)
    for tag in layout.tags:
        heads.addEllipse(QPointF(*tag.way[0]), 2.2, 2.2)
    heads.setFillRule(Qt.FillRule.WindingFill)
    painter.fillPath(heads, QColor(theme.narrow))


def _add_length(path: QPainterPath, length: PlacedLength) -> None:
    beyond = 5.0 if length.y > length.from_low else -5.0
    for x, y in ((length.low, length.from_low), (length.high, length.from_high)):
        _add_line(path, (x, y), (x, length.y + beyond))
    left, right = length.low, length.high
    if length.outside:
        left, right = left - _ARROW_LENGTH - 4, right + _ARROW_LENGTH + 4
        right = max(right, length.box.left) if length.box.left > length.high else right
        text_right = length.box.left + length.box.width
        left = min(left, text_right) if text_right < length.low else left
    _add_line(path, (left, length.y), (right, length.y))


def _add_leader(path: QPainterPath, tag: PlacedTag) -> None:
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in tag.way]))
    above = tag.way[-1][1] > tag.box.top + tag.box.height / 2
    y = tag.box.top + tag.box.height + 1 if above else tag.box.top - 1
    _add_line(path, (tag.box.left, y), (tag.box.left + tag.box.width, y))


def _add_line(path: QPainterPath, start: tuple[float, float], end: tuple[float, float]) -> None:
    path.moveTo(*start)
    path.lineTo(*end)


def _add_arrow(path: QPainterPath, x: float, y: float, way: float) -> None:
    """Add an arrow head with its point at a place; `way` +1: its body to the right."""
    back = x + way * _ARROW_LENGTH
    path.moveTo(x, y)
    path.lineTo(back, y - way * _ARROW_HALF)
    path.lineTo(back, y + way * _ARROW_HALF)
    path.closeSubpath()


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
