"""Words at places of the board: what is open in the print, what the plan objects to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from turnsketch.desk.board.editors import tr
from turnsketch.desk.board.labels import text_size
from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.board.plan_path import readings_words
from turnsketch.part.outline_records import PartIssue
from turnsketch.plan_records import Finding, LeftOver

if TYPE_CHECKING:
    from turnsketch.desk.board.view import Board

__all__ = ["ReadingBox", "paint_leader", "paint_notes", "reading_box"]

_MOST = 4
_WIDEST_PX = 430.0
_KIND_WORDS = {
    "open": "free",
    "repeat": "repeated",
    "contradiction": "contradicts",
    "ill-posed": "doubtful",
}
_SIGNS = {"stop": "■", "caution": "▲", "note": "●"}


@dataclass(frozen=True, slots=True)
class _Note:
    at: QPointF
    text: str
    danger: bool


def paint_notes(painter: QPainter, board: Board) -> None:
    """Write what belongs to a place, each with a leader, on the side of the turned body."""
    notes = _issue_notes(board) if board.plan is None else []
    notes = [*notes, *_plan_notes(board)][:_MOST]
    theme, metrics = board.theme, QFontMetricsF(board.font())
    frame, lens = board.frame(), board.lens
    height = metrics.height() + 4
    for index, note in enumerate(notes):
        words = metrics.elidedText(note.text, Qt.TextElideMode.ElideRight, _WIDEST_PX)
        width = metrics.horizontalAdvance(words) + 16
        left = max(min(note.at.x() - 40, frame.right() - width - 10), frame.left() + 10)
        top = lens.y0 - lens.up * (14 + index * (height + 4)) - (height if lens.turned else 0)
        box = QRectF(left, top, width, height)
        painter.setPen(cosmetic(theme.danger if note.danger else theme.ink, 1.4))
        foot = QPointF(min(max(note.at.x(), box.left()), box.right()), box.center().y())
        painter.drawLine(note.at, foot)
        painter.setBrush(QColor(theme.paper))
        painter.drawRect(box)
        painter.setPen(QColor(theme.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


def _issue_notes(board: Board) -> list[_Note]:
    notes = []
    for issue in board.drawing.issues:
        at = _issue_pixel(board, issue)
        if at is not None:
            text = f"{tr(_KIND_WORDS[issue.kind])}: {issue.message}"
            notes.append(_Note(at, text, issue.kind == "contradiction"))
    return notes


def _issue_pixel(board: Board, issue: PartIssue) -> QPointF | None:
    """Return where an issue belongs: its place, its section, or the length that it is about."""
    drawing, lens = board.drawing, board.lens
    place = issue.place
    if place is None and issue.section is not None:
        if not 1 <= issue.section <= len(drawing.job.part.sections):
            return None
        place = drawing.middle(issue.section)
    if place is not None:
        return QPointF(lens.x(place.z), lens.y(place.r))
    for length in board.layout_now().lengths:
        if length.dimension.doubt:
            box = length.box
            return QPointF(box.left + box.width / 2, box.top)
    return None


def _plan_notes(board: Board) -> list[_Note]:
    """Return what the replay objects to in this pass, and after the last one what stays."""
    plan, found = board.plan, board.plan_item.current()
    if plan is None or found is None:
        return []
    number = found[1].number
    notes = [_of_finding(board, f) for f in plan.findings if _belongs(f, number)]
    if number == found[0].passes[-1].number:
        notes += [_of_left_over(board, left) for left in plan.finished.left_over]
    return notes


def _belongs(finding: Finding, number: int) -> bool:
    placed = finding.z is not None and finding.severity != "note"
    return placed and finding.pass_number == number


def _of_finding(board: Board, finding: Finding) -> _Note:
    lens, z = board.lens, (finding.z or 0.0) + board.plan_item.offset
    r = finding.r if finding.r is not None else board.drawing.radius
    text = f"{_SIGNS[finding.severity]} {finding.message}"
    return _Note(QPointF(lens.x(z), lens.y(r)), text, finding.severity == "stop")


def _of_left_over(board: Board, left: LeftOver) -> _Note:
    z = (left.z[0] + left.z[1]) / 2 + board.plan_item.offset
    at = QPointF(board.lens.x(z), board.lens.y(_radius_at(board, z)))
    words = tr("{volume:.2g} mm³ stays: {reason}").format(
        volume=left.volume_mm3, reason=left.reason
    )
    return _Note(at, f"▲ {words}", False)


def _radius_at(board: Board, z: float) -> float:
    """Return about how far the outline stands out at a place."""
    near = [
        p.r
        for element in board.drawing.elements
        for p in (element.shape.start, element.shape.end)
        if min(element.shape.start.z, element.shape.end.z) - 1e-6
        <= z
        <= max(element.shape.start.z, element.shape.end.z) + 1e-6
    ]
    return min(near, default=board.drawing.radius)


@dataclass(frozen=True, slots=True)
class ReadingBox:
    """What the readout shows, and where it is written."""

    words: str
    box: QRectF
    at: QPointF
    """The tool's reference point."""


def reading_box(board: Board) -> ReadingBox | None:
    """Return the readout beside the tool: beyond the tags, so that it covers none of them."""
    found, place = board.plan_item.current(), board.plan_item.tool_place()
    if found is None or place is None or board.plan is None or board.work_item.removal:
        return None
    lens, frame = board.lens, board.frame()
    at = QPointF(lens.x(place.z), lens.y(place.r))
    words = readings_words(board.plan, *found, board.plan_item.share)
    font = QFont(board.font())
    font.setBold(True)
    size = text_size(QFontMetricsF(font), words)
    left = at.x() - size.width() - 70
    if left < frame.left() + 8:
        left = at.x() + 90
    tags = [tag.box for tag in board.layout_now().tags]
    if lens.turned:
        top = max([at.y() + 40, *(box.top + box.height + 14 for box in tags)])
    else:
        top = min([at.y() - 40, *(box.top - 14 for box in tags)]) - size.height()
    top = min(max(top, frame.top() + 8), frame.bottom() - size.height() - 8)
    return ReadingBox(words, QRectF(QPointF(left, top), size), at)


def paint_leader(painter: QPainter, board: Board, reading: ReadingBox) -> None:
    """Draw the line from the readout to the place that it reads."""
    painter.setPen(cosmetic(board.theme.chosen, 1.2))
    painter.drawLine(reading.at, reading.box.center())
