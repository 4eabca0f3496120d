"""Widths of a table's columns: what their words need, and the room left over where it is wanted."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtWidgets import QTableView

__all__ = ["fit_columns"]


def fit_columns(table: QTableView, growing: Collection[int], padding: int = 16) -> None:
    """Give every column what heading and cells need; `growing` ones share the rest.

    Without room for all, the growing columns are the first to be cut short.
    """
    model, header = table.model(), table.horizontalHeader()
    metrics = header.fontMetrics()
    needed = []
    for column in range(model.columnCount()):
        heading = str(model.headerData(column, header.orientation()) or "")
        cells = table.sizeHintForColumn(column)  # one row may be in bold, which runs wider
        needed.append(max(metrics.horizontalAdvance(heading) + padding, round(1.1 * cells) + 2))
    _share(needed, growing, table.viewport().width(), 9 * metrics.averageCharWidth())
    for column, width in enumerate(needed):
        table.setColumnWidth(column, width)


def _share(widths: list[int], growing: Collection[int], room: int, least: int) -> None:
    """Let the growing columns take what is left, or the widest of them give up what is missing."""
    while sum(widths) > room:
        column = max(growing, key=lambda c: widths[c])
        if widths[column] <= least:
            return
        widths[column] -= 1
    spare = room - sum(widths)
    for column in growing:
        widths[column] += spare // len(growing)
