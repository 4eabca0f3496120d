"""Sets the blocks of a sheet as a PDF. The only module of the package that imports reportlab.

The document is built twice: the first run counts the pages and notes where tools change, the
second writes "page n of m" and the next tool at the foot. Text is embedded and searchable; only
the typing inside fill boxes uses the reader's own fonts.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Frame, PageBreak, PageTemplate, Table
from reportlab.platypus import Spacer as SpaceFlowable
from reportlab.platypus.flowables import Flowable

from turnsketch.checking.replay import replay
from turnsketch.errors import InputError
from turnsketch.picture.display_list import DisplayList
from turnsketch.picture.style import COLOURS, mix
from turnsketch.sheet.blocks import (
    Block,
    Cell,
    Drawing,
    Entry,
    Grid,
    Heading,
    Hold,
    NewPage,
    Space,
    Stack,
    Tick,
    Words,
)
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.furniture import (
    FOOT,
    LEADING,
    MM,
    SIDE,
    TOP,
    Run,
    foot,
    head_height,
    stop_banner,
    title_block,
    write_line,
)
from turnsketch.sheet.pages import sheet_blocks
from turnsketch.sheet.paint_pdf import BOLD, REGULAR, draw_picture, rgb
from turnsketch.sheet.records import SheetContent, SheetInput
from turnsketch.sheet.wrap import wrapped

__all__ = ["Paper", "sheet_bytes", "write_pdf"]

Paper = Literal["A4", "Letter"]

_TICK = 11.0
_TINTS = {
    "head": mix(COLOURS["desk"], "#FFFFFF", 0.35),
    "tool": COLOURS["chosen light"],
    "measure": mix(COLOURS["layer light"], "#FFFFFF", 0.35),
    "danger": COLOURS["danger light"],
    "caution": mix(COLOURS["layer light"], "#FFFFFF", 0.5),
}
_FLAT = (0, 0)


def write_pdf(
    given: SheetInput, path: str | Path, paper: Paper = "A4", *, gauge: bool = False
) -> None:
    """Write the pass sheet of a plan as PDF; `gauge` adds a page to cut a gauge from.

    Raises
    ------
    InputError
        When the file cannot be written, or the paper is not known.
    """
    data = sheet_bytes(given, paper, gauge=gauge)
    try:
        Path(path).write_bytes(data)
    except OSError as error:
        raise InputError(f"the file cannot be written: {error.strerror}", str(path)) from error


def sheet_bytes(given: SheetInput, paper: Paper = "A4", *, gauge: bool = False) -> bytes:
    """Return the pass sheet of a plan as the bytes of a PDF; the same plan gives the same bytes.

    With `gauge` a page with the profile in true size stands last, if the part has arcs or tapers.
    """
    sizes = {"A4": A4, "Letter": LETTER}
    if paper not in sizes:
        raise InputError('the paper is "A4" or "Letter"', "paper")
    _register_fonts()
    size = landscape(sizes[paper])
    given = replace(given, replay=given.replay or replay(given.plan))
    content = sheet_content(given)
    width = (size[0] - 2 * SIDE) / MM
    height = (size[1] - TOP - head_height(content, size, pdfmetrics.stringWidth) - FOOT) / MM - 3.0
    blocks = sheet_blocks(given, content, width, height, gauge=gauge)
    first = Run(dry=True)
    _build(content, blocks, size, first, first)
    return _build(content, blocks, size, Run(), first)


def _register_fonts() -> None:
    """Make the project's typeface known to the PDF library, once."""
    known = set(pdfmetrics.getRegisteredFontNames())
    for name, file in ((REGULAR, "DejaVuSans.ttf"), (BOLD, "DejaVuSans-Bold.ttf")):
        if name not in known:
            data = (files("turnsketch.resources") / "fonts" / file).read_bytes()
            pdfmetrics.registerFont(TTFont(name, io.BytesIO(data)))


def _build(
    content: SheetContent,
    blocks: Sequence[Block],
    size: tuple[float, float],
    run: Run,
    known: Run,
) -> bytes:
    buffer = io.BytesIO()
    head = head_height(content, size, pdfmetrics.stringWidth)
    height = size[1] - TOP - head - FOOT - 2 * MM
    frame = Frame(
        SIDE, FOOT, size[0] - 2 * SIDE, height, leftPadding=0, rightPadding=0, topPadding=0,
        bottomPadding=0,
    )  # fmt: skip
    document = BaseDocTemplate(
        buffer, pagesize=size, title=f"Pass sheet: {content.job}", subject=f"mark {content.mark}",
        author="TurnSketch", creator="TurnSketch", producer="TurnSketch", invariant=1,
        initialFontName=REGULAR, initialFontSize=9, lang="en", pageCompression=1,
    )  # fmt: skip

    def begin(canvas: Any, _: Any) -> None:
        if content.stops:
            stop_banner(canvas, content, size)
        title_block(canvas, content, size, known)

    def end(canvas: Any, _: Any) -> None:
        run.pages = canvas.getPageNumber()
        foot(canvas, content, size, known)

    document.addPageTemplates(PageTemplate("page", [frame], onPage=begin, onPageEnd=end))
    document.build(list(_story(blocks, run, frame.width, height)))
    return buffer.getvalue()


