"""Widths of a table's columns: what their words need, and the room left over where it is wanted."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QTableView

__all__ = ["ColumnNeed", "fit_columns", "shared"]

_PADDING = 9
"""Around the words of a cell: the margins of the style and of Qt's own delegate."""
_HEADING = 3
"""What a heading has more of it."""


@dataclass(frozen=True, slots=True)
class ColumnNeed:
    """What a column wants, and what it can do with: its longest word."""

    full: int
    least: int


def fit_columns(
    table: QTableView, growing: Collection[int], floor: Collection[int] = (), *, bold: bool = False
) -> int:
    """Give every column what heading and cells need; `growing` ones share the rest.

    Without room for all, the longest texts wrap first, where the table wraps at all; no column
    becomes narrower than its longest word. Columns in `floor` keep room for a short dimension text
    even while they are empty, so that there is something to type into. `bold` says that a chosen
    row is in bold, which runs wider. Returns the width with which nothing has to give way.
    """
    font = QFont(table.font())
    font.setBold(bold)
    metrics = QFontMetrics(font)
    room = 6 * metrics.averageCharWidth()
    needs = [
        _need(table, column, metrics, room if column in floor else 0)
        for column in range(table.model().columnCount())
    ]
    for column, width in enumerate(shared(needs, growing, table.viewport().width())):
        if table.columnWidth(column) != width:
            table.setColumnWidth(column, width)
    return sum(need.full for need in needs)


def _need(table: QTableView, column: int, metrics: QFontMetrics, floor: int) -> ColumnNeed:
    """Return what one column needs; a cell that runs over several columns does not count."""
    model, header = table.model(), table.horizontalHeader()
    heading = str(model.headerData(column, header.orientation()) or "")
    full = least = max(header.fontMetrics().horizontalAdvance(heading) + _HEADING, floor)
    for row in range(model.rowCount()):
        if table.columnSpan(row, column) > 1:
            continue
        text = str(model.data(model.index(row, column)) or "")
        words = text.split() if table.wordWrap() else [text]
        full = max(full, metrics.horizontalAdvance(text))
        least = max(least, *(metrics.horizontalAdvance(word) for word in words), 0)
    floor = header.minimumSectionSize()  # Qt makes no column narrower
    return ColumnNeed(max(full + _PADDING, floor), max(least + _PADDING, floor))


def shared(needs: list[ColumnNeed], growing: Collection[int], room: int) -> list[int]:
    """Return the widths: who wants most beyond its longest word gives first what is missing.

    What is left over goes to the growing columns.
    """
    widths = [need.full for need in needs]

    def slack(column: int) -> int:
        return widths[column] - needs[column].least

    while (missing := sum(widths) - room) > 0:
        widest = max(range(len(needs)), key=slack)
        if slack(widest) <= 0:
            break
        widths[widest] -= min(slack(widest), max(1, missing // len(needs)))
    spare = max(0, room - sum(widths))
    for column in growing:
        widths[column] += spare // len(growing)
    return widths
