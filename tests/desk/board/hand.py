"""A hand on mouse and keys of a board, for tests."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from turnsketch.desk.board import Board
from turnsketch.geometry.elements import Point
from turnsketch.job import Job


@dataclass
class Hand:
    """A hand on mouse and keys, and what the board told."""

    board: Board
    edits: list[tuple[Job, str]] = field(default_factory=list)
    dragged: list[Job] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.board.edited.connect(lambda job, name: self.edits.append((job, name)))
        self.board.dragging.connect(self.dragged.append)
        self.board.hint.connect(self.hints.append)

    @property
    def job(self) -> Job:
        """The newest job."""
        return self.edits[-1][0] if self.edits else self.board.job

    def pixel(self, at: Point) -> QPoint:
        """Return where a place of the part is."""
        lens = self.board.lens
        return QPointF(lens.x(at.z), lens.y(at.r)).toPoint()

    def move(
        self, to: QPoint, *, held: bool = False, keys: Qt.KeyboardModifier | None = None
    ) -> None:
        """Move the mouse, with or without the left button."""
        viewport = self.board.viewport()
        none, left = Qt.MouseButton.NoButton, Qt.MouseButton.LeftButton
        event = QMouseEvent(
            QMouseEvent.Type.MouseMove,
            QPointF(to),
            QPointF(viewport.mapToGlobal(to)),
            none,
            left if held else none,
            keys or Qt.KeyboardModifier.NoModifier,
        )
        QApplication.sendEvent(viewport, event)

    def click(self, at: QPoint, keys: Qt.KeyboardModifier | None = None) -> None:
        """Click with the left button."""
        self.move(at, keys=keys)
        QTest.mouseClick(
            self.board.viewport(),
            Qt.MouseButton.LeftButton,
            keys or Qt.KeyboardModifier.NoModifier,
            at,
        )

    def drag(self, start: QPoint, end: QPoint) -> None:
        """Drag with the left button in a few moves."""
        viewport, button = self.board.viewport(), Qt.MouseButton.LeftButton
        QTest.mousePress(viewport, button, pos=start)
        for step in range(1, 6):
            self.move(start + (end - start) * (step / 5), held=True)
        QTest.mouseRelease(viewport, button, pos=end)

    def type(self, text: str) -> None:
        """Type to whatever has the keys: the open field, or the board."""
        for character in text:
            QTest.keyClicks(self.target(), character)

    def key(self, key: Qt.Key) -> None:
        """Press one key."""
        QTest.keyClick(self.target(), key)

    def target(self) -> Board | QLineEdit:
        """Return what has the keys."""
        for line in self.board.viewport().findChildren(QLineEdit):
            if line.isVisible() and line.hasFocus():
                return line
        return self.board
