"""The tool for drawing by hand: section after section from the front face toward the chuck."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPolygonF

from turnsketch.desk.board.editors import FieldEditor
from turnsketch.desk.board.labels import write_beside
from turnsketch.desk.board.pens import POSITION, cosmetic
from turnsketch.desk.board.snapping import angle_snapped
from turnsketch.desk.board.tools.base import REACH_PX, STARTS, Pointer, Tool, snap_at
from turnsketch.desk.board.typed import drawn_section, pencilled, with_drawn
from turnsketch.desk.text import tr
from turnsketch.document.dimension_edit import number_text
from turnsketch.document.edits import delete_sections
from turnsketch.document.vertices import LEAST_MM
from turnsketch.geometry.elements import Point
from turnsketch.part.records import Section

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["DrawTool"]

_USUAL_MM = 10.0
"""Length and radius of a section that nothing has given one yet."""


@dataclass(frozen=True, slots=True)
class _Band:
    """The rubber band: from the last corner, over a shoulder when there is one, to the pointer."""

    start: Point
    to: Point
    kind: str
    """Kind of the section that a click makes; "face": it only goes on at another diameter."""
    angle: int | None = None

    @property
    def points(self) -> tuple[Point, ...]:
        """Corners of the band."""
        if self.kind == "cylinder":
            return self.start, Point(self.start.z, self.to.r), self.to
        return self.start, self.to

    def section(self) -> Section:
        """Return what a click makes of it: in pencil."""
        angle = None if self.angle is None else f"{self.angle}°"
        return pencilled(self.kind, self.to, angle, narrows=self.to.r < self.start.r)


class DrawTool(Tool):
    """Click places a section in pencil; digits open two fields for Ø and length at once."""

    def __init__(self, board: BoardFace) -> None:
        super().__init__(board)
        self._pointer: Pointer | None = None
        self._editor: FieldEditor | None = None
        self._rise: float | None = None
        """Radius to which a shoulder was drawn, from which the next section goes on."""

    @property
    def editor(self) -> FieldEditor | None:
        """The open fields, if they are."""
        return self._editor

    def start(self) -> Point:
        """Return the end of what is drawn, from which the band stretches."""
        corner = self._corner()
        return corner if self._rise is None else Point(corner.z, self._rise)

    def _corner(self) -> Point:
        """Return the last corner of the outline."""
        vertices = self.board.drawing.vertices
        if not vertices:
            return Point(0.0, 0.0)
        on_axis = vertices[-1].r <= 1e-9 and len(vertices) > 2
        return vertices[-2] if on_axis else vertices[-1]

    def band(self) -> _Band:
        """Return the rubber band as it stands."""
        start = self.start()
        if self._pointer is None:
            to = Point(start.z - _USUAL_MM, start.r or _USUAL_MM)
            return _Band(start, to, "cylinder")
        at, shift = self._pointer.at, self._pointer.shift
        to = snap_at(self.board, at).at
        to = Point(min(to.z, start.z - LEAST_MM), max(to.r, LEAST_MM))
        reach = self.board.lens.mm(REACH_PX)
        along, across = abs(at.z - start.z), abs(to.r - start.r)
        if along <= reach and across > max(along, reach / 2):
            return _Band(start, Point(start.z, to.r), "face")
        ray = angle_snapped(start, Point(to.z, abs(at.r)), reach) if start.r > 0 else None
        if ray is not None:
            return _Band(start, ray[0], "taper", ray[1])
        if shift and start.r > 0 and abs(to.r - start.r) > 1e-6:
            return _Band(start, to, "taper")
        return _Band(start, to, "cylinder")

    def press(self, pointer: Pointer) -> None:
        """Place the section that the band shows."""
        self._pointer = pointer
        if self._editor is not None:
            self._editor.give_up()
        band = self.band()
        if band.kind == "face":
            self._rise = band.to.r
            self.board.hint.emit(
                tr("Shoulder: go on from here toward the chuck; Esc takes it back.")
            )
            return
        if pointer.at.z >= band.start.z:
            self.board.hint.emit(tr("Draw toward the chuck: to the left of the last corner."))
            return
        self._add(band.section())

    def move(self, pointer: Pointer) -> None:
        """Stretch the band; while a field is open the band waits."""
        if self._editor is None:
            self._pointer = pointer
            self.board.viewport().update()

    def key(self, event: QKeyEvent) -> bool:
        """Begin to type, or take the last section back."""
        if event.text() and event.text() in STARTS:
            self._open(event.text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open("")
        elif event.key() == Qt.Key.Key_Backspace and self.board.job.part.sections:
            last = len(self.board.job.part.sections)
            self.board.commit(delete_sections(self.board.job, {last}), tr("Delete"))
        else:
            return False
        return True

    def cancel(self) -> bool:
        """Close the fields, then take a shoulder back; with neither the board leaves drawing."""
        if self._editor is not None:
            self._editor.give_up()
        elif self._rise is not None:
            self._rise = None
        else:
            return False
        return True

    def _open(self, text: str) -> None:
        if self._editor is None:
            board = self.board
            editor = FieldEditor(
                board.viewport(),
                (tr("Ø"), tr("length")),
                ("", ""),
                self._take,
                board.theme,
                stay_open=True,
            )
            editor.closed.connect(self._closed)
            editor.typed.connect(board.viewport().update)
            self._editor = editor
            to = self.band().to
            editor.open_at(QPoint(round(board.lens.x(to.z)) + 16, round(board.lens.y(to.r)) - 60))
            self._editor.start_with(text)
        else:
            self._editor.go_on_with(text)

    def _closed(self) -> None:
        self._editor = None
        self.board.setFocus()

    def _take(self, texts: Sequence[str]) -> None:
        first, second = texts
        band = self.band()
        if band.kind == "face":
            band = _Band(band.start, Point(band.start.z - _USUAL_MM, band.to.r), "cylinder")
        section = drawn_section(first, second, self.board.job.units, band.section())
        self._add(section)
        self._pointer = None

    def _add(self, section: Section) -> None:
        """Add a section; a shoulder before it is understood, but for one that a slope begins at."""
        job, rise = self.board.job, self._rise
        if rise is not None and section.kind in ("taper", "arc"):
            job, _ = with_drawn(job, pencilled("face", Point(self._corner().z, rise)))
        self._rise = None
        job, name = with_drawn(job, section)
        self.board.commit(job, name)

    def paint(self, painter: QPainter) -> None:
        """Draw the band with its diameter and length."""
        board, band = self.board, self.band()
        lens = board.lens
        points = [QPointF(lens.x(p.z), lens.y(p.r)) for p in band.points]
        painter.setPen(cosmetic(board.theme.chosen, 2.0, POSITION))
        painter.drawPolyline(QPolygonF(points))
        mirror = QPointF(points[-1].x(), 2 * lens.y0 - points[-1].y())
        painter.setPen(cosmetic(board.theme.chosen, 1.0, (2.0, 4.0)))
        painter.drawLine(points[-1], mirror)
        painter.setPen(cosmetic(board.theme.chosen, 1.6))
        painter.drawEllipse(points[0], 4.0, 4.0)
        if self._editor is None:
            units = board.job.units
            words = f"Ø{number_text(2 * band.to.r, units)}"
            if band.kind != "face":
                words += f"   {number_text(band.start.z - band.to.z, units)}"
            if band.angle is not None:
                words += f"   {band.angle}°"
            write_beside(painter, points[-1], words, board.theme)

    def words(self) -> str:
        """Return how to draw."""
        return tr("Type Ø, Tab, length, Enter; or click. Shift draws a taper, Esc ends.")
