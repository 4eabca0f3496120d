"""Sets the blocks of a sheet as a PDF. The only module of the package that imports reportlab.

The document is built twice: the first run counts the pages and notes where tools change, the
second writes "page n of m" and the next tool at the foot. Text is embedded and searchable; only
the typing inside fill boxes uses the reader's own fonts.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Frame, PageBreak, PageTemplate, Table
from reportlab.platypus import Spacer as SpaceFlowable
from reportlab.platypus.flowables import Flowable

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
    NewPage,
    Space,
    Stack,
    Tick,
    Words,
)
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.pages import sheet_blocks
from turnsketch.sheet.paint_pdf import BOLD, REGULAR, draw_picture, rgb
from turnsketch.sheet.records import Fact, SheetContent, SheetInput
from turnsketch.sheet.wrap import fitted, wrapped

__all__ = ["Paper", "sheet_bytes", "write_pdf"]

Paper = Literal["A4", "Letter"]

_MM = 72 / 25.4
_SIDE, _TOP, _FOOT, _HEAD = 9 * _MM, 7 * _MM, 14 * _MM, 12 * _MM
_STOP_BAND = 8 * _MM
_TICK = 11.0
_LEADING = 1.18
_TINTS = {
    "head": mix(COLOURS["desk"], "#FFFFFF", 0.35),
    "tool": COLOURS["chosen light"],
    "measure": mix(COLOURS["layer light"], "#FFFFFF", 0.35),
    "danger": COLOURS["danger light"],
    "caution": mix(COLOURS["layer light"], "#FFFFFF", 0.5),
}
_FLAT = (0, 0)


def write_pdf(given: SheetInput, path: str | Path, paper: Paper = "A4") -> None:
    """Write the pass sheet of a plan as PDF.

    Raises
    ------
    InputError
        When the file cannot be written, or the paper is not known.
    """
    data = sheet_bytes(given, paper)
    try:
        Path(path).write_bytes(data)
    except OSError as error:
        raise InputError(f"the file cannot be written: {error.strerror}", str(path)) from error


def sheet_bytes(given: SheetInput, paper: Paper = "A4") -> bytes:
    """Return the pass sheet of a plan as the bytes of a PDF; the same plan gives the same bytes."""
    sizes = {"A4": A4, "Letter": LETTER}
    if paper not in sizes:
        raise InputError('the paper is "A4" or "Letter"', "paper")
    _register_fonts()
    size = landscape(sizes[paper])
    content = sheet_content(given)
    blocks = sheet_blocks(given, content, (size[0] - 2 * _SIDE) / _MM)
    first = _Run(dry=True)
    _build(content, blocks, size, first, first)
    return _build(content, blocks, size, _Run(), first)


def _register_fonts() -> None:
    """Make the project's typeface known to the PDF library, once."""
    known = set(pdfmetrics.getRegisteredFontNames())
    for name, file in ((REGULAR, "DejaVuSans.ttf"), (BOLD, "DejaVuSans-Bold.ttf")):
        if name not in known:
            data = (files("turnsketch.resources") / "fonts" / file).read_bytes()
            pdfmetrics.registerFont(TTFont(name, io.BytesIO(data)))


@dataclass
class _Run:
    """What one building of the document learns, page by page."""

    dry: bool = False
    """Counts alone: pictures and boxes are not drawn, which takes half the time away."""
    pages: int = 0
    ticks: dict[int, int] = field(default_factory=dict)
    tools: dict[int, int] = field(default_factory=dict)
    """First tool that is put in on a page."""

    def next_tool(self, page: int) -> int | None:
        """Return the next tool that is put in on a later page."""
        return next((tool for p, tool in sorted(self.tools.items()) if p > page), None)


def _build(
    content: SheetContent,
    blocks: Sequence[Block],
    size: tuple[float, float],
    run: _Run,
    known: _Run,
) -> bytes:
    buffer = io.BytesIO()
    head = _HEAD + (_STOP_BAND if content.stops else 0.0)
    height = size[1] - _TOP - head - _FOOT - 2 * _MM
    frame = Frame(
        _SIDE, _FOOT, size[0] - 2 * _SIDE, height, leftPadding=0, rightPadding=0, topPadding=0,
        bottomPadding=0,
    )  # fmt: skip
    document = BaseDocTemplate(
        buffer, pagesize=size, title=f"Pass sheet: {content.job}", subject=f"mark {content.mark}",
        author="TurnSketch", creator="TurnSketch", producer="TurnSketch", invariant=1,
        initialFontName=REGULAR, initialFontSize=9, lang="en", pageCompression=1,
    )  # fmt: skip

    def begin(canvas: Any, _: Any) -> None:
        if content.stops:
            _stop_banner(canvas, content, size)
        _title_block(canvas, content, size, known)

    def end(canvas: Any, _: Any) -> None:
        run.pages = canvas.getPageNumber()
        _foot(canvas, content, size, known)

    document.addPageTemplates(PageTemplate("page", [frame], onPage=begin, onPageEnd=end))
    document.build([part for block in blocks for part in _flowables(block, run, frame.width)])
    return buffer.getvalue()


