"""Fitting, zooming and panning a board."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QTransform
from PySide6.QtWidgets import QGraphicsView

from turnsketch.desk.board.lens import Lens
from turnsketch.geometry.elements import Point

__all__ = ["Camera"]

_LEAST, _MOST = 0.2, 400.0
"""Pixels for one millimetre."""


class Camera:
    """Holds how a view looks at the scene; the scene's y is minus r."""

    def __init__(self, view: QGraphicsView) -> None:
        self._view = view
        self.scale = 4.0
        self.turned = False
        self.fitted = True
        """Fit again when the board changes its size."""

    def lens(self) -> Lens:
        """Return the map between the part and the pixels of the viewport."""
        transform = self._view.viewportTransform()
        return Lens(self.scale, transform.dx(), transform.dy(), self.turned)

    def fit(self, content: QRectF, room: QRectF) -> None:
        """Show `content` (scene) as large as it goes into `room` (pixels of the viewport)."""
        if content.width() <= 0 or content.height() <= 0 or room.width() <= 0:
            return
        scale = min(room.width() / content.width(), room.height() / content.height())
        self._set_scale(scale)
        self._move_to(content.center(), room.center())
        self.fitted = True

    def zoom(self, factor: float, pixel: QPointF) -> None:
        """Zoom so that the place under `pixel` stays there."""
        place = self._place(pixel)
        self._set_scale(self.scale * factor)
        self._move_to(place, pixel)
        self.fitted = False

    def pan(self, by: QPointF) -> None:
        """Move the sheet by a number of pixels."""
        bars = self._view.horizontalScrollBar(), self._view.verticalScrollBar()
        bars[0].setValue(bars[0].value() - round(by.x()))
        bars[1].setValue(bars[1].value() - round(by.y()))
        self.fitted = False

    def go_to(self, at: Point) -> None:
        """Bring a place of the part under the middle of the viewport."""
        self._move_to(QPointF(at.z, -at.r), QPointF(self._view.viewport().rect().center()))
        self.fitted = False

    def turn(self, turned: bool) -> None:
        """Show r downward (as one stands at the lathe), or upward again."""
        if turned == self.turned:
            return
        centre = QPointF(self._view.viewport().rect().center())
        place = self._place(centre)
        self.turned = turned
        self._set_scale(self.scale)
        self._move_to(QPointF(place.x(), -place.y()), centre)

    def _place(self, pixel: QPointF) -> QPointF:
        return self._view.viewportTransform().inverted()[0].map(pixel)

    def _set_scale(self, scale: float) -> None:
        self.scale = min(max(scale, _LEAST), _MOST)
        flip = -1.0 if self.turned else 1.0
        self._view.setTransform(QTransform.fromScale(self.scale, flip * self.scale))

    def _move_to(self, place: QPointF, pixel: QPointF) -> None:
        """Bring a scene place under a pixel of the viewport."""
        now = self._view.viewportTransform().map(place)
        by = now - pixel
        bars = self._view.horizontalScrollBar(), self._view.verticalScrollBar()
        bars[0].setValue(bars[0].value() + round(by.x()))
        bars[1].setValue(bars[1].value() + round(by.y()))
