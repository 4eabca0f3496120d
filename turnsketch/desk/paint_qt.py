"""Qt's painter of display lists: thumbnails, previews and printing, in the theme's colours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from turnsketch.desk.theme import LIGHT, Theme, mixed
from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import (
    Arrow,
    DisplayList,
    Fill,
    Label,
    Role,
    Spot,
    Stroke,
    paint,
)
from turnsketch.picture.style import PENS

__all__ = ["QtPainter", "paint_picture"]

_ARROW_MM = 2.4
_ARROW_HALF_MM = 0.55


def paint_picture(
    painter: QPainter, picture: DisplayList, target: QRectF, theme: Theme = LIGHT
) -> None:
    """Draw `picture` as large as it goes into `target`, centred, its shape kept.

    Parameters
    ----------
    painter : QPainter
        An active painter.
    picture : DisplayList
        What to draw.
    target : QRectF
        Room, in the painter's units.
    theme : Theme
        Colours.
    """
    if picture.box.width <= 0 or picture.box.height <= 0 or target.isEmpty():
        return
    unit = min(target.width() / picture.box.width, target.height() / picture.box.height)
    width, height = picture.box.width * unit, picture.box.height * unit
    left = target.left() + (target.width() - width) / 2 - picture.box.low.z * unit
    base = target.bottom() - (target.height() - height) / 2 + picture.box.low.r * unit
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(target, Qt.ClipOperation.IntersectClip)
    paint(picture.items, QtPainter(painter, QPointF(left, base), unit, picture.scale, theme))
    painter.restore()


class QtPainter:
    """Draws the items of a display list with a QPainter.

    Parameters
    ----------
    painter : QPainter
        Where to draw.
    origin : QPointF
        Where the picture's (0, 0) is.
    unit : float
        The painter's units for one millimetre of the picture.
    scale : float
        Millimetres of paper for one of the picture: sizes on paper go by it.
    theme : Theme
        Colours.
    """

    def __init__(
        self, painter: QPainter, origin: QPointF, unit: float, scale: float, theme: Theme
    ) -> None:
        self._painter = painter
        self._origin = origin
        self._unit = unit
        self._paper = unit / scale if scale > 0 else unit
        self._theme = theme

    def _at(self, point: Point) -> QPointF:
        return QPointF(
            self._origin.x() + point.z * self._unit, self._origin.y() - point.r * self._unit
        )

    def _polygon(self, points: Sequence[Point]) -> QPolygonF:
        return QPolygonF([self._at(p) for p in points])

    def _pen(self, role: Role) -> QPen:
        """Return the role's line; never thinner than a hair on a screen."""
        style = PENS[role]
        width = max(style.width_mm * self._paper, 0.8)
        pen = QPen(QColor(_line_colour(role, self._theme)), width)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if style.dash_mm:
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            pen.setDashPattern([max(d * self._paper, 0.8) / width for d in style.dash_mm])
        return pen

    def stroke(self, item: Stroke) -> None:
        """Draw a polyline."""
        self._painter.setPen(self._pen(item.role))
        self._painter.setBrush(QBrush())
        polygon = self._polygon(item.points)
        if item.closed:
            self._painter.drawPolygon(polygon)
        else:
            self._painter.drawPolyline(polygon)

    def fill(self, item: Fill) -> None:
        """Fill an area, even-odd."""
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.OddEvenFill)
        for ring in item.rings:
            path.addPolygon(self._polygon(ring))
            path.closeSubpath()
        self._painter.fillPath(path, QColor(_fill_colour(item.role, item.level, self._theme)))

    def label(self, item: Label) -> None:
        """Write a line of text, centred in height on its place."""
        painter = self._painter
        font = QFont(painter.font())
        font.setPixelSize(max(round(item.size_mm * self._paper), 1))
        font.setBold(item.bold)
        metrics = QFontMetricsF(font)
        width, height = metrics.horizontalAdvance(item.text), metrics.height()
        at = self._at(item.at) + QPointF(
            item.offset_mm.z * self._paper, -item.offset_mm.r * self._paper
        )
        left = at.x() - {"start": 0.0, "middle": width / 2, "end": width}[item.anchor]
        box = QRectF(left, at.y() - height / 2, width, height)
        painter.save()
        painter.setFont(font)
        if item.backed:
            painter.fillRect(box.adjusted(-2, 0, 2, 0), QColor(self._theme.paper))
        painter.setPen(QColor(_line_colour(item.role, self._theme)))
        painter.drawText(box.adjusted(-4, -4, 4, 4), Qt.AlignmentFlag.AlignCenter, item.text)
        painter.restore()

    def arrow(self, item: Arrow) -> None:
        """Draw a line with an arrow head at its end, or at both."""
        start, end = self._at(item.start), self._at(item.end)
        self._painter.setPen(self._pen(item.role))
        self._painter.drawLine(start, end)
        for tip, tail in ((end, start), (start, end))[: 2 if item.both else 1]:
            self._head(tip, tail, item.role)

    def _head(self, tip: QPointF, tail: QPointF, role: Role) -> None:
        length = math.hypot(tip.x() - tail.x(), tip.y() - tail.y())
        if length <= 0:
            return
        along = (tail - tip) / length
        aside = QPointF(-along.y(), along.x())
        back = tip + along * (_ARROW_MM * self._paper)
        half = aside * (_ARROW_HALF_MM * self._paper)
        self._disc([tip, back + half, back - half], role)

    def spot(self, item: Spot) -> None:
        """Draw a small disc."""
        radius = item.size_mm * self._paper / 2
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(QColor(_line_colour(item.role, self._theme)))
        self._painter.drawEllipse(self._at(item.at), radius, radius)

    def _disc(self, points: Iterable[QPointF], role: Role) -> None:
        self._painter.save()
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(QColor(_line_colour(role, self._theme)))
        self._painter.drawPolygon(QPolygonF(list(points)))
        self._painter.restore()


def _line_colour(role: Role, theme: Theme) -> str:
    if role == "layer":
        return mixed(theme.layer_dark, theme.ink, 0.2)
    if role in ("narrow", "axis", "blank", "shade", "faint"):
        return theme.narrow
    named = {
        "hatch": theme.hatch,
        "path": theme.chosen,
        "chosen": theme.chosen,
        "danger": theme.danger,
        "paper": theme.paper,
    }
    return named.get(role, theme.ink)


def _fill_colour(role: Role, level: float, theme: Theme) -> str:
    if role == "layer":
        return mixed(theme.layer_light, theme.layer_dark, level)
    if role == "shade":
        return mixed(theme.shade_light, theme.shade_dark, level)
    named = {
        "part": theme.part,
        "jaws": theme.desk,
        "holder": theme.desk,
        "tool": theme.tool,
        "danger": theme.danger_light,
        "paper": theme.paper,
    }
    return named.get(role, _line_colour(role, theme))
