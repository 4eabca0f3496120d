"""Bores in the half section, threads after ISO 6410-1, knurls: lines and fills of the work."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QTransform

from turnsketch.desk.board.drawing import Drawing
from turnsketch.desk.board.features import DrawnBore
from turnsketch.desk.board.pens import add_element, cosmetic
from turnsketch.desk.theme import Theme
from turnsketch.part.outline_records import ResolvedThread

__all__ = ["paint_bore_edges", "paint_knurls", "paint_threads", "section_path"]

_SAME = 1e-6


def section_path(drawing: Drawing) -> QPainterPath:
    """Return the cut face above the axis: the outside less its bores."""
    section = QPainterPath()
    for index, element in enumerate(drawing.elements):
        add_element(section, element.shape, start=index == 0)
    if not drawing.bores:
        return section
    void = _void_path(drawing.bores[0])
    for bore in drawing.bores[1:]:
        void = void.united(_void_path(bore))
    section.closeSubpath()
    section.setFillRule(Qt.FillRule.OddEvenFill)
    section.addPath(void)
    return section


def _void_path(bore: DrawnBore) -> QPainterPath:
    path = QPainterPath()
    for index, element in enumerate(bore.void):
        add_element(path, element.shape, start=index == 0)
    path.closeSubpath()
    return path


def paint_bore_edges(painter: QPainter, drawing: Drawing, theme: Theme) -> None:
    """Draw the rings that one sees behind the cut, from a bore's corners to the axis."""
    lines = []
    for bore in drawing.bores:
        places = {
            (round(p.z, 6), p.r)
            for element in bore.wall
            if element.role != "face"
            for p in (element.shape.start, element.shape.end)
            if p.r > _SAME
        }
        lines += [QLineF(z, 0.0, z, -r) for z, r in places]
    if lines:
        painter.setPen(cosmetic(theme.ink, 1.1))
        painter.drawLines(lines)


def paint_threads(painter: QPainter, drawing: Drawing, theme: Theme, *, below: bool) -> None:
    """Draw the thin line of every thread, and the wide one where it ends.

    Outside the thin line stands at the minor diameter, in a bore at the major one. `below` draws
    it on the turned body, too, where the thread is outside.
    """
    for thread in drawing.threads:
        crest, root = _crest_and_root(thread)
        sides = (-1.0, 1.0) if below and not thread.inside else (-1.0,)
        ends = _ends_short(drawing, thread)
        for side in sides:
            painter.setPen(cosmetic(theme.ink, 1.0))
            painter.drawLine(
                QPointF(thread.front_z, side * root), QPointF(thread.back_z, side * root)
            )
            if ends is not None:
                painter.setPen(cosmetic(theme.ink, 2.2))
                foot = 0.0 if side > 0 else root
                painter.drawLine(QPointF(ends, side * foot), QPointF(ends, side * crest))


def _crest_and_root(thread: ResolvedThread) -> tuple[float, float]:
    """Return the radii of the wide and of the thin line."""
    major, minor = thread.major.nominal / 2, thread.minor.nominal / 2
    return (minor, major) if thread.inside else (major, minor)


def _ends_short(drawing: Drawing, thread: ResolvedThread) -> float | None:
    """Return where the usable thread ends inside its section; None: it runs to its end."""
    ends = [p.z for p in drawing.ends(thread.section)]
    for z in (thread.back_z, thread.front_z):
        if min(abs(z - end) for end in ends) > 0.01 and not _in_groove(drawing, z):
            return z
    return None


def _in_groove(drawing: Drawing, z: float) -> bool:
    """Return whether a groove begins or ends there: the thread runs out into it."""
    return any(
        abs(z - p.z) <= 0.01
        for groove in drawing.grooves
        for element in groove.elements
        for p in (element.start, element.end)
    )


def paint_knurls(painter: QPainter, drawing: Drawing, theme: Theme) -> None:
    """Hint at the pattern of every knurl on the turned body: along the axis, or crossing."""
    scale = abs(painter.worldTransform().m11()) or 1.0
    for knurl in drawing.knurls:
        radius = knurl.blank.nominal / 2
        box = QRectF(knurl.back_z, 0.0, knurl.front_z - knurl.back_z, radius)
        pattern = Qt.BrushStyle.HorPattern if knurl.straight else Qt.BrushStyle.DiagCrossPattern
        brush = QBrush(QColor(theme.narrow), pattern)
        brush.setTransform(QTransform.fromScale(1.0 / scale, 1.0 / scale))
        painter.fillRect(box, brush)
