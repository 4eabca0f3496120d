"""What a tool of the board is, and what it sees of the board."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF
from PySide6.QtGui import QKeyEvent, QPainter

from turnsketch.desk.board.snapping import Snapped, round_step, snapped
from turnsketch.document.bores import Chain
from turnsketch.document.chain_pencil import mouth_in_front
from turnsketch.geometry.elements import Point

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["DRAG_PX", "REACH_PX", "Drag", "Pointer", "Tool", "snap_at"]

REACH_PX = 8.0
"""How near the pointer must come."""

DRAG_PX = 4.0
"""A pressed pointer that has gone so far drags."""

STARTS = "0123456789.,ØøRrM("
"""A typed character that begins dimension text."""


@dataclass(frozen=True, slots=True)
class Pointer:
    """The pointer at one moment."""

    pixel: QPointF
    at: Point
    """Under it, part frame, mm."""
    shift: bool = False
    control: bool = False


class Tool:
    """One way of working on the board: it starts, moves, ends, and can always be cancelled."""

    def __init__(self, board: BoardFace) -> None:
        self.board = board

    def press(self, pointer: Pointer) -> None:
        """Start something with the left button."""

    def move(self, pointer: Pointer) -> None:
        """The pointer moved, with or without a button."""

    def release(self, pointer: Pointer) -> None:
        """End what the press began."""

    def double(self, pointer: Pointer) -> None:
        """Two clicks in a row."""

    def key(self, event: QKeyEvent) -> bool:
        """Take a key; False when it is not for this tool."""
        return False

    def cancel(self) -> bool:
        """Give up what is going on; False when nothing is."""
        return False

    def paint(self, painter: QPainter) -> None:
        """Draw over the board, in pixels."""

    def words(self) -> str:
        """Return what can be done now, in one line."""
        return ""


class Drag:
    """Something that goes on from a press to the release."""

    def move(self, pointer: Pointer) -> None:
        """Follow the pointer."""

    def end(self, pointer: Pointer) -> None:
        """Finish: one edit at most."""

    def cancel(self) -> None:
        """Put everything back."""

    def paint(self, painter: QPainter) -> None:
        """Draw over the board, in pixels."""


def snap_at(
    board: BoardFace,
    at: Point,
    without: frozenset[int] = frozenset(),
    chain: Chain = "outside",
) -> Snapped:
    """Snap a place, part frame, to levels of the outline and of the bores.

    Those of the vertices in `without` do not count. Round sizes along the axis go from the mouth
    of `chain`: a bore's depth is round, wherever the part ends.
    """
    vertices = [p for v, p in enumerate(board.drawing.all_vertices) if v not in without]
    lens, length = board.lens, board.drawing.length
    found = snapped(
        mouth_in_front(chain, at, length),
        [mouth_in_front(chain, p, length).z for p in vertices],
        [p.r for p in vertices if p.r > 0],
        lens.mm(REACH_PX * 0.75),
        round_step(lens.mm(1.0), board.job.units),
    )
    return replace(found, at=mouth_in_front(chain, found.at, length))