# Page furniture


def _colour(canvas: Any, name: str) -> None:
    canvas.setFillColorRGB(*rgb(COLOURS.get(name, name)))


def _title_block(
    canvas: Any, content: SheetContent, size: tuple[float, float], known: _Run
) -> None:
    """Draw the title block along the head of the page."""
    page = f"{canvas.getPageNumber()} of {known.pages}"
    facts = [*content.title, Fact("Page", page)]
    wide = [
        max(
            canvas.stringWidth(f.label, REGULAR, 9),
            canvas.stringWidth(f.value, BOLD, 10.5),
        )
        + 3.2 * _MM
        for f in facts
    ]
    room = size[0] - 2 * _SIDE
    widths = _shared(wide, room)
    x, y = _SIDE, size[1] - _TOP - _HEAD
    canvas.saveState()
    canvas.setStrokeColorRGB(*rgb(COLOURS["ink"]))
    canvas.setLineWidth(0.5 * _MM)
    canvas.rect(_SIDE, y, room, _HEAD, stroke=1, fill=0)
    canvas.setLineWidth(0.25 * _MM)
    for index, (fact, width) in enumerate(zip(facts, widths, strict=True)):
        if index:
            canvas.line(x, y, x, y + _HEAD)
        inside = width - 2.4 * _MM
        _line(canvas, fact.label, x + 1.2 * _MM, y + _HEAD - 10, inside, REGULAR, 9, "narrow")
        _line(canvas, fact.value, x + 1.2 * _MM, y + 6.5, inside, BOLD, 10.5, "ink")
        x += width
    canvas.restoreState()


def _shared(wanted: Sequence[float], room: float) -> list[float]:
    """Return widths that fill `room`: each its wish and a share of the rest, or squeezed."""
    spare = room - sum(wanted)
    if spare >= 0:
        return [w + spare / len(wanted) for w in wanted]
    # The longest give way first: no field may take more than a limit that makes the sum fit.
    limit = room
    while sum(min(w, limit) for w in wanted) > room:
        limit *= 0.97
    return [min(w, limit) for w in wanted]


def _line(
    canvas: Any, text: str, x: float, y: float, room: float, font: str, size: float, colour: str,
    align: str = "left",
) -> None:  # fmt: skip
    """Write one line, narrowed or shortened to fit `room`."""
    shown, size, narrow = fitted(text, room, size, lambda t, s: canvas.stringWidth(t, font, s))
    wide = canvas.stringWidth(shown, font, size) * narrow
    x += {"left": 0.0, "right": room - wide, "centre": (room - wide) / 2}[align]
    _colour(canvas, colour)
    text_object = canvas.beginText(x, y)
    text_object.setFont(font, size)
    text_object.setHorizScale(100 * narrow)
    text_object.textOut(shown)
    text_object.setHorizScale(100)
    canvas.drawText(text_object)


def _stop_banner(canvas: Any, content: SheetContent, size: tuple[float, float]) -> None:
    """Print the stop across the page and in a band under the title block."""
    canvas.saveState()
    canvas.translate(size[0] / 2, size[1] / 2)
    canvas.rotate(30)
    _colour(canvas, "danger light")
    canvas.setFont(BOLD, 44)
    canvas.drawCentredString(0, 8, "STOP")
    canvas.setFont(BOLD, 38)
    canvas.drawCentredString(0, -40, "do not cut from this sheet")
    canvas.restoreState()
    more = len(content.stops) - 1
    text = f"STOP: do not cut from this sheet: {content.stops[0]}"
    if more:
        text += f"   (and {more} more)"
    y = size[1] - _TOP - _HEAD - _STOP_BAND
    canvas.saveState()
    canvas.setStrokeColorRGB(*rgb(COLOURS["danger"]))
    canvas.setLineWidth(0.5 * _MM)
    room = size[0] - 2 * _SIDE
    canvas.rect(_SIDE, y + 1.2 * _MM, room, _STOP_BAND - 2.2 * _MM, stroke=1, fill=0)
    _line(canvas, text, _SIDE + 2 * _MM, y + 3.0 * _MM, room - 4 * _MM, BOLD, 11, "danger")
    canvas.restoreState()


