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
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Frame, PageBreak, PageTemplate
from reportlab.platypus.flowables import Flowable

from turnsketch.checking.replay import replay
from turnsketch.errors import InputError
from turnsketch.sheet.blocks import Block, Grid, Heading, Hold, NewPage, Space
from turnsketch.sheet.content import sheet_content
from turnsketch.sheet.furniture import (
    FOOT,
    MM,
    SIDE,
    TOP,
    Run,
    foot,
    head_height,
    stop_banner,
    title_block,
)
from turnsketch.sheet.pages import sheet_blocks
from turnsketch.sheet.paint_pdf import BOLD, REGULAR
from turnsketch.sheet.pdf_tables import flowables
from turnsketch.sheet.records import SheetContent, SheetInput

__all__ = ["Paper", "sheet_bytes", "write_pdf"]

Paper = Literal["A4", "Letter"]


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
    made = [tuple(flowables(block, run, width)) for block in blocks]
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
