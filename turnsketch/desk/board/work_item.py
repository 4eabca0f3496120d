"""The work on the board: blank, jaws, half section above the axis, turned body below."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from turnsketch.desk.board.drawing import JAW_SHARE, BlankBox, Drawing
from turnsketch.desk.board.feature_paint import (
    paint_bore_edges,
    paint_knurls,
    paint_threads,
    section_path,
)
from turnsketch.desk.board.pens import AXIS, BLANK, add_element, cosmetic, path_of_rings
from turnsketch.desk.board.shading import fill_hatched, fill_turned
from turnsketch.desk.theme import LIGHT, Theme
from turnsketch.geometry.elements import Point
from turnsketch.part.outline_records import OutlineElement

__all__ = ["SEE_THROUGH", "WorkItem"]

_AXIS_BEYOND_PX = 16.0
_FAR = 1e5
SEE_THROUGH = 0.45
"""Opacity of areas while a picture of the print lies below them."""


class WorkItem(QGraphicsItem):
    """Paints one `Drawing`. The scene's y is minus r; the board may turn it over."""

    def __init__(self) -> None:
        super().__init__()
        self.theme: Theme = LIGHT
        self.chosen: frozenset[int] = frozenset()
        self.hovered: int | None = None
        self.with_holding = True
        """False while a plan shows the real jaws."""
        self.with_blank = True
        """False while a later setup shows what it began with in the bar's place."""
        self.body_below = True
        """False while a plan shows what remains."""
        self.removal = False
        """Tint all that comes off: while something is dragged the plan's layers are out of date."""
        self.print_below: Callable[[], bool] = bool
        """Whether a picture of the print is shown below, which fills must let through."""
        self._drawing: Drawing | None = None
        self._ink = QPainterPath()
        self._pencil = QPainterPath()
        self._section = QPainterPath()
        self._below = QPainterPath()
        self._edges: list[Point] = []

    def show_drawing(self, drawing: Drawing) -> None:
        """Take another drawing."""
        self._drawing = drawing
        self._ink, self._pencil = QPainterPath(), QPainterPath()
        self._below = QPainterPath()
        for index, element in enumerate(drawing.elements):
            add_element(self._below, element.shape, start=index == 0, mirrored=True)
        self._section = section_path(drawing)
        self._add_lines(drawing, drawing.elements)
        for bore in drawing.bores:
            self._add_lines(drawing, bore.wall)
        self._edges = [p.shape.end for p in drawing.elements[:-1]]
        self.update()

    def _add_lines(self, drawing: Drawing, elements: Sequence[OutlineElement]) -> None:
        """Add a chain to what is drawn in ink, or in pencil."""
        last: Point | None = None
        inked_before: bool | None = None
        for element in elements:
            inked = element.section is None or element.section in drawing.fixed
            if element.section is None and drawing.job.part.sections and not drawing.fixed:
                inked = False
            path = self._ink if inked else self._pencil
            apart = last is None or last.distance(element.shape.start) > 1e-6
            add_element(path, element.shape, start=apart or inked != inked_before)
            last, inked_before = element.shape.end, inked

    def boundingRect(self) -> QRectF:  # noqa: N802 - Qt's name
        """Return all of the scene: the axis has no end and the pens have no size in it."""
        return QRectF(-_FAR, -_FAR, 2 * _FAR, 2 * _FAR)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw from back to front: jaws, body, section, lines."""
        drawing = self._drawing
        if drawing is None:
            return
        if drawing.blank is not None and self.with_holding:
            self._paint_jaws(painter, drawing.blank)
        if drawing.blank is not None and self.removal:
            self._paint_removal(painter, drawing, drawing.blank)
        painter.setOpacity(SEE_THROUGH if self.print_below() else 1.0)
        if drawing.elements:
            if self.body_below:
                plain = len({e.role for e in drawing.elements}) == 2 and len(drawing.elements) == 3
                fill_turned(painter, self._below, self.theme, plain=plain)
                self._paint_edges(painter)
                paint_knurls(painter, drawing, self.theme)
            fill_hatched(painter, self._section, self.theme)
            paint_bore_edges(painter, drawing, self.theme)
        painter.setOpacity(1.0)
        if drawing.blank is not None and self.with_blank:
            self._paint_blank(painter, drawing.blank)
        self._paint_axis(painter, drawing)
        self._paint_outline(painter, drawing)
        paint_threads(painter, drawing, self.theme, below=self.body_below)

    def _paint_edges(self, painter: QPainter) -> None:
        """Draw the rings that corners make on the turned body, and its silhouette."""
        painter.setPen(cosmetic(self.theme.narrow, 1.0))
        for point in self._edges:
            painter.drawLine(QPointF(point.z, 0.0), QPointF(point.z, point.r))
        painter.setPen(cosmetic(self.theme.narrow, 1.2))
        painter.setBrush(QBrush())
        painter.drawPath(self._below)

    def _paint_jaws(self, painter: QPainter, blank: BlankBox) -> None:
        if blank.jaw_face is None:
            return
        height = JAW_SHARE * blank.radius
        box = QRectF(blank.back, blank.radius, blank.jaw_face - blank.back, height)
        painter.setPen(cosmetic(self.theme.ink, 1.6))
        painter.setBrush(QColor(self.theme.desk))
        painter.drawRect(box)
        painter.drawRect(box.translated(0.0, -2 * blank.radius - height))

    def _paint_removal(self, painter: QPainter, drawing: Drawing, blank: BlankBox) -> None:
        """Tint the blank over the length of the part; the section is drawn over it."""
        length = blank.front + drawing.length
        box = QRectF(-drawing.length, -blank.radius, length, blank.radius)
        painter.save()
        painter.setClipRect(box)
        painter.fillPath(path_of_rings([blank.ring]), QColor(self.theme.layer_light))
        painter.restore()

    def _paint_blank(self, painter: QPainter, blank: BlankBox) -> None:
        painter.setBrush(QBrush())
        painter.setPen(cosmetic(self.theme.narrow, 1.2, BLANK))
        for a, b in pairwise((*blank.ring, blank.ring[0])):
            if a.r <= 0.0 and b.r <= 0.0:
                continue
            for side in (-1.0, 1.0):
                painter.drawLine(QPointF(a.z, side * a.r), QPointF(b.z, side * b.r))
        if blank.flat is not None:  # where the flats stand, a hexagon or square is thinner
            painter.setPen(cosmetic(self.theme.narrow, 0.8))
            for side in (-1.0, 1.0):
                y = side * blank.flat
                painter.drawLine(QPointF(blank.back, y), QPointF(blank.front, y))

    def _paint_axis(self, painter: QPainter, drawing: Drawing) -> None:
        low, high = -drawing.length, 0.0
        if drawing.blank is not None:
            low, high = min(low, drawing.blank.back), max(high, drawing.blank.front)
        beyond = _AXIS_BEYOND_PX / (abs(painter.worldTransform().m11()) or 1.0)
        painter.setPen(cosmetic(self.theme.narrow, 1.1, AXIS))
        painter.drawLine(QPointF(low - beyond, 0.0), QPointF(high + beyond, 0.0))

    def _paint_outline(self, painter: QPainter, drawing: Drawing) -> None:
        """Draw pencil thin and doubled, ink firm, the chosen wide."""
        theme = self.theme
        painter.setBrush(QBrush())
        if not self._pencil.isEmpty():
            painter.setPen(cosmetic(theme.pencil, 3.8))
            painter.drawPath(self._pencil)
            painter.setPen(cosmetic(theme.paper, 1.8))
            painter.drawPath(self._pencil)
        painter.setPen(cosmetic(theme.ink, 2.2))
        painter.drawPath(self._ink)
        for number in self.chosen | ({self.hovered} if self.hovered else frozenset()):
            path = QPainterPath()
            for element in drawing.of_section(number):
                add_element(path, element.shape, start=True)
            wide = 4.0 if number in self.chosen else 2.6
            painter.setPen(cosmetic(theme.chosen, wide))
            painter.drawPath(path)
