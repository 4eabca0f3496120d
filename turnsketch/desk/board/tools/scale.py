"""Two clicks and a typed length set the scale of the print that lies under the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtGui import QPainter

from turnsketch.desk.board.editors import FieldEditor
from turnsketch.desk.board.pens import cosmetic, scene_point
from turnsketch.desk.board.tools.base import DRAG_PX, Pointer, Tool
from turnsketch.desk.text import tr
from turnsketch.geometry.elements import Point
from turnsketch.part.text import Kind, parse

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["ScaleTool"]


_LENGTH: tuple[Kind, ...] = ("length",)


class ScaleTool(Tool):
    """Click one end of a known length on the print, the other end, and type the length."""

    def __init__(self, board: BoardFace) -> None:
        super().__init__(board)
        self._places: list[Point] = []
        self._pointer: Point | None = None
        self._pressed: Pointer | None = None
        self._dragged: Point | None = None
        self._editor: FieldEditor | None = None

    def press(self, pointer: Pointer) -> None:
        """Get ready for a click, or for a drag of the picture."""
        if self._editor is not None:
            self._editor.give_up()
        self._pressed, self._dragged = pointer, None

    def release(self, pointer: Pointer) -> None:
        """Take an end where nothing was dragged; the second one opens the field."""
        clicked = self._pressed is not None and self._dragged is None
        self._pressed = self._dragged = None
        if not clicked:
            return
        self._places = [*self._places[-1:], pointer.at]
        if len(self._places) == 2:
            self._open(pointer.pixel.toPoint())
        self.board.say()
        self.board.viewport().update()

    def move(self, pointer: Pointer) -> None:
        """Show the line that is being measured; let the picture follow a drag."""
        self._pointer = pointer.at
        if self._pressed is None:
            return
        apart = pointer.pixel - self._pressed.pixel
        if self._dragged is None and abs(apart.x()) + abs(apart.y()) < DRAG_PX:
            return
        before = self._dragged or self._pressed.at
        self.board.underlay.move_by(scene_point(pointer.at) - scene_point(before))
        self._dragged = pointer.at
        self._places = []

    def cancel(self) -> bool:
        """Forget the places, and let go of the picture."""
        self._pressed = None
        if self._editor is not None:
            self._editor.give_up()
        found, self._places = bool(self._places), []
        return found

    def _open(self, place: QPoint) -> None:
        board = self.board
        editor = FieldEditor(board.viewport(), (tr("length"),), ("",), self._take, board.theme)
        editor.closed.connect(self._closed)
        self._editor = editor
        editor.open_at(place + QPoint(14, -40))

    def _take(self, texts: Sequence[str]) -> None:
        board = self.board
        true = parse(texts[0], board.job.units, _LENGTH).nominal
        start, end = self._places
        board.underlay.scale_by(start.distance(end), true, scene_point(start))
        board.underlay_scaled.emit(board.underlay.mm_per_pixel)

    def _closed(self, taken: bool) -> None:
        self._editor, self._places = None, []
        self.board.setFocus()
        if taken:
            self.board.set_mode("choose")

    def paint(self, painter: QPainter) -> None:
        """Draw the line between the two places."""
        board = self.board
        ends = self._places if len(self._places) == 2 else [*self._places, self._pointer]
        pixels = [QPointF(board.lens.x(p.z), board.lens.y(p.r)) for p in ends if p is not None]
        painter.setPen(cosmetic(board.theme.chosen, 1.6))
        for pixel in pixels:
            painter.drawEllipse(pixel, 4.0, 4.0)
        if len(pixels) == 2:
            painter.drawLine(*pixels)

    def words(self) -> str:
        """Return the next step."""
        if not self._places:
            return tr("Click one end of a length that the print gives, or drag the picture.")
        return tr("Click its other end, and type the length.")
