"""Two clicks and a typed length set the scale of the print that lies under the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtGui import QPainter

from turnsketch.desk.board.editors import FieldEditor, tr
from turnsketch.desk.board.pens import cosmetic, scene_point
from turnsketch.desk.board.tools.base import Pointer, Tool
from turnsketch.geometry.elements import Point
from turnsketch.part.text import Kind, parse

if TYPE_CHECKING:
    from turnsketch.desk.board.view import Board

__all__ = ["ScaleTool"]


_LENGTH: tuple[Kind, ...] = ("length",)


class ScaleTool(Tool):
    """Click one end of a known length on the print, the other end, and type the length."""

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self._places: list[Point] = []
        self._pointer: Point | None = None
        self._editor: FieldEditor | None = None

    def press(self, pointer: Pointer) -> None:
        """Take an end; the second one opens the field."""
        if self._editor is not None:
            self._editor.give_up()
        self._places = [*self._places[-1:], pointer.at]
        if len(self._places) == 2:
            self._open(pointer.pixel.toPoint())
        self.board.say()
        self.board.viewport().update()

    def move(self, pointer: Pointer) -> None:
        """Show the line that is being measured."""
        self._pointer = pointer.at

    def cancel(self) -> bool:
        """Forget the places."""
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
            return tr("Click one end of a length that the print gives.")
        return tr("Click its other end, and type the length.")
