"""What the tables of the print have in common: cells of text, and text that was refused."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.errors import InputError
from turnsketch.job import Job

__all__ = ["NOWHERE", "Index", "PrintModel", "Refused"]

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()


@dataclass(frozen=True, slots=True)
class Refused:
    """Text that does not read, kept in its cell until it is mended or given up."""

    row: int
    column: int
    text: str
    reason: str


class PrintModel(QAbstractTableModel):
    """Rows of the part record, and one more for the next; an edit is one named step."""

    refused_changed = Signal()

    keys: ClassVar[tuple[str, ...]] = ()
    """Of the columns, from left to right."""
    growing: ClassVar[tuple[str, ...]] = ()
    """Columns that share the room left over."""
    typed: ClassVar[tuple[str, ...]] = ()
    """Columns that keep room for a short text while they are empty."""
    first: ClassVar[str] = ""
    """Column where the next row begins."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._rows = self.count() + 1
        self.refused: Refused | None = None

    # What the two tables answer for themselves

    @abstractmethod
    def count(self) -> int:
        """Return the number of rows that are there already."""

    @abstractmethod
    def headings(self) -> tuple[tuple[str, str], ...]:
        """Return for each column its heading, and what may be typed there."""

    @abstractmethod
    def known(self, row: int, column: int) -> str:
        """Return the text of a cell as the job has it; empty in the row to come."""

    @abstractmethod
    def shown(self, row: int, column: int) -> str:
        """Return the text of a cell as it is shown."""

    @abstractmethod
    def made(self, row: int, key: str, text: str) -> tuple[Job, str]:
        """Return the job that typed text makes, and the name of the step; InputError: it can't."""

    @abstractmethod
    def useful(self, row: int, column: int) -> bool:
        """Return whether Tab stops at this cell; the others are reached by arrow keys."""

    # Qt's questions

    def rowCount(self, parent: Index = NOWHERE) -> int:  # noqa: N802
        """Return the number of rows and one more."""
        return 0 if parent.isValid() else self._rows

    def columnCount(self, parent: Index = NOWHERE) -> int:  # noqa: N802
        """Return the number of columns."""
        return 0 if parent.isValid() else len(self.keys)

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
        words, tip = self.headings()[section]
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
            return self.shown(row, column)
        if role == roles.EditRole:
            return self.edited(row, column)
        if role == roles.ToolTipRole:
            return self.tip(row, column)
        if role == roles.AccessibleTextRole:
            return f"{self.headings()[column][0]}: {self.shown(row, column) or tr('empty')}"
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:  # noqa: N802
        """Take typed text; what does not read is refused and remembered."""
        if role != Qt.ItemDataRole.EditRole:
            return False
        row, column = index.row(), index.column()
        text = " ".join(str(value).split())
        if text == self.known(row, column):
            self.refuse(None)
            return True
        try:
            job, name = self.made(row, self.keys[column], text)
        except InputError as error:
            self.refuse(Refused(row, column, text, error.what))
            return False
        self.refuse(None)
        self._session.edit(job, name)
        return True

    # What stands there

    def refresh(self, *_: object) -> None:
        """Show the job as it stands."""
        rows = self.count() + 1
        if rows > self._rows:
            self.beginInsertRows(NOWHERE, self._rows, rows - 1)
            self._rows = rows
            self.endInsertRows()
        elif rows < self._rows:
            self.beginRemoveRows(NOWHERE, rows, self._rows - 1)
            self._rows = rows
            self.endRemoveRows()
        self.refuse(None)
        self.tell_changed()

    def tell_changed(self) -> None:
        """Tell the view that any cell may be another."""
        last = self.index(self._rows - 1, len(self.keys) - 1)
        self.dataChanged.emit(self.index(0, 0), last)

    def refuse(self, refused: Refused | None) -> None:
        """Keep text that does not read; None: there is none any more."""
        if refused != self.refused:
            self.refused = refused
            self.refused_changed.emit()

    def forget_refused(self) -> None:
        """Give up text that did not read."""
        self.refuse(None)

    def is_new(self, row: int) -> bool:
        """Return whether the row is the one to come."""
        return row >= self.count()

    def edited(self, row: int, column: int) -> str:
        """Return the text with which a cell is edited: what was refused, else what is known."""
        refused = self.refused
        if refused is not None and (refused.row, refused.column) == (row, column):
            return refused.text
        return self.known(row, column)

    def tip(self, row: int, column: int) -> str | None:
        """Return what the cell says under the pointer."""
        return self.edited(row, column) or self.headings()[column][1]
