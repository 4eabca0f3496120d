"""The body of revolution and the hatch: fills of the work, sharp at any zoom."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import zip_longest

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QImage,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
    QTransform,
)

from turnsketch.desk.theme import Theme, mixed

__all__ = ["fill_hatched", "fill_turned"]

_SPACING_PX = 9.0
_PERIODS = 16
"""Of the hatch in its tile: a small tile is slow to lay."""
_BANDS = 26


def fill_hatched(painter: QPainter, path: QPainterPath, theme: Theme) -> None:
    """Fill a cut face: 45 degree lines a fixed number of pixels apart, tied to the part's zero.

    The lines are a tile that is painted once; drawn one by one and clipped they would take most of
    the time of a picture while a vertex is dragged.
    """
    transform = painter.worldTransform()
    ratio = painter.device().devicePixelRatio()
    tile = _hatch_tile(theme.part, theme.hatch, ratio)
    origin = transform.map(QPointF(0.0, 0.0))
    brush = QBrush(tile)
    # pixel on pixel, so that the lines stay sharp: the zero goes to the nearest whole one
    brush.setTransform(
        QTransform(
            1 / ratio,
            0.0,
            0.0,
            1 / ratio,
            round(origin.x() * ratio) / ratio,
            round(origin.y() * ratio) / ratio,
        )
    )
    painter.save()
    painter.resetTransform()
    painter.fillPath(transform.map(path), brush)
    painter.restore()


@lru_cache(maxsize=8)
def _hatch_tile(paper: str, ink: str, ratio: float) -> QImage:
    """Return some periods of the hatch in pixels of the device: x + y is constant on a line."""
    step = max(round(_SPACING_PX * ratio), 2)
    size = _PERIODS * step
    tile = QImage(size, size, QImage.Format.Format_RGB32)
    tile.fill(QColor(paper))
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(ink), ratio))
    painter.translate(0.5, 0.5)  # through the middles of pixels: sharper
    for total in range(-step, 2 * size + step, step):
        painter.drawLine(total + 2 * size, -2 * size, total - 2 * size, 2 * size)
    painter.end()
    return tile


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
    squeezed = [QTransform.fromScale(1.0, 1.0 - n / _BANDS).map(path) for n in range(_BANDS)]
    for band, (outer, inner) in enumerate(zip_longest(squeezed, squeezed[1:])):
        ring = QPainterPath(outer)
        ring.setFillRule(Qt.FillRule.OddEvenFill)
        if inner is not None:  # what the next band covers is not painted twice
            ring.addPath(inner)
        painter.fillPath(ring, QColor(_tone(1.0 - (band + 0.5) / _BANDS, theme)))
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
