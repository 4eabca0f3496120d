"""Short texts beside the pointer, and sizes in the job's units."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.text import told, tr
from turnsketch.desk.theme import Theme
from turnsketch.document.bores import all_sections
from turnsketch.document.dimension_edit import number_text
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.units import Units

__all__ = [
    "diameter_words",
    "section_words",
    "size_words",
    "text_size",
    "write_beside",
    "write_in",
]

MINUS = "−"


def size_words(at: Point, units: Units, *, inside: bool = False) -> str:
    """Return a vertex's diameter and distance from the front face, short."""
    z = number_text(abs(at.z), units)
    return f"{diameter_words(at.r, units, inside=inside)}  Z {MINUS if at.z < 0 else ''}{z}"


def diameter_words(radius: float, units: Units, *, inside: bool) -> str:
    """Return the diameter of a place on the outside, or of one inside, short."""
    size = number_text(2.0 * radius, units)
    return tr("Ø{size} inside", size=size) if inside else f"Ø{size}"


def section_words(job: Job, numbers: Sequence[int]) -> str:
    """Return the chosen sections in words, for screen readers."""
    words, sections = [], all_sections(job.part)
    for number in numbers:
        section = sections[number - 1]
        sizes = (section.diameter, section.thread, section.back_diameter)
        size = next(filter(None, (*sizes, section.radius, section.angle)), "")
        parts = (section.name, told(section.kind), size, section.length or "")
        words.append(f"{number}: " + " ".join(word for word in parts if word))
    return "; ".join(words) or tr("Drawing of the part; arrows go along its sections.")


def write_beside(
    painter: QPainter, at: QPointF, text: str, theme: Theme, *, bold: bool = False
) -> QRectF:
    """Write a text on paper to the upper right of a pixel, and return the box it takes.

    It keeps inside the device: near its edges the text goes to the other side.
    """
    font = painter.font()
    font.setBold(bold)
    metrics = QFontMetricsF(font)
    size = text_size(metrics, text)
    room = painter.window()
    left = at.x() + 14 if at.x() + 14 + size.width() < room.width() else at.x() - 14 - size.width()
    top = at.y() - 14 - size.height() if at.y() - 14 - size.height() > 0 else at.y() + 14
    box = QRectF(QPointF(left, top), size)
    write_in(painter, box, text, theme, bold=bold)
    return box


def text_size(metrics: QFontMetricsF, text: str) -> QSizeF:
    """Return what a text of one or more lines takes with a little paper around it."""
    lines = text.split("\n")
    width = max(metrics.horizontalAdvance(line) for line in lines) + 14
    return QSizeF(width, metrics.height() * len(lines) + 8)


def write_in(
    painter: QPainter, box: QRectF, text: str, theme: Theme, *, bold: bool = False
) -> None:
    """Write a text on paper in a box with a teal edge."""
    painter.save()
    font = painter.font()
    font.setBold(bold)
    painter.setFont(font)
    painter.setBrush(QColor(theme.paper))
    painter.setPen(cosmetic(theme.chosen, 1.2))
    painter.drawRect(box)
    painter.setPen(QColor(theme.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.restore()
