"""Words at places of the board: what is open in the print, what the plan objects to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.text import told, tr
from turnsketch.document.bores import all_sections
from turnsketch.part.outline_records import PartIssue
from turnsketch.plan_records import Finding, LeftOver

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardState

__all__ = ["Note", "paint_notes", "placed_notes"]

_MOST = 4
_WIDEST_PX = 430.0
_HIGH = 10_000.0
_PAD, _GAP = 8.0, 3.0
_WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_KIND_WORDS = {
    "open": "free",
    "repeat": "repeated",
    "contradiction": "contradicts",
    "ill-posed": "doubtful",
}
_SIGNS = {"stop": "■", "caution": "▲", "note": "●"}


@dataclass(frozen=True, slots=True)
class Note:
    """Words that belong to a place on the board."""

    at: QPointF
    text: str
    danger: bool


def paint_notes(painter: QPainter, board: BoardState) -> None:
    """Write what belongs to a place, each with a leader, beyond the lengths."""
    theme = board.theme
    for note, box in placed_notes(board):
        painter.setPen(cosmetic(theme.danger if note.danger else theme.ink, 1.4))
        foot = QPointF(min(max(note.at.x(), box.left()), box.right()), box.center().y())
        painter.drawLine(note.at, foot)
        painter.setBrush(QColor(theme.paper))
        painter.drawRect(box)
        painter.setPen(QColor(theme.ink))
        painter.drawText(box.adjusted(_PAD, 2, -_PAD, -2), _WRAPPED, note.text)


def placed_notes(board: BoardState) -> list[tuple[Note, QRectF]]:
    """Return the notes with their boxes: beyond the lengths, clear of the title block.

    Where there is no room between the two they move toward the axis, over the turned body.
    """
    notes = [*_issue_notes(board), *_plan_notes(board)][:_MOST]
    metrics, frame = QFontMetricsF(board.font()), board.frame()
    widest = min(_WIDEST_PX, frame.width() - 24.0)
    whole = QRectF(0.0, 0.0, widest - 2 * _PAD, _HIGH)
    sizes = [metrics.boundingRect(whole, _WRAPPED, note.text).size() for note in notes]
    total = sum(size.height() + _GAP + 4 for size in sizes)
    start, way = _start(board, total), -1.0 if board.lens.turned else 1.0
    placed, y = [], start
    for note, size in zip(notes, sizes, strict=True):
        width, height = size.width() + 2 * _PAD + 2, size.height() + 4
        left = max(min(note.at.x() - 40, frame.right() - width - 10), frame.left() + 10)
        placed.append((note, QRectF(left, y if way > 0 else y - height, width, height)))
        y += way * (height + _GAP)
    return placed


def _start(board: BoardState, total: float) -> float:
    """Return where the first note begins (y), so that all find room if they can."""
    lens, frame = board.lens, board.frame()
    boxes = [length.box for length in board.layout_now().lengths]
    if lens.turned:
        start = min([lens.y(-board.drawing.radius), *(box.top for box in boxes)]) - 7.0
        return min(max(start, frame.top() + 8.0 + total), lens.y0 - 14.0)
    start = max([lens.y(-board.drawing.radius), *(b.top + b.height for b in boxes)]) + 7.0
    title = min(field.box.top() for field in board.title_fields())
    return max(min(start, title - 2.0 - total), lens.y0 + 14.0)


def _issue_notes(board: BoardState) -> list[Note]:
    notes = []
    for issue in board.drawing.issues:
        at = _issue_pixel(board, issue)
        if at is not None:
            text = f"{tr(_KIND_WORDS[issue.kind])}: {told(issue.message)}"
            notes.append(Note(at, text, issue.kind == "contradiction"))
    return notes


def _issue_pixel(board: BoardState, issue: PartIssue) -> QPointF | None:
    """Return where an issue belongs: its place, its section, or the length that it is about."""
    drawing, lens = board.drawing, board.lens
    place = issue.place
    if place is None and issue.section is not None:
        if not 1 <= issue.section <= len(all_sections(drawing.job.part)):
            return None
        place = drawing.middle(issue.section)
    elif place is not None and issue.section is not None:
        chain = drawing.chain_of(issue.section)  # the back end's bore is solved turned around
        place = place if chain is None else chain.in_part(place)
    if place is not None:
        return QPointF(lens.x(place.z), lens.y(place.r))
    lengths = board.layout_now().lengths
    for length in lengths:
        if length.dimension.doubt:
            box, others = length.box, [other.box for other in lengths if other is not length]
            beside = (box.left + box.width + 8.0, box.left - 8.0)
            clear = [x for x in beside if not any(b.left <= x <= b.left + b.width for b in others)]
            return QPointF((clear or beside)[0], length.y)
    return None


def _plan_notes(board: BoardState) -> list[Note]:
    """Return what the replay objects to in this pass, and after the last one what stays."""
    plan, found = board.plan, board.plan_item.current()
    if plan is None or found is None:
        return []
    setup, number = found[0], found[1].number
    notes = [_of_finding(board, f) for f in plan.findings if _belongs(f, setup.number, number)]
    if setup is plan.setups[-1] and number == setup.passes[-1].number:
        notes += [_of_left_over(board, left) for left in plan.finished.left_over]
    return notes


def _belongs(finding: Finding, setup: int, number: int) -> bool:
    placed = finding.z is not None and finding.severity != "note"
    return placed and (finding.setup or 1, finding.pass_number) == (setup, number)


def _of_finding(board: BoardState, finding: Finding) -> Note:
    lens, z = board.lens, board.plan_item.part_z(finding.z or 0.0)
    r = finding.r if finding.r is not None else board.drawing.radius
    text = f"{_SIGNS[finding.severity]} {told(finding.message)}"
    return Note(QPointF(lens.x(z), lens.y(r)), text, finding.severity == "stop")


def _of_left_over(board: BoardState, left: LeftOver) -> Note:
    z = board.plan_item.part_z((left.z[0] + left.z[1]) / 2)
    at = QPointF(board.lens.x(z), board.lens.y(_radius_at(board, z)))
    words = tr("{volume:.2g} mm³ stays: {reason}").format(
        volume=left.volume_mm3, reason=told(left.reason)
    )
    return Note(at, f"▲ {words}", False)


def _radius_at(board: BoardState, z: float) -> float:
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
