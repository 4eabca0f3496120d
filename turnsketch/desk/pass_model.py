"""The list of passes for Qt's views; a measure stop is a row of its own before its pass."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont, QGuiApplication, QPalette

from turnsketch.desk.dimension_text import MINUS, reading_text
from turnsketch.desk.session import Session
from turnsketch.desk.text import capital, tr
from turnsketch.plan_records import Pass, Reading
from turnsketch.units import Units, from_mm

__all__ = ["PassModel", "PassRow", "main_cut"]

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
_RIGHT = frozenset({0, 3, 4, 5, 6, 7})


@dataclass(frozen=True, slots=True)
class PassRow:
    """One row: its cells, and the position of the slider that it stands for."""

    cells: tuple[str, ...]
    position: int
    measure: bool = False
    tip: str = ""


def main_cut(made: Pass) -> tuple[Reading, Reading]:
    """Return the readings before and after the longest cut of a pass: the one that matters."""
    readings = (made.start_reading, *made.readings)
    cuts = [i for i, move in enumerate(made.moves) if move.kind != "position"]
    if not cuts:
        return readings[0], readings[-1]
    if made.direction in ("taper", "arc", "steps"):
        return readings[cuts[0]], readings[cuts[-1] + 1]

    def way(index: int) -> float:
        a, b = readings[index], readings[index + 1]
        return abs(b.x - a.x) / 2 + abs(b.z - a.z)

    longest = max(cuts, key=way)
    return readings[longest], readings[longest + 1]


class PassModel(QAbstractTableModel):
    """Shows the passes of the newest plan."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.rows: list[PassRow] = []
        session.planned.connect(lambda _: self.refresh())
        session.position_changed.connect(lambda _: self._changed())

    def refresh(self) -> None:
        """Take the rows from the newest plan."""
        self.beginResetModel()
        self.rows = list(self._made())
        self.endResetModel()

    def _changed(self) -> None:
        if self.rows:
            last = self.index(len(self.rows) - 1, self.columnCount() - 1)
            self.dataChanged.emit(self.index(0, 0), last)

    def _made(self) -> list[PassRow]:
        plan = self._session.plan
        if plan is None:
            return []
        rows: list[PassRow] = []
        before: tuple[int, int] | None = None
        for position, (setup, made) in enumerate(self._session.passes, 1):
            if made.measure is not None:
                size = reading_text(
                    from_mm(made.measure.expected_diameter, plan.display_units), plan.display_units
                )
                words = tr("Measure Ø here: about {size}", size=size)
                tip = f"{made.measure.instrument}: {made.measure.reason}"
                rows.append(PassRow(("", words, *[""] * 6), position, True, tip))
            key = (setup.number, made.operation_number)
            rows.append(_row(made, position, key != before, plan.display_units))
            before = key
        return rows

    def rowCount(self, parent: Index = _NOWHERE) -> int:  # noqa: N802
        """Return the number of passes and measure stops."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:  # noqa: N802
        """Return the number of columns."""
        return 0 if parent.isValid() else 8

    def headerData(  # noqa: N802
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a column's heading."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            names = (
                tr("No"), tr("Operation"), tr("Tool"), tr("Set X"), tr("Feed to Z"), tr("Feed"),
                tr("rpm"), tr("min"),
            )  # fmt: skip
            return names[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(section)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, or says of itself."""
        row = self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.cells[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.tip
        if role == Qt.ItemDataRole.ForegroundRole and row.measure:
            return QGuiApplication.palette().brush(QPalette.ColorRole.Link)
        if role == Qt.ItemDataRole.FontRole and row.position == self._session.position:
            font = QFont()
            font.setBold(not row.measure)
            return font
        return None

    def row_of(self, position: int) -> int | None:
        """Return the row of the pass that the slider stands at."""
        for number, row in enumerate(self.rows):
            if row.position == position and not row.measure:
                return number
        return None


def _alignment(column: int) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column in _RIGHT else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _row(made: Pass, position: int, first: bool, units: Units) -> PassRow:
    before, after = main_cut(made)
    feed = tr("hand")
    if made.feed_mm_per_rev is not None:
        feed = f"{from_mm(made.feed_mm_per_rev, units):.{2 if units == 'mm' else 4}f}"
        feed = feed if units == "mm" else feed.removeprefix("0")
    if made.surface_speed_m_min is None:
        speed = f"{made.rpm:.0f}"
    else:
        speed = tr("v {speed}", speed=f"{made.surface_speed_m_min:.0f}")
    across = made.direction in ("face", "plunge")
    x = after.x if across else before.x
    cells = (
        str(made.number),
        capital(made.operation) if first else "",
        f"T{made.tool}" if first else "",
        reading_text(x, units),
        reading_text(after.z, units),
        feed,
        speed,
        f"{made.minutes:.1f}",
    )
    tip = tr(
        "{surface}: X {x0} to {x1}, Z {z0} to {z1}",
        surface=capital(made.surface or made.operation),
        x0=reading_text(before.x, units), x1=reading_text(after.x, units),
        z0=reading_text(before.z, units), z1=reading_text(after.z, units),
    ).replace("-", MINUS)  # fmt: skip
    return PassRow(cells, position, tip=tip)