def _story(blocks: Sequence[Block], run: Run, width: float, height: float) -> Iterator[Flowable]:
    """Yield all blocks; a heading keeps the first row of what follows on its page."""
    made = [tuple(_flowables(block, run, width)) for block in blocks]
    for index, block in enumerate(blocks):
        if isinstance(block, Heading | Hold):
            need = _room(blocks[index:], made[index:], width, whole=isinstance(block, Hold))
            if need < height:
                yield CondPageBreak(need)
        # Room before a new page could open an empty one.
        ends = index + 1 < len(blocks) and isinstance(blocks[index + 1], NewPage)
        if not (ends and isinstance(block, Space)):
            yield from made[index]


def _room(
    blocks: Sequence[Block], made: Sequence[Sequence[Flowable]], width: float, *, whole: bool
) -> float:
    """Return the height from here to the end of the first row, or (`whole`) of the page's end."""
    room = 0.0
    for block, parts in zip(blocks, made, strict=True):
        if isinstance(block, NewPage):
            break
        heights = [part.wrap(width, 1e6)[1] for part in parts if not _breaks(part)]
        if isinstance(block, Grid) and not whole:
            return room + _first_rows(parts[0], block)
        room += sum(heights)
    return room


def _breaks(part: Flowable) -> bool:
    return isinstance(part, CondPageBreak | PageBreak)


def _first_rows(table: Any, grid: Grid) -> float:
    """Return the height of a table's header and of the rows that stay with its first one."""
    last = grid.header_rows
    while last < len(grid.rows) - 1 and grid.rows[last].with_next:
        last += 1
    return float(sum(table._rowHeights[: last + 1]))


def _flowables(block: Block, run: Run, width: float) -> Iterator[Flowable]:
    if isinstance(block, Heading):
        yield CondPageBreak(block.need * MM)
        yield _Title(block)
    elif isinstance(block, Grid):
        yield _table(block, run)
    elif isinstance(block, Space):
        yield SpaceFlowable(1, block.height * MM)
    elif isinstance(block, NewPage):
        yield PageBreak()
    elif isinstance(block, Hold):
        return
    else:
        yield _Text(block, width)


class _Title(Flowable):  # type: ignore[misc]
    """A heading with its bookmark."""

    def __init__(self, block: Heading) -> None:
        super().__init__()
        self._block = block
        self._size = 14.0 if block.level == 0 else 11.5

    def wrap(self, width: float, _: float) -> tuple[float, float]:
        self._width = width
        self._lines = wrapped(
            self._block.text, width, lambda t: self._string_width(t), most_lines=3
        )
        above = 5.0 if self._block.level else 2.0
        return width, len(self._lines) * self._size * LEADING + above + 3.0

    def _string_width(self, text: str) -> float:
        return float(pdfmetrics.stringWidth(text, BOLD, self._size))

    def draw(self) -> None:
        canvas = self.canv
        key = f"h{canvas.getPageNumber()}.{self._block.text}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(self._block.text, key, self._block.level, closed=False)
        y = 3.0 + (len(self._lines) - 1) * self._size * LEADING + 0.22 * self._size
        for line in self._lines:
            write_line(canvas, line, 0, y, self._width, BOLD, self._size, "ink")
            y -= self._size * LEADING


def _table(grid: Grid, run: Run) -> Table:
    """Return a grid as a table: its header repeats, its rows are never split."""
    pad = grid.padding * MM
    style: list[tuple[Any, ...]] = [
        ("LEFTPADDING", _FLAT, (-1, -1), pad),
        ("RIGHTPADDING", _FLAT, (-1, -1), pad),
        ("TOPPADDING", _FLAT, (-1, -1), pad * 0.8),
        ("BOTTOMPADDING", _FLAT, (-1, -1), pad * 0.8),
        ("VALIGN", _FLAT, (-1, -1), "MIDDLE"),
        ("FONTNAME", _FLAT, (-1, -1), REGULAR),
    ]
    if grid.ruled:
        style.append(("LINEBELOW", _FLAT, (-1, -1), 0.4, rgb_colour("narrow")))
    if grid.uprights:
        style.append(("LINEAFTER", _FLAT, (-2, -1), 0.4, rgb_colour("desk")))
    widths = [w * MM for w in grid.widths]
    data: list[list[Any]] = []
    for index, row in enumerate(grid.rows):
        spans = dict(row.spans)
        cells: list[Any] = []
        for column, cell in enumerate(row.cells):
            room = sum(widths[column : spans.get(column, column) + 1]) - 2 * pad
            cells.append("" if cell is None else _cell(cell, room, run))
            if isinstance(cell, Drawing):
                style.append(("ALIGN", (column, index), (column, index), "CENTER"))
        if row.tool is not None:
            cells[0] = [_ToolMark(row.tool, run), cells[0]]
        data.append(cells)
        for first, last in row.spans:
            style.append(("SPAN", (first, index), (last, index)))
        if row.tint:
            style.append(("BACKGROUND", (0, index), (-1, index), rgb_colour(_TINTS[row.tint])))
        if row.with_next:
            style.append(("NOSPLIT", (0, index), (-1, index + 1)))
    table = Table(data, colWidths=widths, repeatRows=grid.header_rows, style=style, hAlign="LEFT")
    table.splitInRow = 0
    return table


