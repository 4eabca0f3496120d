"""The tool for drawing by hand: section after section from the mouth of a chain inward."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPainterPath, QPolygonF

from turnsketch.desk.board.editors import FieldEditor
from turnsketch.desk.board.labels import write_beside
from turnsketch.desk.board.pens import POSITION, cosmetic
from turnsketch.desk.board.tools.band import (
    USUAL_MM,
    Band,
    band_at,
    chain_end,
    goes_through,
    in_chain,
)
from turnsketch.desk.board.tools.base import STARTS, Pointer, Tool
from turnsketch.desk.board.typed_drawing import drawn_section, pencilled, with_drawn
from turnsketch.desk.chain_cells import means_through
from turnsketch.desk.text import tr
from turnsketch.document.bores import chain_sections, offset_of_chain
from turnsketch.document.edits import delete_sections
from turnsketch.document.vertices import LEAST_MM
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.part.records import Section
from turnsketch.part.text import parse

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["DrawTool"]


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

    @property
    def _inside(self) -> bool:
        return self.board.chain != "outside"

    def start(self) -> Point:
        """Return the end of what is drawn, from which the band stretches.

        Like the band it is told in the frame that has the chain's mouth in front.
        """
        corner = chain_end(self.board)
        return corner if self._rise is None else Point(corner.z, self._rise)

    def band(self) -> Band:
        """Return the rubber band as it stands."""
        return band_at(self.board, self.start(), self._pointer)

    def _blocked(self) -> str:
        """Return why nothing can be drawn in this chain now; empty when it can."""
        if not self._inside:
            return ""
        if self.board.drawing.pencil is None:
            return tr("Draw the outside first: a bore goes into it.")
        if self.start().z < LEAST_MM - self.board.drawing.length:
            return tr("This bore goes through already; Backspace takes its last section back.")
        return ""

    def press(self, pointer: Pointer) -> None:
        """Place the section that the band shows."""
        self._pointer = pointer
        if self._editor is not None:
            self._editor.give_up()
        if self._told_blocked():
            return
        band = self.band()
        if band.kind == "face":
            self._rise = band.to.r
            self.board.hint.emit(
                tr("Shoulder: go on from here into the part; Esc takes it back.")
                if self._inside
                else tr("Shoulder: go on from here toward the chuck; Esc takes it back.")
            )
            return
        if in_chain(self.board, pointer.at).z >= band.start.z:
            self.board.hint.emit(
                tr("Draw into the part: deeper than the last corner.")
                if self._inside
                else tr("Draw toward the chuck: to the left of the last corner.")
            )
            return
        self._add(band.section(), through=band.through)

    def _told_blocked(self) -> bool:
        blocked = self._blocked()
        if blocked:
            self.board.hint.emit(blocked)
        return bool(blocked)

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
        elif event.key() == Qt.Key.Key_Backspace and self._last():
            self.board.commit(delete_sections(self.board.job, {self._last()}), tr("Delete"))
        else:
            return False
        return True

    def _last(self) -> int:
        """Return the number of the chain's last section; 0: it has none."""
        part, chain = self.board.job.part, self.board.chain
        count = len(chain_sections(part, chain))
        return offset_of_chain(part, chain) + count if count else 0

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
        if self._editor is not None:
            self._editor.go_on_with(text)
            return
        if self._told_blocked():
            return
        board = self.board
        labels = (tr("Ø inside") if self._inside else tr("Ø"), tr("length"))
        editor = FieldEditor(
            board.viewport(), labels, ("", ""), self._take, board.theme, stay_open=True
        )
        editor.closed.connect(self._closed)
        editor.typed.connect(board.viewport().update)
        self._editor = editor
        to = in_chain(board, self.band().to)
        editor.open_at(QPoint(round(board.lens.x(to.z)) + 16, round(board.lens.y(to.r)) - 60))
        self._editor.start_with(text)

    def _closed(self) -> None:
        self._editor = None
        self.board.setFocus()

    def _take(self, texts: Sequence[str]) -> None:
        board, band = self.board, self.band()
        first, second = (text.strip() for text in texts)
        if self._blocked():
            raise InputError(self._blocked())
        if band.kind == "face":
            band = Band(band.start, Point(band.start.z - USUAL_MM, band.to.r), "cylinder")
        through = self._inside and means_through(second)
        if through:
            end = Point(-board.drawing.length, band.to.r)
            band, second = Band(band.start, end, band.kind, band.angle), ""
        units = board.job.units
        section = drawn_section(first, second, units, band.section(), inside=self._inside)
        if through and first and section.kind == "cylinder":
            section = msgspec.structs.replace(section, drawn=None)
        self._add(section, through=through or self._ends_open(band, second))
        self._pointer = None
        if self._editor is not None and self._blocked():
            self._editor.give_up()

    def _ends_open(self, band: Band, length: str) -> bool:
        """Return whether a bore of the typed length, or with none the band, ends in the open."""
        if not length:
            return band.through
        size = parse(length, self.board.job.units, {"length"}).nominal
        return goes_through(self.board, Point(band.start.z - size, band.to.r))

    def _add(self, section: Section, *, through: bool = False) -> None:
        """Add a section; a shoulder before it is understood, but for one that a slope begins at."""
        job, rise, chain = self.board.job, self._rise, self.board.chain
        if rise is not None and section.kind in ("taper", "arc"):
            face = pencilled("face", Point(chain_end(self.board).z, rise))
            job, _ = with_drawn(job, face, chain)
        self._rise = None
        job, name = with_drawn(job, section, chain, through=through)
        self.board.commit(job, name)

    def paint(self, painter: QPainter) -> None:
        """Draw the band with its diameter and length; that of a bore is a void in the metal."""
        if self._blocked():
            return
        board, band = self.board, self.band()
        lens = board.lens
        places = [in_chain(board, p) for p in band.points]
        points = [QPointF(lens.x(p.z), lens.y(p.r)) for p in places]
        painter.setPen(cosmetic(board.theme.chosen, 2.0, POSITION))
        if self._inside:
            self._paint_void(painter, points)
        painter.drawPolyline(QPolygonF(points))
        mirror = QPointF(points[-1].x(), lens.y0 if self._inside else 2 * lens.y0 - points[-1].y())
        painter.setPen(cosmetic(board.theme.chosen, 1.0, (2.0, 4.0)))
        painter.drawLine(points[-1], mirror)
        painter.setPen(cosmetic(board.theme.chosen, 1.6))
        painter.drawEllipse(points[0], 4.0, 4.0)
        if self._editor is None:
            words = band.words(board.job.units, inside=self._inside)
            write_beside(painter, points[-1], words, board.theme)

    def _paint_void(self, painter: QPainter, points: Sequence[QPointF]) -> None:
        """Take what the band would bore out of the picture."""
        y0 = self.board.lens.y0
        hole = [QPointF(points[0].x(), y0), *points, QPointF(points[-1].x(), y0)]
        area = QPainterPath()
        area.addPolygon(QPolygonF(hole))
        painter.fillPath(area, QColor(self.board.theme.paper))
        tint = QColor(self.board.theme.chosen)
        tint.setAlpha(30)
        painter.fillPath(area, tint)

    def words(self) -> str:
        """Return how to draw."""
        if self._inside:
            return tr("Type Ø inside, Tab, length or through, Enter; or click.")
        return tr("Type Ø, Tab, length, Enter; or click. Shift: a taper. Esc ends.")
