"""What of the work must be seen, and in which part of the board."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from turnsketch.desk.board.dimension_layout import Layout
from turnsketch.desk.board.drawing import Drawing
from turnsketch.desk.board.sheet_frame import TITLE_ROW_LINES

__all__ = ["fitting"]

_NOTE_LINES = 3
"""Room below the lengths for what is said of the plan there."""


def fitting(
    drawing: Drawing, frame: QRectF, line_px: float, turned: bool, layout: Layout
) -> tuple[QRectF, QRectF]:
    """Return what is to be seen (scene, mm) and the room for it (pixels).

    Tags stand on the side of the half section and lengths on that of the body, so the room leaves
    some lines of text there; jaws, which are higher than the work, must stay inside the frame too.

    Parameters
    ----------
    drawing : Drawing
        What is on show.
    frame : QRectF
        The drawing frame, pixels.
    line_px : float
        Height of a line of text.
    turned : bool
        The section is below the axis.
    layout : Layout
        The dimensions as they stand now: how many rows and lanes they take.
    """
    rows = 1 + max((len(tag.way) // 3 for tag in layout.tags), default=0)
    lanes = len({round(length.y) for length in layout.lengths})
    above = max(5.5 * line_px + 20, (rows + 1) * (line_px + 10) + 20)
    title = 3 * TITLE_ROW_LINES * line_px
    below = max(10.5 * line_px, title + lanes * (line_px + 10) + 26 + _NOTE_LINES * line_px)
    if turned:
        above, below = 0.7 * below, above + 5 * line_px
    most = min(0.45 + 0.03 * max(lanes - 4, 0), 0.57)  # many lengths get more of the sheet
    above, below = min(above, 0.3 * frame.height()), min(below, most * frame.height())
    room = frame.adjusted(28, above, -36, -below)
    return _with_jaws(drawing, _content(drawing), room, frame), room


def _content(drawing: Drawing) -> QRectF:
    low, high = -max(drawing.length, 1.0), 0.0
    radius = max(drawing.radius, 1.0)
    if drawing.blank is not None:
        low, high = min(low, drawing.blank.back), max(high, drawing.blank.front)
        radius = max(radius, drawing.blank.radius)
    return QRectF(low, -radius, high - low, 2 * radius)


def _with_jaws(drawing: Drawing, box: QRectF, room: QRectF, frame: QRectF) -> QRectF:
    """Return the content made larger so that the jaws stay inside the frame."""
    up = min(abs(room.center().y() - y) for y in (frame.top(), frame.bottom())) - 12.0
    scale = min(room.width() / box.width(), room.height() / box.height())
    if drawing.jaws <= 0 or up <= 0 or scale <= 0 or drawing.jaws * scale <= up:
        return box
    height = room.height() * drawing.jaws / up
    return QRectF(box.left(), -height / 2, box.width(), height)
