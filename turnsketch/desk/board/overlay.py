"""What stands over the drawing, in pixels: dimensions, notes, frame, title block."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath

from turnsketch.desk.board.dimension_layout import Box, Layout, lay_out
from turnsketch.desk.board.dimension_list import dimensions_of
from turnsketch.desk.board.dimension_paint import paint_dimensions
from turnsketch.desk.board.drawing import Drawing
from turnsketch.desk.board.end_view import paint_end_view
from turnsketch.desk.board.labels import write_in
from turnsketch.desk.board.lens import Lens
from turnsketch.desk.board.notes import paint_notes
from turnsketch.desk.board.readout import jaw_boxes, paint_leader, reading_box
from turnsketch.desk.board.sheet_frame import paint_frame
from turnsketch.desk.text import told, tr

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardState

__all__ = ["LayoutCache", "paint_overlay"]


class LayoutCache:
    """Keeps the places of the dimensions until the drawing or the view changes."""

    def __init__(self) -> None:
        self._key: tuple[object, ...] = ()
        self._layout = Layout()

    def get(self, drawing: Drawing, lens: Lens, frame: QRectF, metrics: QFontMetricsF) -> Layout:
        """Return the layout for what is on show."""
        key = (id(drawing), lens, frame.getRect(), metrics.height())
        if key != self._key:
            self._key = key
            self._layout = lay_out(
                dimensions_of(drawing),
                lens,
                Box(frame.left(), frame.top(), frame.width(), frame.height()),
                _beyond(drawing),
                _jaw_face(drawing),
                metrics.horizontalAdvance,
                metrics.height() + 2.0,
            )
        return self._layout


def _beyond(drawing: Drawing) -> tuple[float, float]:
    """Return the radius that tags, and that lengths, must stand beyond."""
    radius = drawing.radius
    if drawing.blank is None:
        return radius, radius
    radius = max(radius, drawing.blank.radius)
    face = _jaw_face(drawing)
    if face is not None and -drawing.length < face:
        return radius, max(radius, drawing.jaws)
    return radius, radius


def _jaw_face(drawing: Drawing) -> float | None:
    return None if drawing.blank is None else drawing.blank.jaw_face


def paint_overlay(painter: QPainter, board: BoardState) -> None:
    """Draw everything that stands over the scene."""
    theme, frame = board.theme, board.frame()
    layout = board.layout_now()
    painter.setFont(board.font())
    painter.save()
    painter.setClipRect(frame)
    _paint_jaws_word(painter, board)
    reading = reading_box(board)
    if reading is not None:
        paint_leader(painter, board, reading)
    paint_dimensions(painter, layout, theme, board.hovered_key)
    paint_notes(painter, board)
    if board.problem or not board.drawing.elements:
        _paint_words(painter, board, frame)
    board.tool.paint(painter)
    if reading is not None:
        write_in(painter, reading.box, reading.words, theme, bold=True)
    painter.restore()
    _clear_margin(painter, board, frame)
    fields = board.title_fields()
    paint_end_view(painter, board)
    paint_frame(painter, frame, fields, theme, board.hovered_field, focused=board.hasFocus())


def _paint_jaws_word(painter: QPainter, board: BoardState) -> None:
    """Write what the blocks at the blank's end are, where the word has room."""
    boxes, words = jaw_boxes(board), tr("jaws")
    if not boxes:
        return
    inside, metrics = boxes[0].adjusted(8.0, 5.0, -4.0, -5.0), QFontMetricsF(board.font())
    if inside.width() < metrics.horizontalAdvance(words) or inside.height() < metrics.height():
        return
    painter.setPen(QColor(board.theme.narrow))
    side = Qt.AlignmentFlag.AlignBottom if board.lens.turned else Qt.AlignmentFlag.AlignTop
    painter.drawText(inside, side | Qt.AlignmentFlag.AlignLeft, words)


def _clear_margin(painter: QPainter, board: BoardState, frame: QRectF) -> None:
    """Keep the drawing inside its frame."""
    outside = QPainterPath()
    outside.setFillRule(Qt.FillRule.OddEvenFill)
    outside.addRect(QRectF(board.viewport().rect()))
    outside.addRect(frame)
    painter.fillPath(outside, QColor(board.theme.paper))


def _paint_words(painter: QPainter, board: BoardState, frame: QRectF) -> None:
    """Say how to begin where there is nothing, or why the part cannot be solved or drawn."""
    problem = board.drawing.problem or board.problem
    painter.setPen(QColor(board.theme.ink if problem else board.theme.narrow))
    text = tr("Draw the part from its front face: type Ø, Tab, length, Enter.")
    if problem:
        text = f"⚠ {told(problem)}"
    box = frame.adjusted(40, 14, -40, -frame.height() * 0.7)
    wrapped = Qt.TextFlag.TextWordWrap
    painter.drawText(box, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignHCenter | wrapped, text)
