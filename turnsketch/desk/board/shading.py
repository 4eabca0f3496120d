"""The body of revolution and the hatch: fills of the work, sharp at any zoom."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import (
    QBrush,
    QColor,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QTransform,
)

from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.theme import Theme, mixed

__all__ = ["fill_hatched", "fill_turned"]

_SPACING_PX = 9.0
_BANDS = 26


def fill_hatched(painter: QPainter, path: QPainterPath, theme: Theme) -> None:
    """Fill a cut face: 45 degree lines a fixed number of pixels apart, tied to the part's zero."""
    painter.fillPath(path, QColor(theme.part))
    transform = painter.worldTransform()
    device = transform.mapRect(path.boundingRect())
    painter.save()
    painter.setClipPath(path)
    shown = transform.mapRect(painter.clipBoundingRect())
    device = device.intersected(shown)
    origin = transform.map(QPointF(0.0, 0.0))
    painter.resetTransform()
    painter.setPen(cosmetic(theme.hatch, 1.0))
    painter.drawLines(_lines(device, origin))
    painter.restore()


def _lines(box: QRectF, origin: QPointF) -> list[QLineF]:
    """Return lines that rise to the right through `box`; x + y is constant on each."""
    base = origin.x() + origin.y()
    low = math.floor((box.left() + box.top() - base) / _SPACING_PX)
    high = math.ceil((box.right() + box.bottom() - base) / _SPACING_PX)
    lines = []
    for index in range(low, high + 1):
        total = base + index * _SPACING_PX
        lines.append(QLineF(total - box.top(), box.top(), total - box.bottom(), box.bottom()))
    return lines


def fill_turned(painter: QPainter, path: QPainterPath, theme: Theme, *, plain: bool) -> None:
    """Fill the half of a turned body: light near the axis, darker toward the outline.

    Every surface is shaded across its own radius: the outline is drawn in toward the axis band by
    band. `plain` says that the body is one cylinder, for which a gradient is the same.
    """
    if plain:
        painter.fillPath(path, _gradient(path.boundingRect(), theme))
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    for band in range(_BANDS):
        share = 1.0 - band / _BANDS
        squeezed = QTransform.fromScale(1.0, share).map(path)
        painter.fillPath(squeezed, QColor(_tone(share - 0.5 / _BANDS, theme)))
    painter.restore()


def _tone(share: float, theme: Theme) -> str:
    """Return the colour at a share of the radius: the light stands above the axis.

    The brightness of a cylinder falls with the cosine of its slope; a little light comes back from
    below at the very edge.
    """
    slope = math.asin(min(max(share, 0.0), 1.0))
    light = max(math.cos(slope + 0.25), 0.0) + 0.10 * max(share - 0.9, 0.0) * 10
    return mixed(theme.shade_dark, theme.shade_light, min(light * 1.08, 1.0))


def _gradient(box: QRectF, theme: Theme) -> QBrush:
    near, far = (box.top(), box.bottom())
    if abs(near) > abs(far):
        near, far = far, near
    gradient = QLinearGradient(0.0, near, 0.0, far)
    for step in range(_BANDS + 1):
        share = step / _BANDS
        gradient.setColorAt(share, QColor(_tone(share, theme)))
    return QBrush(gradient)
