"""The stage of the board: the items in its scene, their colours, and the print that lies below."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QGraphicsScene, QWidget

from turnsketch.desk.board.events import BoardEvents
from turnsketch.desk.board.plan_item import PlanItem
from turnsketch.desk.board.sheet_frame import frame_rect
from turnsketch.desk.board.underlay import UnderlayItem
from turnsketch.desk.board.work_item import WorkItem
from turnsketch.desk.theme import LIGHT, Theme
from turnsketch.geometry.elements import Point

__all__ = ["BoardStage"]

_WORLD = 20_000.0


class BoardStage(BoardEvents):
    """A view with a print below, a plan, and the work over both; `Board` says what they show."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = LIGHT
        self.work_item, self.plan_item = WorkItem(), PlanItem()
        self.underlay = UnderlayItem()
        self.work_item.print_below = self.plan_item.print_below = lambda: self.underlay.shown
        scene = QGraphicsScene(QRectF(-_WORLD, -_WORLD, 2 * _WORLD, 2 * _WORLD), self)
        scene.setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        for z, item in enumerate((self.underlay, self.plan_item, self.work_item)):
            scene.addItem(item)
            item.setZValue(z)
        self.setScene(scene)
        self.setBackgroundBrush(QColor(self.theme.paper))

    def frame(self) -> QRectF:
        """Return the drawing frame in pixels."""
        return frame_rect(self.viewport().width(), self.viewport().height())

    def set_theme(self, theme: Theme) -> None:
        """Take other colours."""
        self.theme = self.work_item.theme = self.plan_item.theme = theme
        self.setBackgroundBrush(QColor(theme.paper))
        self.viewport().update()

    def set_underlay(
        self,
        path: str | Path | None,
        mm_per_pixel: float = 0.2,
        front: tuple[float, float] = (0.0, 0.0),
        opacity: float = 0.45,
    ) -> None:
        """Lay a picture of the print under the drawing; None takes it away.

        The file (PNG or JPEG) is referenced, not kept. `front` is the pixel of the picture that
        lies on the axis at the front face; opacity 0 hides it. Raises InputError when the file
        cannot be read.
        """
        self.underlay.show_file(path, mm_per_pixel, QPointF(*front), opacity)
        self.viewport().update()

    def lay_underlay(self, path: str | Path) -> None:
        """Lay a picture of the print under the drawing, as large as the sheet; errors as above."""
        room = self.mapToScene(self.frame().toRect()).boundingRect()
        self.underlay.lay(Path(path), room)
        self.viewport().update()

    def set_stand_at_lathe(self, stands: bool) -> None:
        """Turn the whole picture to how one stands at the lathe (tool from below), or back."""
        self.camera.turn(stands)
        if self.camera.fitted:
            self._board.fit()
        self.viewport().update()

    def go_to(self, at: Point) -> None:
        """Bring a place of the part into the middle; it stays at the same scale."""
        self.camera.go_to(at)
        self.viewport().update()
