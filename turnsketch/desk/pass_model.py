"""The list of passes for Qt's views; a measure stop is a row of its own before its pass.

With several setups each begins with a row of its own: what it is called, and how it holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont, QGuiApplication, QPalette

from turnsketch.desk.dimension_text import plan_numbers
from turnsketch.desk.session import Session
from turnsketch.desk.setup_edits import setup_line
from turnsketch.desk.text import capital, told, tr
from turnsketch.plan_records import Pass, Plan, Reading, SetupPlan
from turnsketch.sheet.numbers import Numbers
from turnsketch.units import from_mm

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
    heading: bool = False
    """The first row of a setup: its blank."""
    setup: int = 0
    """Index of its setup."""

    @property
    def wide(self) -> bool:
        """Whether one sentence goes over all columns but the first."""
        return self.measure or self.heading


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
        rows, position = list[PassRow](), 0
        for index, setup in enumerate(plan.setups):
            if len(plan.setups) > 1:
                rows.append(self._heading(index, position))
            rows += self._of_setup(plan, setup, index, position)
            position += len(setup.passes)
        return rows

    def _heading(self, index: int, position: int) -> PassRow:
        answer = self._session.answer
        job = self._session.job if answer is None else answer.job
        words = setup_line(job, index)
        return PassRow(("", words, *[""] * 6), position, tip=words, heading=True, setup=index)

    @staticmethod
    def _of_setup(plan: Plan, setup: SetupPlan, index: int, start: int) -> list[PassRow]:
        rows, numbers = list[PassRow](), plan_numbers(plan)
        before: int | None = None
        for position, made in enumerate(setup.passes, start + 1):
            if made.measure is not None:
                expected = from_mm(made.measure.expected_diameter, plan.display_units)
                size = numbers.x(expected)
                words = tr("Measure Ø here: about {size}", size=size)
                tip = f"{told(made.measure.instrument)}: {told(made.measure.reason)}"
                rows.append(PassRow(("", words, *[""] * 6), position, True, tip, setup=index))
            first = made.operation_number != before
            rows.append(_row(made, position, first, numbers, index))
            before = made.operation_number
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
        if role == Qt.ItemDataRole.BackgroundRole and row.heading:
            return QGuiApplication.palette().brush(QPalette.ColorRole.AlternateBase)
        if role == Qt.ItemDataRole.FontRole and (row.heading or self._is_on_show(row)):
            font = QFont()
            font.setBold(not row.measure)
            return font
        return None

    def _is_on_show(self, row: PassRow) -> bool:
        session = self._session
        return (row.setup, row.position) == (session.setup, session.position)

    def row_of(self, position: int) -> int | None:
        """Return the row of the pass, or of the setup's blank, that the slider stands at."""
        for number, row in enumerate(self.rows):
            here = (row.setup, row.position) == (self._session.setup, position)
            if here and not row.measure:
                return number
        return None


def _alignment(column: int) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column in _RIGHT else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _row(made: Pass, position: int, first: bool, numbers: Numbers, setup: int) -> PassRow:
    (before, after), units = main_cut(made), numbers.units
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
        capital(told(made.operation)) if first else "",
        f"T{made.tool}" if first else "",
        numbers.x(x),
        numbers.z(after.z),
        feed,
        speed,
        f"{made.minutes:.1f}",
    )
    tip = tr(
        "{surface}: X {x0} to {x1}, Z {z0} to {z1}",
        surface=capital(told(made.surface or made.operation)),
        x0=numbers.x(before.x), x1=numbers.x(after.x),
        z0=numbers.z(before.z), z1=numbers.z(after.z),
    )  # fmt: skip
    return PassRow(cells, position, tip=tip, setup=setup)
