"""Cosmetic pens, paths and fonts of the board: widths in pixels at any zoom."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QGuiApplication, QPainterPath, QPen, QPolygonF

from turnsketch.geometry.elements import Element, Line, Point

__all__ = ["AXIS", "BLANK", "POSITION", "add_element", "cosmetic", "path_of_rings", "scene_point"]

AXIS = (14.0, 3.0, 1.5, 3.0)
"""Chain line (ISO 128: long dash, dot), in pixels."""

BLANK = (12.0, 3.0, 1.5, 3.0, 1.5, 3.0)
"""Long-dash double-dot line."""

POSITION = (5.0, 4.0)
"""Dashed: the tool moves without cutting."""

_CHORD_MM = 0.004


def scene_point(point: Point) -> QPointF:
    """Return a place of the part in the scene: z to the right, r up (the scene's y runs down)."""
    return QPointF(point.z, -point.r)


def cosmetic(colour: str, width: float, dash: Sequence[float] = ()) -> QPen:
    """Return a pen that is `width` pixels wide at any zoom; dashes in pixels too.

    Pixels are those of the window. Qt counts a cosmetic pen in the screen's own, of which a fine
    screen has more: there every line would be thinner than its text.
    """
    pen = QPen(QColor(colour), width * _fineness())
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    # square, not round: with round ends Qt strokes wide lines many times slower
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if dash else Qt.PenCapStyle.SquareCap)
    if dash:
        pen.setDashPattern([d / width for d in dash])
    return pen


def _fineness() -> float:
    """Return how many of the screen's pixels one of the window's is; the finest screen counts."""
    application = QGuiApplication.instance()
    return application.devicePixelRatio() if isinstance(application, QGuiApplication) else 1.0


def add_element(
    path: QPainterPath, element: Element, *, start: bool, mirrored: bool = False
) -> None:
    """Let `path` run along an element; `start` moves to its beginning first."""
    sign = 1.0 if mirrored else -1.0
    if start:
        path.moveTo(element.start.z, sign * element.start.r)
    if isinstance(element, Line):
        path.lineTo(element.end.z, sign * element.end.r)
        return
    for point in element.chords(_CHORD_MM)[1:]:
        path.lineTo(point.z, sign * point.r)


def path_of_rings(rings: Iterable[Sequence[Point]]) -> QPainterPath:
    """Return the area between rings, even-odd."""
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for ring in rings:
        path.addPolygon(QPolygonF([scene_point(p) for p in ring]))
        path.closeSubpath()
    return path