def rgb_colour(name: str) -> Any:
    """Return a colour of the project, or "#RRGGBB", for the PDF library."""
    from reportlab.lib.colors import Color

    return Color(*rgb(COLOURS.get(name, name)))


def _cell(cell: Cell, room: float, run: Run) -> Any:
    if isinstance(cell, Words):
        return _Text(cell, room)
    if isinstance(cell, Tick):
        return _TickBox(cell, run)
    if isinstance(cell, Entry):
        return _EntryBox(cell, room, run)
    if isinstance(cell, Drawing):
        return _Picture(cell.picture, run)
    if isinstance(cell, Space):
        return SpaceFlowable(1, cell.height * MM)
    if isinstance(cell, Stack):
        return [_cell(inner, room, run) for inner in cell.cells]
    return _table(cell, run)


class _Text(Flowable):  # type: ignore[misc]
    """Words in a cell: broken into lines, or each line narrowed to the room."""

    def __init__(self, words: Words, room: float) -> None:
        super().__init__()
        self._words = words
        self._room = room
        self._font = BOLD if words.bold else REGULAR

    def _width_of(self, text: str) -> float:
        return float(pdfmetrics.stringWidth(text, self._font, self._words.size))

    def wrap(self, width: float, _: float) -> tuple[float, float]:
        words, room = self._words, min(self._room, width) if width > 0 else self._room
        self._shown = room
        if words.squeeze:
            self._lines = words.text.split("\n") if words.text else []
        else:
            self._lines = wrapped(words.text, room, self._width_of)
        return room, len(self._lines) * words.size * LEADING

    def draw(self) -> None:
        words = self._words
        colour = "danger" if words.danger else "narrow" if words.faint else "ink"
        y = (len(self._lines) - 1) * words.size * LEADING + 0.24 * words.size
        for line in self._lines:
            write_line(
                self.canv, line, 0, y, self._shown, self._font, words.size, colour, words.align
            )
            y -= words.size * LEADING


class _TickBox(Flowable):  # type: ignore[misc]
    """A box to tick, by pen or on screen."""

    def __init__(self, tick: Tick, run: Run) -> None:
        super().__init__()
        self._tick = tick
        self._run = run

    def wrap(self, *_: float) -> tuple[float, float]:
        return _TICK, _TICK

    def draw(self) -> None:
        page = self.canv.getPageNumber()
        self._run.ticks[page] = self._run.ticks.get(page, 0) + 1
        if self._run.dry:
            return
        self.canv.acroForm.checkbox(
            name=self._tick.name, tooltip=self._tick.tip or self._tick.name, size=_TICK,
            borderColor=rgb_colour("ink"), fillColor=rgb_colour("#FFFFFF"),
            textColor=rgb_colour("ink"), borderWidth=0.8, fieldFlags="", relative=True,
        )  # fmt: skip


class _EntryBox(Flowable):  # type: ignore[misc]
    """A box to write in, by pen or on screen."""

    def __init__(self, entry: Entry, room: float, run: Run) -> None:
        super().__init__()
        self._run = run
        self._entry = entry
        self._size = min(entry.width * MM, room), entry.height * MM

    def wrap(self, *_: float) -> tuple[float, float]:
        return self._size

    def draw(self) -> None:
        if self._run.dry:
            return
        width, height = self._size
        self.canv.acroForm.textfield(
            name=self._entry.name, tooltip=self._entry.tip or self._entry.name, width=width,
            height=height, borderColor=rgb_colour("ink"), fillColor=rgb_colour("#FFFFFF"),
            textColor=rgb_colour("ink"), borderWidth=0.8, fontSize=11, fontName="Helvetica",
            relative=True, forceBorder=True,
        )  # fmt: skip


class _Picture(Flowable):  # type: ignore[misc]
    """A display list at its own scale."""

    def __init__(self, picture: DisplayList, run: Run) -> None:
        super().__init__()
        self._run = run
        self._picture = picture

    def wrap(self, *_: float) -> tuple[float, float]:
        return self._picture.width_mm * MM, self._picture.height_mm * MM

    def draw(self) -> None:
        if not self._run.dry:
            draw_picture(self.canv, self._picture, 0, 0)


class _ToolMark(Flowable):  # type: ignore[misc]
    """Takes no room; notes on which page a tool is put in."""

    def __init__(self, tool: int, run: Run) -> None:
        super().__init__()
        self._tool = tool
        self._run = run

    def wrap(self, *_: float) -> tuple[float, float]:
        return 0.0, 0.0

    def draw(self) -> None:
        self._run.tools.setdefault(self.canv.getPageNumber(), self._tool)
