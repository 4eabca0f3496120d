"""What can be dragged on the board: a vertex, a section's middle, a rubber rectangle, the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter

from turnsketch.desk.board.labels import size_words, write_beside
from turnsketch.desk.board.pens import POSITION, cosmetic
from turnsketch.desk.board.tools.base import Drag, Pointer, snap_at
from turnsketch.desk.text import tr
from turnsketch.document.bores import all_sections
from turnsketch.document.chain_edits import bend_in_chain, move_in_chain
from turnsketch.geometry.elements import Point
from turnsketch.job import Job

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["BandDrag", "BendDrag", "PanDrag", "VertexDrag"]


class VertexDrag(Drag):
    """Moves one vertex; the outline follows, and the release makes one edit of it."""

    def __init__(self, board: BoardFace, vertex: int) -> None:
        self._board = board
        self._job = board.job
        self._chain, self._local = board.drawing.chain_at(vertex)
        pencil, first = self._chain.pencil, vertex - self._local
        along = pencil.level(self._local) | pencil.ring(self._local)
        self._alone = frozenset(first + v for v in along)
        self._at = self._old = board.drawing.all_vertices[vertex]
        self._guides = (False, False)
        self._moved = False

    def move(self, pointer: Pointer) -> None:
        """Let the outline follow, snapped."""
        near = snap_at(self._board, pointer.at, self._alone, self._chain.chain)
        old = self._old
        self._at = near.at
        if pointer.shift:  # along one direction alone
            across = abs(near.at.r - old.r) > abs(near.at.z - old.z)
            self._at = Point(old.z, near.at.r) if across else Point(near.at.z, old.r)
        self._guides = (near.z_level, near.r_level)
        self._moved = True
        self._board.preview(self._made())

    def end(self, pointer: Pointer) -> None:
        """Make it one edit."""
        if not self._moved:
            return
        self._board.finish_preview(self._made(), tr("Move a corner"))

    def _made(self) -> Job:
        return move_in_chain(self._job, self._chain, self._local, self._at)

    def cancel(self) -> None:
        """Show the job as it was."""
        self._board.drop_preview()

    def paint(self, painter: QPainter) -> None:
        """Draw the levels that it snapped to, and its size."""
        board = self._board
        lens, theme = board.lens, board.theme
        x, y = lens.x(self._at.z), lens.y(self._at.r)
        painter.setPen(cosmetic(theme.chosen, 1.0, POSITION))
        if self._guides[0]:
            painter.drawLine(QPointF(x, 0), QPointF(x, board.viewport().height()))
        if self._guides[1]:
            painter.drawLine(QPointF(0, y), QPointF(board.viewport().width(), y))
        painter.setPen(cosmetic(theme.chosen, 1.6))
        painter.setBrush(QColor(theme.paper))
        painter.drawEllipse(QPointF(x, y), 5.0, 5.0)
        words = size_words(self._at, board.job.units, inside=self._chain.inside)
        write_beside(painter, QPointF(x, y), words, theme)


class BendDrag(Drag):
    """Bends a section into an arc by its middle."""

    def __init__(self, board: BoardFace, number: int) -> None:
        self._board, self._number = board, number
        self._job = board.job
        chain = board.drawing.chain_of(number)
        assert chain is not None
        self._chain = chain
        self._bulge: float | None = None

    def move(self, pointer: Pointer) -> None:
        """Let the middle of the section follow the pointer."""
        chain = self._chain
        front, back = map(chain.in_part, chain.ends(self._number))
        chord = front.distance(back)
        if chord < 1e-6:
            return
        across = Point((back.r - front.r) / chord, -(back.z - front.z) / chord)
        middle = Point((front.z + back.z) / 2, (front.r + back.r) / 2)
        apart = chain.in_part(pointer.at).minus(middle)
        rise = apart.z * across.z + apart.r * across.r
        self._bulge = 2.0 * rise / chord
        if abs(rise) < self._board.lens.mm(4.0):
            self._bulge = 0.0
        self._board.preview(bend_in_chain(self._job, chain, self._number, self._bulge))

    def end(self, pointer: Pointer) -> None:
        """Make it one edit."""
        if self._bulge is None:
            return
        job = bend_in_chain(self._job, self._chain, self._number, self._bulge)
        self._board.finish_preview(job, tr("Bend") if self._bulge else tr("Straighten"))

    def cancel(self) -> None:
        """Show the job as it was."""
        self._board.drop_preview()


class BandDrag(Drag):
    """A rubber rectangle that chooses the sections in it."""

    def __init__(self, board: BoardFace, pointer: Pointer) -> None:
        self._board, self._from, self._to = board, pointer.pixel, pointer.pixel

    def move(self, pointer: Pointer) -> None:
        """Stretch the rectangle."""
        self._to = pointer.pixel
        self._board.viewport().update()

    def end(self, pointer: Pointer) -> None:
        """Choose what lies in it."""
        board = self._board
        box = QRectF(self._from, self._to).normalized()
        a = board.lens.point(box.left(), box.top()).z
        b = board.lens.point(box.right(), box.bottom()).z
        numbers = {
            number
            for number in range(1, len(all_sections(board.job.part)) + 1)
            if min(a, b) <= board.drawing.middle(number).z <= max(a, b)
        }
        board.choose(numbers)

    def paint(self, painter: QPainter) -> None:
        """Draw the rectangle."""
        tint = QColor(self._board.theme.chosen)
        tint.setAlpha(30)
        painter.setBrush(tint)
        painter.setPen(cosmetic(self._board.theme.chosen, 1.0, POSITION))
        painter.drawRect(QRectF(self._from, self._to).normalized())


class PanDrag(Drag):
    """Moves the sheet under the pointer."""

    def __init__(self, board: BoardFace, pointer: Pointer) -> None:
        self._board, self._last = board, pointer.pixel

    def move(self, pointer: Pointer) -> None:
        """Let the sheet follow."""
        self._board.pan(pointer.pixel - self._last)
        self._last = pointer.pixel
