"""A page as plain values: headings, grids of cells, boxes to fill and to tick, drawings.

Lengths are millimetres of paper, type sizes are points. `turnsketch.sheet.pages` composes them,
`turnsketch.sheet.pdf` sets them; nothing here knows a PDF.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from turnsketch.picture.display_list import DisplayList

__all__ = [
    "Align",
    "Block",
    "Cell",
    "Drawing",
    "Entry",
    "Grid",
    "GridRow",
    "Heading",
    "Hold",
    "NewPage",
    "Space",
    "Stack",
    "Tick",
    "Tint",
    "Words",
]

Align = Literal["left", "right", "centre"]
Tint = Literal["", "head", "tool", "measure", "danger", "caution"]


@dataclass(frozen=True, slots=True)
class Words:
    """Text in a cell; a newline begins a new line."""

    text: str
    size: float = 10.0
    bold: bool = False
    align: Align = "left"
    faint: bool = False
    squeeze: bool = False
    """Set on one line and narrowed to fit, instead of broken into lines: for figures."""
    danger: bool = False


@dataclass(frozen=True, slots=True)
class Tick:
    """A box to tick."""

    name: str
    """Unique in the document."""
    tip: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A box to write in, fillable on screen."""

    name: str
    tip: str = ""
    width: float = 26.0
    height: float = 8.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture at its own scale."""

    picture: DisplayList


@dataclass(frozen=True, slots=True)
class Space:
    """Empty height."""

    height: float = 3.0


@dataclass(frozen=True, slots=True)
class Stack:
    """Cells below one another."""

    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row; it is never split over two pages."""

    cells: tuple[Cell | None, ...]
    spans: tuple[tuple[int, int], ...] = ()
    """First and last column of each cell that runs over several; the rest of them is None."""
    tint: Tint = ""
    with_next: bool = False
    """Stays on one page with the row after it."""
    tool: int | None = None
    """A tool change: the foot of the pages before names it."""


@dataclass(frozen=True, slots=True)
class Grid:
    """A table; the first rows may repeat on every page."""

    widths: tuple[float, ...]
    rows: tuple[GridRow, ...]
    header_rows: int = 0
    ruled: bool = True
    uprights: bool = False
    """Narrow lines between columns, where figures of two columns could be read as one."""
    padding: float = 1.2
    top: bool = False
    """Cells of a row begin at its top instead of standing in its middle."""


Cell = Words | Tick | Entry | Drawing | Space | Stack | Grid


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; it is a bookmark too, and stays with what follows."""

    text: str
    level: int = 0
    need: float = 30.0
    """Room below it on the page; with less left, a new page begins."""


@dataclass(frozen=True, slots=True)
class Hold:
    """What follows up to the next new page stays together, if it fits on one page."""


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins on a new page."""


Block = Heading | Grid | Space | NewPage | Words | Hold
