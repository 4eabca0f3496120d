"""Paints a display list with the drawing calls of a PDF canvas, which it is handed.

The canvas is any object with these methods; nothing is imported for it, so this module can be read
and tested without a PDF library. The canvas counts in points, the display list in millimetres.
"""

from __future__ import annotations

import math
from typing import Any

from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Arrow, DisplayList, Fill, Label, Spot, Stroke, paint
from turnsketch.picture.style import PENS, fill_colour

__all__ = ["BOLD", "REGULAR", "CanvasPainter", "draw_picture", "rgb"]

REGULAR, BOLD = "TurnSketchSans", "TurnSketchSans-Bold"
"""Names under which the typeface is registered."""

_MM = 72 / 25.4
_EVEN_ODD = 0
_HEAD_MM = 2.2


def rgb(colour: str) -> tuple[float, float, float]:
    """Return "#RRGGBB" as three shares of 1."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


def draw_picture(canvas: Any, picture: DisplayList, x: float, y: float) -> None:
    """Draw `picture` with its lower left corner at (x, y), in points."""
    canvas.saveState()
    canvas.translate(x, y)
    paint(picture.items, CanvasPainter(canvas, picture.box.low, picture.scale))
    canvas.restoreState()


class CanvasPainter:
    """A painter for a canvas whose origin is the picture's lower left corner."""

    def __init__(self, canvas: Any, low: Point, scale: float) -> None:
        self._canvas = canvas
        self._low = low
        self._factor = scale * _MM

    def _at(self, point: Point) -> tuple[float, float]:
        x = (point.z - self._low.z) * self._factor
        return x, (point.r - self._low.r) * self._factor

    def _pen(self, role: Any) -> None:
        pen = PENS[role]
        self._canvas.setStrokeColorRGB(*rgb(pen.colour))
        self._canvas.setLineWidth(pen.width_mm * _MM)
        self._canvas.setDash([d * _MM for d in pen.dash_mm])
        self._canvas.setLineJoin(1)
        self._canvas.setLineCap(0)

    def _path(self, rings: tuple[tuple[Point, ...], ...], *, close: bool) -> Any:
        path = self._canvas.beginPath()
        for ring in rings:
            path.moveTo(*self._at(ring[0]))
            for point in ring[1:]:
                path.lineTo(*self._at(point))
            if close:
                path.close()
        return path

    def stroke(self, item: Stroke) -> None:
        """Draw a polyline."""
        if len(item.points) < 2:
            return
        self._pen(item.role)
        self._canvas.drawPath(self._path((item.points,), close=item.closed), stroke=1, fill=0)

    def fill(self, item: Fill) -> None:
        """Fill an area, even-odd."""
        self._canvas.setFillColorRGB(*rgb(fill_colour(item.role, item.level)))
        path = self._path(item.rings, close=True)
        self._canvas.drawPath(path, stroke=0, fill=1, fillMode=_EVEN_ODD)

    def label(self, item: Label) -> None:
        """Write a line of text, centred in height on its place."""
        canvas, size = self._canvas, item.size_mm * _MM
        font = BOLD if item.bold else REGULAR
        wide = canvas.stringWidth(item.text, font, size)
        x, y = self._at(item.at)
        x += item.offset_mm.z * _MM - {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
        y += item.offset_mm.r * _MM - 0.36 * size
        if item.backed:
            canvas.setFillColorRGB(1, 1, 1)
            canvas.rect(x - 1.5, y - 0.22 * size, wide + 3, 1.12 * size, stroke=0, fill=1)
        canvas.setFillColorRGB(*rgb(PENS[item.role].colour))
        canvas.setFont(font, size)
        canvas.drawString(x, y, item.text)

    def arrow(self, item: Arrow) -> None:
        """Draw an arrow; its heads are filled, and stand outside where there is no room."""
        (x1, y1), (x2, y2) = self._at(item.start), self._at(item.end)
        length = math.hypot(x2 - x1, y2 - y1)
        if length == 0.0:
            return
        self._pen(item.role)
        along = ((x2 - x1) / length, (y2 - y1) / length)
        inside = length > 2.5 * _HEAD_MM * _MM
        self._canvas.line(x1, y1, x2, y2)
        self._canvas.setFillColorRGB(*rgb(PENS[item.role].colour))
        sign = 1.0 if inside else -1.0
        self._head((x2, y2), (along[0] * sign, along[1] * sign))
        if item.both:
            self._head((x1, y1), (-along[0] * sign, -along[1] * sign))

    def _head(self, tip: tuple[float, float], along: tuple[float, float]) -> None:
        size = _HEAD_MM * _MM
        path = self._canvas.beginPath()
        path.moveTo(*tip)
        for side in (1, -1):
            path.lineTo(
                tip[0] - size * along[0] + side * 0.18 * size * along[1],
                tip[1] - size * along[1] - side * 0.18 * size * along[0],
            )
        path.close()
        self._canvas.drawPath(path, stroke=0, fill=1)

    def spot(self, item: Spot) -> None:
        """Draw a small disc."""
        self._canvas.setFillColorRGB(*rgb(PENS[item.role].colour))
        self._canvas.circle(*self._at(item.at), item.size_mm * _MM / 2, stroke=0, fill=1)
