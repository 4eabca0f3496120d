"""Blocks of a sheet as the PDF library's flowing parts: headings, tables and their cells."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.platypus import CondPageBreak, PageBreak, Table
from reportlab.platypus import Spacer as SpaceFlowable
from reportlab.platypus.flowables import Flowable

from turnsketch.picture.style import COLOURS, mix
from turnsketch.sheet.blocks import (
    Block,
    Cell,
    Drawing,
    Entry,
    Grid,
    GridRow,
    Heading,
    Hold,
    NewPage,
    Space,
    Stack,
    Tick,
    Words,
)
from turnsketch.sheet.furniture import MM, Run
from turnsketch.sheet.paint_pdf import REGULAR
from turnsketch.sheet.pdf_parts import (
    EntryBox,
    Picture,
    Text,
    TickBox,
    Title,
    ToolMark,
    rgb_colour,
)

__all__ = ["flowables"]

_TINTS = {
    "head": mix(COLOURS["desk"], "#FFFFFF", 0.35),
    "tool": COLOURS["chosen light"],
    "measure": mix(COLOURS["layer light"], "#FFFFFF", 0.35),
    "danger": COLOURS["danger light"],
    "caution": mix(COLOURS["layer light"], "#FFFFFF", 0.5),
}
_FLAT = (0, 0)


def flowables(block: Block, run: Run, width: float) -> Iterator[Flowable]:
    """Yield what a block becomes on a page; a `Hold` becomes nothing."""
    if isinstance(block, Heading):
        yield CondPageBreak(block.need * MM)
        yield Title(block)
    elif isinstance(block, Grid):
        yield _table(block, run)
    elif isinstance(block, Space):
        yield SpaceFlowable(1, block.height * MM)
    elif isinstance(block, NewPage):
        yield PageBreak()
    elif isinstance(block, Hold):
        return
    else:
        yield Text(block, width)


def _table(grid: Grid, run: Run) -> Table:
    """Return a grid as a table: its header repeats, its rows are never split."""
    style = _grid_style(grid)
    data = [_row_cells(grid, index, run) for index in range(len(grid.rows))]
    for index, row in enumerate(grid.rows):
        style += _row_style(row, index)
    widths = [w * MM for w in grid.widths]
    table = Table(data, colWidths=widths, repeatRows=grid.header_rows, style=style, hAlign="LEFT")
    table.splitInRow = 0
    return table


def _grid_style(grid: Grid) -> list[tuple[Any, ...]]:
    """Return what holds for all of a table: padding, face, rules."""
    pad = grid.padding * MM
    style: list[tuple[Any, ...]] = [
        ("LEFTPADDING", _FLAT, (-1, -1), pad),
        ("RIGHTPADDING", _FLAT, (-1, -1), pad),
        ("TOPPADDING", _FLAT, (-1, -1), pad * 0.8),
        ("BOTTOMPADDING", _FLAT, (-1, -1), pad * 0.8),
        ("VALIGN", _FLAT, (-1, -1), "TOP" if grid.top else "MIDDLE"),
        ("FONTNAME", _FLAT, (-1, -1), REGULAR),
    ]
    if grid.ruled:
        style.append(("LINEBELOW", _FLAT, (-1, -1), 0.4, rgb_colour("narrow")))
    if grid.uprights:
        style.append(("LINEAFTER", _FLAT, (-2, -1), 0.4, rgb_colour("desk")))
    return style


def _row_style(row: GridRow, index: int) -> list[tuple[Any, ...]]:
    """Return what one row adds: pictures in the middle, spans, a tint, a tie to the next row."""
    style: list[tuple[Any, ...]] = [
        ("ALIGN", (column, index), (column, index), "CENTER")
        for column, cell in enumerate(row.cells)
        if isinstance(cell, Drawing)
    ]
    style += [("SPAN", (first, index), (last, index)) for first, last in row.spans]
    if row.tint:
        style.append(("BACKGROUND", (0, index), (-1, index), rgb_colour(_TINTS[row.tint])))
    if row.with_next:
        style.append(("NOSPLIT", (0, index), (-1, index + 1)))
    return style


def _row_cells(grid: Grid, index: int, run: Run) -> list[Any]:
    """Return the cells of a row, each with the room that it has."""
    row, pad = grid.rows[index], grid.padding * MM
    spans = dict(row.spans)
    cells: list[Any] = []
    for column, cell in enumerate(row.cells):
        last = spans.get(column, column)
        room = sum(w * MM for w in grid.widths[column : last + 1]) - 2 * pad
        cells.append("" if cell is None else _cell(cell, room, run))
    if row.tool is not None:
        cells[0] = [ToolMark(row.tool, run), cells[0]]
    return cells


def _cell(cell: Cell, room: float, run: Run) -> Any:
    if isinstance(cell, Words):
        return Text(cell, room)
    if isinstance(cell, Tick):
        return TickBox(cell, run)
    if isinstance(cell, Entry):
        return EntryBox(cell, room, run)
    if isinstance(cell, Drawing):
        return Picture(cell.picture, run)
    if isinstance(cell, Space):
        return SpaceFlowable(1, cell.height * MM)
    if isinstance(cell, Stack):
        return [_cell(inner, room, run) for inner in cell.cells]
    return _table(cell, run)
