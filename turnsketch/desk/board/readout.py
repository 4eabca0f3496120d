"""The readout beside the tool: where its words stand, and which texts the tool covers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from turnsketch.desk.board.dimension_layout import Layout, PlacedTag
from turnsketch.desk.board.dimension_paint import rect_of
from turnsketch.desk.board.labels import text_size
from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.board.plan_path import readings_words

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardState

__all__ = ["ReadingBox", "clear_of_tool", "jaw_boxes", "paint_leader", "reading_box", "tool_area"]

_COVERED, _ON_JAWS, _CROSSED, _PIXEL = 1000.0, 120.0, 60.0, 0.2
"""What it costs a place: to cover a text or the tool, to lie on a jaw, to have its leader run
through a text, to be a pixel farther from the tool."""
_STEPS = 16
"""Places along a leader at which it is looked at."""


@dataclass(frozen=True, slots=True)
class ReadingBox:
    """What the readout shows, and where it is written."""

    words: str
    box: QRectF
    at: QPointF
    """The tool's reference point."""


def tool_area(board: BoardState) -> QPainterPath:
    """Return what tool and holder cover, in pixels; empty while no pass is on show."""
    area, lens = QPainterPath(), board.lens
    if board.plan is None or board.work_item.removal:
        return area
    for ring in board.plan_item.tool_rings():
        area.addPolygon(QPolygonF([QPointF(lens.x(p.z), lens.y(p.r)) for p in ring]))
        area.closeSubpath()
    return area


def clear_of_tool(board: BoardState, layout: Layout) -> Layout:
    """Return the layout without the tags that tool and holder stand over."""
    area = tool_area(board)
    if area.isEmpty():
        return layout
    free = tuple(tag for tag in layout.tags if not area.intersects(_around(rect_of(tag.box))))
    return Layout(layout.lengths, free)


def _around(box: QRectF) -> QRectF:
    return box.adjusted(-3.0, -3.0, 3.0, 3.0)


def jaw_boxes(board: BoardState) -> tuple[QRectF, ...]:
    """Return the jaws' blocks in pixels, the one on the side of the half section first."""
    blank, lens = board.drawing.blank, board.lens
    if blank is None or blank.jaw_face is None or board.plan_item.later:
        return ()  # a later setup has jaws of its own
    left, right = lens.x(blank.back), lens.x(blank.jaw_face)
    return tuple(
        QRectF(
            QPointF(left, lens.y(side * blank.radius)),
            QPointF(right, lens.y(side * board.drawing.jaws)),
        ).normalized()
        for side in (1.0, -1.0)
    )


def reading_box(board: BoardState) -> ReadingBox | None:
    """Return the readout beside the tool, where it covers nothing and its leader runs clear."""
    found, place = board.plan_item.current(), board.plan_item.tool_place()
    if found is None or place is None or board.plan is None or board.work_item.removal:
        return None
    at = QPointF(board.lens.x(place.z), board.lens.y(place.r))
    words = readings_words(board.plan, *found, board.plan_item.share)
    font = QFont(board.font())
    font.setBold(True)
    size = text_size(QFontMetricsF(font), words)
    tags = board.layout_now().tags
    places = [QRectF(corner, size) for corner in _places(board, at, size, tags)]
    area = tool_area(board)
    box = min(places, key=lambda box: _cost(board, box, at, tags, area))
    return ReadingBox(words, box, at)


def _places(
    board: BoardState, at: QPointF, size: QSizeF, tags: Sequence[PlacedTag]
) -> Iterator[QPointF]:
    """Yield places on both sides of the tool, beyond the tags, inside the frame."""
    frame, lens = board.frame(), board.lens
    if lens.turned:
        near = max([at.y() + 40, *(tag.box.top + tag.box.height + 14 for tag in tags)])
        tops = (near, near + 24, near + 48, frame.bottom() - size.height() - 10)
    else:
        near = min([at.y() - 40, *(tag.box.top - 14 for tag in tags)]) - size.height()
        tops = (near, near - 24, near - 48, frame.top() + 10)
    lowest, highest = frame.top() + 8, frame.bottom() - size.height() - 8
    leftmost, rightmost = frame.left() + 8, frame.right() - size.width() - 8
    for top in tops:
        for by in (-70, -30, -120, -180, -240):
            for left in (at.x() + by - size.width(), at.x() - by):
                yield QPointF(min(max(left, leftmost), rightmost), min(max(top, lowest), highest))


def _cost(
    board: BoardState, box: QRectF, at: QPointF, tags: Sequence[PlacedTag], area: QPainterPath
) -> float:
    """Return how bad a place for the readout is."""
    texts = [_around(rect_of(tag.box)) for tag in tags]
    titles = [field.box for field in board.title_fields()]
    covered = sum(box.intersects(other) for other in (*texts, *titles))
    covered += area.intersects(_around(box))
    jaws = sum(box.intersects(jaw) for jaw in jaw_boxes(board))
    way = box.center() - at
    line = [at + way * (step / _STEPS) for step in range(1, _STEPS)]
    crossed = sum(any(text.contains(point) for point in line) for text in texts)
    far = abs(way.x()) + abs(way.y())
    return _COVERED * covered + _ON_JAWS * jaws + _CROSSED * crossed + _PIXEL * far


def paint_leader(painter: QPainter, board: BoardState, reading: ReadingBox) -> None:
    """Draw the line from the readout to the place that it reads."""
    painter.setPen(cosmetic(board.theme.chosen, 1.2))
    painter.drawLine(reading.at, reading.box.center())