def _foot(canvas: Any, content: SheetContent, size: tuple[float, float], known: _Run) -> None:
    page = canvas.getPageNumber()
    parts = [
        f"mark {content.mark}",
        f"page {page} of {known.pages}",
        "diameters; Z minus is toward the chuck",
    ]
    tool = known.next_tool(page)
    if tool is not None:
        parts.append(f"next tool T{tool}")
    ticks = known.ticks.get(page, 0)
    if ticks:
        parts.append(f"boxes on this page: {ticks}")
    canvas.saveState()
    canvas.setStrokeColorRGB(*rgb(COLOURS["ink"]))
    canvas.setLineWidth(0.25 * _MM)
    y = _FOOT - 3.0 * _MM
    canvas.line(_SIDE, y, size[0] - _SIDE, y)
    room = size[0] - 2 * _SIDE
    _line(canvas, "   ·   ".join(parts), _SIDE, y - 12, room, REGULAR, 9.5, "ink", "centre")
    canvas.restoreState()


# Blocks to flowables


def _flowables(block: Block, run: _Run, width: float) -> Iterator[Flowable]:
    if isinstance(block, Heading):
        yield CondPageBreak(block.need * _MM)
        yield _Title(block)
    elif isinstance(block, Grid):
        yield _table(block, run)
    elif isinstance(block, Space):
        yield SpaceFlowable(1, block.height * _MM)
    elif isinstance(block, NewPage):
        yield PageBreak()
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
        return width, len(self._lines) * self._size * _LEADING + above + 3.0

    def _string_width(self, text: str) -> float:
        return float(pdfmetrics.stringWidth(text, BOLD, self._size))

    def draw(self) -> None:
        canvas = self.canv
        key = f"h{canvas.getPageNumber()}.{self._block.text}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(self._block.text, key, self._block.level, closed=False)
        y = 3.0 + (len(self._lines) - 1) * self._size * _LEADING + 0.22 * self._size
        for line in self._lines:
            _line(canvas, line, 0, y, self._width, BOLD, self._size, "ink")
            y -= self._size * _LEADING


def _table(grid: Grid, run: _Run) -> Table:
    """Return a grid as a table: its header repeats, its rows are never split."""
    pad = grid.padding * _MM
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
    widths = [w * _MM for w in grid.widths]
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


def _cell(cell: Cell, room: float, run: _Run) -> Any:
    if isinstance(cell, Words):
        return _Text(cell, room)
    if isinstance(cell, Tick):
        return _TickBox(cell, run)
    if isinstance(cell, Entry):
        return _EntryBox(cell, room, run)
    if isinstance(cell, Drawing):
        return _Picture(cell.picture, run)
    if isinstance(cell, Space):
        return SpaceFlowable(1, cell.height * _MM)
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
        return room, len(self._lines) * words.size * _LEADING

    def draw(self) -> None:
        words = self._words
        colour = "danger" if words.danger else "narrow" if words.faint else "ink"
        y = (len(self._lines) - 1) * words.size * _LEADING + 0.24 * words.size
        for line in self._lines:
            _line(self.canv, line, 0, y, self._shown, self._font, words.size, colour, words.align)
            y -= words.size * _LEADING


class _TickBox(Flowable):  # type: ignore[misc]
    """A box to tick, by pen or on screen."""

    def __init__(self, tick: Tick, run: _Run) -> None:
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

    def __init__(self, entry: Entry, room: float, run: _Run) -> None:
        super().__init__()
        self._run = run
        self._entry = entry
        self._size = min(entry.width * _MM, room), entry.height * _MM

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

    def __init__(self, picture: DisplayList, run: _Run) -> None:
        super().__init__()
        self._run = run
        self._picture = picture

    def wrap(self, *_: float) -> tuple[float, float]:
        return self._picture.width_mm * _MM, self._picture.height_mm * _MM

    def draw(self) -> None:
        if not self._run.dry:
            draw_picture(self.canv, self._picture, 0, 0)


class _ToolMark(Flowable):  # type: ignore[misc]
    """Takes no room; notes on which page a tool is put in."""

    def __init__(self, tool: int, run: _Run) -> None:
        super().__init__()
        self._tool = tool
        self._run = run

    def wrap(self, *_: float) -> tuple[float, float]:
        return 0.0, 0.0

    def draw(self) -> None:
        self._run.tools.setdefault(self.canv.getPageNumber(), self._tool)
