"""The table of sections for Qt's views: one row a section, one more for the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import msgspec
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFont

from turnsketch.desk.section_cells import COLUMNS, cell_text, with_cell
from turnsketch.desk.session import Session
from turnsketch.desk.text import capital, tr
from turnsketch.errors import InputError
from turnsketch.part.outline_records import ResolvedPart

__all__ = ["Refused", "SectionModel"]

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


@dataclass(frozen=True, slots=True)
class Refused:
    """Text that does not read, kept in its cell until it is mended or given up."""

    row: int
    column: int
    text: str
    reason: str


def _headings() -> tuple[tuple[str, str], ...]:
    return (
        (tr("Section"), tr('Kind and name: "taper cone", or one letter for the kind')),
        (tr("Ø"), tr('Diameter with its tolerance: "25 h6". Taper: "20 / 26", front and back')),
        (tr("Length"), tr('Its own: "36"; or its place: "58 from front", "44 from back"')),
        (tr("Taper, R"), tr('"1:10", "15°", "30° incl", or a radius: "R8 concave"')),
        (tr("Corner"), tr('At its front end: "1x45°" or "R1"; at its back end: "; R1"')),
        (tr("Ra"), tr('Surface texture: "1.6" or "Ra 1.6"')),
    )


class SectionModel(QAbstractTableModel):
    """Shows the part record; an edit goes to the session as one named step."""

    refused_changed = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._rows = len(session.job.part.sections) + 1
        self.refused: Refused | None = None
        session.job_changed.connect(self.refresh)
        session.part_changed.connect(lambda _: self._changed())
        session.job_dragged.connect(lambda _: self._changed())

    # Qt's questions

    def rowCount(self, parent: Index = _NOWHERE) -> int:  # noqa: N802
        """Return the number of sections and one more."""
        return 0 if parent.isValid() else self._rows

    def columnCount(self, parent: Index = _NOWHERE) -> int:  # noqa: N802
        """Return the number of columns."""
        return 0 if parent.isValid() else len(COLUMNS)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that every cell can be chosen and edited."""
        flag = Qt.ItemFlag
        return flag.ItemIsEnabled | flag.ItemIsSelectable | flag.ItemIsEditable

    def headerData(  # noqa: N802
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a column's heading, or what may be typed there."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        words, tip = _headings()[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return words
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, edits, or says of itself."""
        roles = Qt.ItemDataRole
        row, column = index.row(), index.column()
        if role == roles.DisplayRole:
            return self._shown(row, column)
        if role == roles.EditRole:
            return self._edited(row, column)
        if role == roles.FontRole and self.in_pencil(row):
            font = QFont()
            font.setItalic(True)
            return font
        if role == roles.ToolTipRole:
            return self._tip(row, column)
        if role == roles.AccessibleTextRole:
            return f"{_headings()[column][0]}: {self._shown(row, column) or tr('empty')}"
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:  # noqa: N802
        """Take typed text; what does not read is refused and remembered."""
        if role != Qt.ItemDataRole.EditRole:
            return False
        row, column = index.row(), index.column()
        text = " ".join(str(value).split())
        session, key = self._session, COLUMNS[index.column()]
        if text == self._known(row, column):
            self._refuse(None)
            return True
        job = session.job
        try:
            part = with_cell(job.part, row, key, text, job.units)
        except InputError as error:
            self._refuse(Refused(row, column, text, error.what))
            return False
        self._refuse(None)
        name = tr("{what} of section {n}", what=_headings()[column][0], n=row + 1)
        session.edit(msgspec.structs.replace(job, part=part), name)
        return True

    # What stands there

    def refresh(self, *_: object) -> None:
        """Show the job as it stands."""
        rows = len(self._session.job.part.sections) + 1
        if rows > self._rows:
            self.beginInsertRows(_NOWHERE, self._rows, rows - 1)
            self._rows = rows
            self.endInsertRows()
        elif rows < self._rows:
            self.beginRemoveRows(_NOWHERE, rows, self._rows - 1)
            self._rows = rows
            self.endRemoveRows()
        self._refuse(None)
        self._changed()

    def _changed(self) -> None:
        last = self.index(self._rows - 1, len(COLUMNS) - 1)
        self.dataChanged.emit(self.index(0, 0), last)

    def _refuse(self, refused: Refused | None) -> None:
        if refused != self.refused:
            self.refused = refused
            self.refused_changed.emit()

    def forget_refused(self) -> None:
        """Give up text that did not read."""
        self._refuse(None)

    def is_new(self, row: int) -> bool:
        """Return whether the row is the one for the next section."""
        return row >= len(self._session.job.part.sections)

    def in_pencil(self, row: int) -> bool:
        """Return whether the dimensions do not fix the section yet."""
        part: ResolvedPart | None = self._session.part
        if part is None or self.is_new(row):
            return False
        found = next((s for s in part.sections if s.number == row + 1), None)
        return found is not None and not found.fixed

    def useful(self, row: int, column: int) -> bool:
        """Return whether Tab stops at this cell; the others are reached by arrow keys."""
        key = COLUMNS[column]
        if self.is_new(row):
            return key == "diameter"
        kind = self._session.job.part.sections[row].kind
        if key in ("section", "slope"):
            return key == "slope" and kind in ("taper", "arc")
        return not (kind == "face" and key in ("length", "roughness"))

    def _known(self, row: int, column: int) -> str:
        if self.is_new(row):
            return ""
        return cell_text(self._session.job.part, row, COLUMNS[column])

    def _edited(self, row: int, column: int) -> str:
        refused = self.refused
        if refused is not None and (refused.row, refused.column) == (row, column):
            return refused.text
        return self._known(row, column)

    def _shown(self, row: int, column: int) -> str:
        key = COLUMNS[column]
        if self.is_new(row):
            return tr("+ next") if key == "section" else ""
        text = self._edited(row, column)
        if key == "section":
            section = self._session.job.part.sections[row]
            return section.name or capital(section.kind)
        if key == "roughness":
            return text.removeprefix("Ra ")
        return text

    def _tip(self, row: int, column: int) -> str | None:
        if self.is_new(row):
            return tr("Type the next section's diameter here")
        text = self._edited(row, column)
        if COLUMNS[column] == "section":
            state = tr("in pencil: the dimensions do not fix it yet")
            return f"{capital(text)}, {state}" if self.in_pencil(row) else capital(text)
        return text or _headings()[column][1]
