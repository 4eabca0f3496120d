"""The tool for choosing, dragging, retyping and deleting what stands on the board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter

from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.board.pick import Pick, SectionPick, VertexPick, pick
from turnsketch.desk.board.tools.base import DRAG_PX, REACH_PX, STARTS, Drag, Pointer, Tool, snap_at
from turnsketch.desk.board.tools.drags import BandDrag, BendDrag, PanDrag, VertexDrag
from turnsketch.desk.text import told, tr
from turnsketch.document.bores import all_sections
from turnsketch.document.chain_edits import split_in_chain
from turnsketch.document.edits import delete_sections
from turnsketch.document.vertices import can_bend
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["ChooseTool"]


class ChooseTool(Tool):
    """Choose with a click, more with Ctrl; drag corners and middles; drag paper to pan."""

    def __init__(self, board: BoardFace) -> None:
        super().__init__(board)
        self._drag: Drag | None = None
        self._pressed: Pointer | None = None
        self._waiting: Drag | None = None
        self._hover: Pick | None = None

    # The pointer

    def press(self, pointer: Pointer) -> None:
        """Choose what lies there, and get ready to drag it."""
        board = self.board
        self._pressed = pointer
        found = self._under(pointer)
        middle = self._middle_under(pointer)
        if middle is not None:
            self._waiting = BendDrag(board, middle)
        elif isinstance(found, VertexPick):
            board.choose_vertex(found)
            self._waiting = VertexDrag(board, found.vertex)
        elif found is not None:
            chosen = board.chosen ^ {found.number} if pointer.control else {found.number}
            board.choose(chosen, found.number)
            self._waiting = PanDrag(board, pointer)
        elif pointer.shift:
            self._waiting = BandDrag(board, pointer)
        else:
            self._waiting = PanDrag(board, pointer)

    def move(self, pointer: Pointer) -> None:
        """Drag once the pointer has left its place; else show what a click would mean."""
        if self._pressed is not None and self._waiting is not None:
            apart = pointer.pixel - self._pressed.pixel
            if abs(apart.x()) + abs(apart.y()) >= DRAG_PX:
                self._drag, self._waiting = self._waiting, None
        if self._drag is not None:
            self._drag.move(pointer)
            return
        self._hover = self._under(pointer)
        self.board.hover(self._hover.number if isinstance(self._hover, SectionPick) else None)
        self.board.setCursor(self._shape(pointer))

    def release(self, pointer: Pointer) -> None:
        """End the drag; a click on paper lets everything go."""
        drag, self._drag = self._drag, None
        clicked = self._pressed is not None and drag is None
        self._pressed, self._waiting = None, None
        if drag is not None:
            drag.end(pointer)
        elif clicked and self._under(pointer) is None and self._middle_under(pointer) is None:
            self.board.choose(set())
        self.board.viewport().update()

    def double(self, pointer: Pointer) -> None:
        """Put a vertex into the section there."""
        found = self._under(pointer)
        if isinstance(found, SectionPick):
            self._split(found.number, snap_at(self.board, pointer.at).at)

    # The keys

    def key(self, event: QKeyEvent) -> bool:
        """Delete, split, go along the sections, or begin to type a dimension."""
        board, key = self.board, event.key()
        if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and board.chosen:
            numbers = board.chosen
            board.choose(set())
            board.commit(delete_sections(board.job, numbers), tr("Delete"))
        elif key == Qt.Key.Key_Insert and len(board.chosen) == 1:
            number = next(iter(board.chosen))
            self._split(number, snap_at(board, board.drawing.middle(number)).at)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._go(1 if key == Qt.Key.Key_Left else -1)
        elif key == Qt.Key.Key_A and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            board.choose(set(range(1, len(all_sections(board.job.part)) + 1)))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and board.picks:
            board.type_at(board.picks, "", self._place(), each=True)
        elif event.text() and event.text() in STARTS and board.picks:
            board.type_at(board.picks, event.text(), self._place(), each=True)
        else:
            return False
        return True

    def cancel(self) -> bool:
        """Give up a drag; else let go of what is chosen."""
        if self._drag is not None or self._waiting is not None:
            if self._drag is not None:
                self._drag.cancel()
            self._drag = self._waiting = self._pressed = None
            return True
        if self.board.picks:
            self.board.choose(set())
            return True
        return False

    # Helpers

    def _under(self, pointer: Pointer) -> Pick | None:
        return pick(self.board.drawing, pointer.at, self.board.lens.mm(REACH_PX))

    def _middle_under(self, pointer: Pointer) -> int | None:
        """Return the chosen section whose middle handle lies there."""
        for number in self.board.chosen:
            place = self._handle(number)
            if place is not None and (place - pointer.pixel).manhattanLength() <= 9:
                return number
        return None

    def _handles(self) -> list[int]:
        """Return the vertices that show a handle."""
        drawing, vertex = self.board.drawing, self.board.chosen_vertex
        if drawing.pencil is None:
            return []
        if vertex is not None:
            return [vertex.vertex]
        found = (drawing.first_vertex(number) for number in sorted(self.board.chosen))
        ends = [first for first in found if first is not None]
        vertices = drawing.all_vertices
        return [v for i in ends for v in (i, i + 1) if vertices[v].r > 0]

    def _handle(self, number: int) -> QPointF | None:
        board = self.board
        if board.drawing.chain_of(number) is None:
            return None
        if not can_bend(all_sections(board.job.part)[number - 1]):
            return None
        middle = board.drawing.middle(number)
        return QPointF(board.lens.x(middle.z), board.lens.y(middle.r))

    def _go(self, way: int) -> None:
        count = len(all_sections(self.board.job.part))
        if not count:
            return
        here = max(self.board.chosen, default=0 if way > 0 else count + 1)
        number = min(max(here + way, 1), count)
        self.board.choose({number}, number)

    def _split(self, number: int, at: Point) -> None:
        board = self.board
        chain = board.drawing.chain_of(number)
        if chain is None:
            return
        try:
            job = split_in_chain(board.job, chain, number, at.z)
        except InputError as error:
            board.hint.emit(told(error.what))
            return
        board.commit(job, tr("Split a section"))

    def _place(self) -> QPoint:
        """Return where to type: beside the first thing that is chosen."""
        board = self.board
        first = board.picks[0]
        at = (
            board.drawing.all_vertices[first.vertex]
            if isinstance(first, VertexPick)
            else board.drawing.middle(first.number)
        )
        return QPoint(round(board.lens.x(at.z)) + 12, round(board.lens.y(at.r)) - 44)

    def _shape(self, pointer: Pointer) -> Qt.CursorShape:
        if self._middle_under(pointer) is not None or isinstance(self._hover, VertexPick):
            return Qt.CursorShape.SizeAllCursor
        if self._hover is not None:
            return Qt.CursorShape.PointingHandCursor
        return Qt.CursorShape.ArrowCursor

    def paint(self, painter: QPainter) -> None:
        """Draw handles at the corners of what is chosen, and at its middle for bending."""
        board = self.board
        if self._drag is not None:
            self._drag.paint(painter)
            return
        theme, lens = board.theme, board.lens
        painter.setPen(cosmetic(theme.chosen, 1.6))
        painter.setBrush(QColor(theme.paper))
        vertices = board.drawing.all_vertices
        for vertex in self._handles():
            at = vertices[vertex]
            painter.drawRect(QRectF(lens.x(at.z) - 3.5, lens.y(at.r) - 3.5, 7, 7))
        for number in board.chosen:
            place = self._handle(number)
            if place is not None:
                painter.drawEllipse(place, 4.0, 4.0)
        if isinstance(self._hover, VertexPick) and self._hover.vertex < len(vertices):
            at = vertices[self._hover.vertex]
            painter.drawEllipse(QPointF(lens.x(at.z), lens.y(at.r)), 6.0, 6.0)

    def words(self) -> str:
        """Return what can be done with what is chosen."""
        if not self.board.picks:
            return tr("Click a section to choose it; drag a corner to move it.")
        return tr("Type its dimension; bend it by the round handle; Delete takes it.")
