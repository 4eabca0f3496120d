"""The drawing frame and the title block, in pixels, with fields that can be edited in place."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter

from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.text import tr
from turnsketch.desk.theme import Theme
from turnsketch.document.edits import set_part, set_title
from turnsketch.job import Job

__all__ = [
    "FIELDS",
    "TITLE_ROW_LINES",
    "TitleField",
    "changed",
    "frame_rect",
    "paint_frame",
    "title_fields",
]

_MARGIN, _PAD = 12.0, 8.0
TITLE_ROW_LINES = 2.3
"""Height of a row of the title block in lines of text."""
FIELDS = ("title", "name", "material", "general_tolerance")
"""Fields that can be edited, in the order of Tab."""


@dataclass(frozen=True, slots=True)
class TitleField:
    """One field of the title block."""

    key: str
    label: str
    value: str
    box: QRectF


def frame_rect(width: float, height: float) -> QRectF:
    """Return the drawing frame inside a board of that size."""
    return QRectF(_MARGIN, _MARGIN, width - 2 * _MARGIN, height - 2 * _MARGIN)


def title_fields(job: Job, mark: str, frame: QRectF, font: QFont) -> tuple[TitleField, ...]:
    """Return the title block's fields with their places, after the manner of ISO 7200."""
    metrics, part = QFontMetricsF(font), job.part
    row = metrics.height() * TITLE_ROW_LINES
    width = _width(job, metrics, frame)
    left, top = frame.right() - width, frame.bottom() - 3 * row
    half = width / 2
    cells = (
        ("title", tr("title"), job.title, QRectF(left, top, width, row)),
        ("name", tr("part"), part.name, QRectF(left, top + row, half, row)),
        ("material", tr("material"), part.material, QRectF(left + half, top + row, half, row)),
        (
            "general_tolerance",
            tr("tolerances"),
            part.general_tolerance,
            QRectF(left, top + 2 * row, half, row),
        ),
        ("mark", tr("mark"), mark or "–", QRectF(left + half, top + 2 * row, half, row)),
    )
    return tuple(TitleField(*cell) for cell in cells)


def _width(job: Job, metrics: QFontMetricsF, frame: QRectF) -> float:
    """Return the width of the block: a share of the frame, and more where a value needs it."""
    part = job.part
    halves = (part.name, part.material, part.general_tolerance)
    needed = max(
        metrics.horizontalAdvance(job.title),
        *(2 * metrics.horizontalAdvance(value) + 2 * _PAD for value in halves),
    )
    usual = min(frame.width() * 0.62, max(340.0, metrics.height() * 20.0))
    return min(frame.width(), max(usual, needed + 2 * _PAD + 2.0))


def changed(job: Job, key: str, value: str) -> Job:
    """Return the job with one field of the title block changed."""
    return set_title(job, value) if key == "title" else set_part(job, **{key: value.strip()})


def paint_frame(
    painter: QPainter,
    frame: QRectF,
    fields: tuple[TitleField, ...],
    theme: Theme,
    hovered: str | None = None,
    *,
    focused: bool = False,
) -> None:
    """Draw the frame and the title block; a second line says that the keys come here."""
    painter.setBrush(QBrush())
    if focused:
        painter.setPen(cosmetic(theme.chosen, 2.0))
        painter.drawRect(frame.adjusted(-5, -5, 5, 5))
    painter.setPen(cosmetic(theme.ink, 1.2))
    painter.drawRect(frame)
    _centring_marks(painter, frame, theme)
    font = painter.font()
    for field in fields:
        back = theme.chosen_light if field.key == hovered else theme.paper
        painter.setPen(cosmetic(theme.ink, 1.2))
        painter.setBrush(QColor(back))
        painter.drawRect(field.box)
        inside = field.box.adjusted(_PAD, 2.0, -_PAD, -2.0)
        painter.setPen(QColor(theme.narrow))
        painter.drawText(inside, Qt.AlignmentFlag.AlignTop, field.label)
        painter.setPen(QColor(theme.ink))
        value = QFontMetricsF(font).elidedText(
            field.value or "–", Qt.TextElideMode.ElideRight, inside.width()
        )
        painter.drawText(inside, Qt.AlignmentFlag.AlignBottom, value)
    painter.setBrush(QBrush())


def _centring_marks(painter: QPainter, frame: QRectF, theme: Theme) -> None:
    """Draw the short marks in the middle of the sides that a drawing sheet has (ISO 5457)."""
    painter.setPen(cosmetic(theme.ink, 1.2))
    middle = frame.center()
    for a, b in (
        (QPointF(frame.left() - 6, middle.y()), QPointF(frame.left() + 5, middle.y())),
        (QPointF(frame.right() - 5, middle.y()), QPointF(frame.right() + 6, middle.y())),
        (QPointF(middle.x(), frame.top() - 6), QPointF(middle.x(), frame.top() + 5)),
        (QPointF(middle.x(), frame.bottom() - 5), QPointF(middle.x(), frame.bottom() + 6)),
    ):
        painter.drawLine(a, b)
