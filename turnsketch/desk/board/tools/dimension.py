"""The tool for dimensioning: pick one thing or two, and type what the print says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter

from turnsketch.desk.board.pens import cosmetic
from turnsketch.desk.board.pick import Pick, SectionPick, VertexPick, pick
from turnsketch.desk.board.tools.base import REACH_PX, STARTS, Pointer, Tool
from turnsketch.desk.text import tr

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["DimensionTool"]


class DimensionTool(Tool):
    """The second pick, or Enter, or the first digit, opens the field."""

    def __init__(self, board: BoardFace) -> None:
        super().__init__(board)
        self._picks: list[Pick] = []
        self._hover: Pick | None = None
        self._last = QPoint(80, 80)

    def press(self, pointer: Pointer) -> None:
        """Pick what lies there; the second pick opens the field."""
        self._last = pointer.pixel.toPoint()
        found = pick(self.board.drawing, pointer.at, self.board.lens.mm(REACH_PX))
        if found is None:
            self._picks.clear()
        elif found in self._picks:
            self._open("")
        else:
            self._picks = [*self._picks[-1:], found]
            if len(self._picks) == 2:
                self._open("")
        self._show()

    def move(self, pointer: Pointer) -> None:
        """Show what a click would pick."""
        self._hover = pick(self.board.drawing, pointer.at, self.board.lens.mm(REACH_PX))
        self.board.hover(self._hover.number if isinstance(self._hover, SectionPick) else None)

    def key(self, event: QKeyEvent) -> bool:
        """Open the field with the first character, or empty with Enter."""
        if not self._picks:
            return False
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open("")
        elif event.text() and event.text() in STARTS:
            self._open(event.text())
        else:
            return False
        return True

    def cancel(self) -> bool:
        """Let go of what is picked."""
        if not self._picks:
            return False
        self._picks.clear()
        self._show()
        return True

    def _open(self, text: str) -> None:
        picks, self._picks = tuple(self._picks), []
        self.board.type_at(picks, text, self._last + QPoint(14, -40))

    def _show(self) -> None:
        numbers = {p.number for p in self._picks if isinstance(p, SectionPick)}
        self.board.choose(numbers)
        self.board.viewport().update()

    def paint(self, painter: QPainter) -> None:
        """Mark picked and hovered corners."""
        board = self.board
        painter.setPen(cosmetic(board.theme.chosen, 2.0))
        vertices = board.drawing.all_vertices
        for picked, filled in ((self._hover, False), *((p, True) for p in self._picks)):
            if isinstance(picked, VertexPick) and picked.vertex < len(vertices):
                at = vertices[picked.vertex]
                painter.setBrush(QColor(board.theme.chosen if filled else board.theme.paper))
                painter.drawEllipse(QPointF(board.lens.x(at.z), board.lens.y(at.r)), 5.0, 5.0)

    def words(self) -> str:
        """Return the next step."""
        if not self._picks:
            return tr("Pick a section or a corner, or two ends for a length.")
        return tr("Type what the print says, or pick the other end of a length.")
