"""Blocks of the last pages: inspection, surfaces, what stays, what may be saved, signatures."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.sheet.blocks import (
    Block,
    Cell,
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
from turnsketch.sheet.pass_table import head_row
from turnsketch.sheet.records import FinishLine, LeftOverLine, RescueLine, SheetContent

__all__ = ["closing_pages"]

_MOST_BESIDE = 14
"""Tables with more lines than this stand below one another: a row is never split."""


def closing_pages(content: SheetContent, width: float) -> Iterator[Block]:
    """Yield inspection, surfaces, what stays, what may be saved, and the lines to sign."""
    yield NewPage()
    if content.inspection:
        yield Heading("Inspection")
        yield _inspection_grid(content, width)
    if not content.rescue:
        yield Hold()
    yield from _side_by_side(content, width)
    if content.rescue:
        yield Hold()
    yield from _rescue(content.rescue, width)
    if content.forecast:
        yield Space(2.0)
        yield Words(content.forecast, 10.0)
    yield from _sign_off(content.sign_off, width)


def _side_by_side(content: SheetContent, width: float) -> Iterator[Block]:
    """Yield surfaces and what stays beside one another, or the one that there is."""
    whole = [tuple(_finish(content.finish, width)), tuple(_left_over(content.left_over, width))]
    used = sum(bool(blocks) for blocks in whole)
    if used < 2 or max(len(content.finish), 2 * len(content.left_over)) > _MOST_BESIDE:
        for blocks in whole:
            yield from blocks
        return
    yield Space(4.0)
    each = width / 2
    halves = (_finish(content.finish, each - 3.0), _left_over(content.left_over, each - 3.0))
    cells = tuple(Stack(tuple(_as_cells(blocks))) for blocks in halves)
    yield Grid((each, each), (GridRow(cells),), ruled=False, padding=0.5, top=True)


def _as_cells(blocks: Iterator[Block]) -> Iterator[Cell]:
    """Turn headings into bold lines, so that blocks can stand in a cell."""
    for block in blocks:
        if isinstance(block, Heading):
            yield Words(block.text, 11.5, bold=True)
            yield Space(1.0)
        elif not isinstance(block, NewPage | Hold | Space):
            yield block


def _finish(lines: tuple[FinishLine, ...], width: float) -> Iterator[Block]:
    """Yield the print's roughness and the feed that meets it."""
    if not lines:
        return
    fixed = (19.0, 11.0, 15.0, 24.0, 20.0, 8.0)
    rows = [
        head_row("surface", "print, µm", "pass", "feed", "comes out", "feed up to", "ok",
                 right=(3, 5))
    ]  # fmt: skip
    for index, line in enumerate(lines, start=1):
        texts = (line.surface, line.printed, line.passes, line.feed, line.expected,
                 line.greatest_feed)  # fmt: skip
        cells = [
            Words(t, 9.5, align="right" if i in (3, 5) else "left") for i, t in enumerate(texts)
        ]
        rows.append(GridRow((*cells, Tick(f"finish.{index}", f"{line.surface} looks right"))))
    yield Heading("Surfaces", 1, need=10.0 + 6.5 * min(len(lines) + 1, 8))
    yield Grid((width - sum(fixed), *fixed), tuple(rows), header_rows=1, padding=0.7)


def _left_over(lines: tuple[LeftOverLine, ...], width: float) -> Iterator[Block]:
    """Yield what stays although it is not part."""
    if not lines:
        return
    rows = [head_row("where", "height", "why", "what would reach it")]
    for item in lines:
        texts = (item.place, item.height, item.cause, item.remedy)
        rows.append(GridRow(tuple(Words(t, 9.5) for t in texts)))
    shares = (0.21, 0.22, 0.32, 0.25)
    yield Space(3.0)
    yield Heading("Metal that stays although it is not part", 1)
    yield Grid(tuple(width * s for s in shares), tuple(rows), header_rows=1, padding=0.7)


def _rescue(lines: tuple[RescueLine, ...], width: float) -> Iterator[Block]:
    """Yield what may be done with a seat that came out too thin."""
    if not lines:
        return
    rows = [
        GridRow((Words(line.surface, 10.0, bold=True), Words(line.under, 10.0),
                 Words(line.words, 10.0)))
        for line in lines
    ]  # fmt: skip
    yield Heading("If it came out too thin, or a bore too wide", 1, need=10.0 + 10.0 * len(lines))
    yield Grid((44.0, 34.0, width - 78.0), tuple(rows), padding=0.8)


def _sign_off(names: tuple[str, ...], width: float) -> Iterator[Block]:
    """Yield lines to sign, two beside one another, each with a date."""
    widths = (27.0, 0.5 * width - 27 - 48, 11.0, 37.0)
    rows = []
    for start in range(0, len(names), 2):
        cells: list[Cell | None] = []
        for name in names[start : start + 2]:
            key = name.lower().replace(" ", "_")
            cells += [
                Words(name, 10.5),
                Entry(f"sign.{key}", name, widths[1] - 2.4, 7.5),
                Words("date", 10.5, align="right"),
                Entry(f"sign.{key}.date", f"{name}, date", 31.0, 7.5),
            ]
        rows.append(GridRow((*cells, *[None] * (8 - len(cells)))))
    yield Heading("Signed", 1, need=8.0 + 9.5 * len(rows))
    yield Grid(widths * 2, tuple(rows), ruled=False, padding=0.8)


def _inspection_grid(content: SheetContent, width: float) -> Grid:
    fixed = (34.0, 28.0, 28.0, 28.0, 46.0, 34.0, 10.0)
    widths = (width - sum(fixed), *fixed)
    rows = [
        head_row("what", "print", "lower", "upper", "aim", "limits from", "measured", "ok",
                 right=(2, 3, 4))
    ]  # fmt: skip
    for index, line in enumerate(content.inspection, start=1):
        figures = [
            Words(text, 11.0, align="right", squeeze=True, bold=bold)
            for text, bold in ((line.lower, False), (line.upper, False), (line.aim, True))
        ]
        source = "for reference" if line.reference else line.source
        rows.append(
            GridRow(
                (
                    Words(line.what, 11.0),
                    Words(line.text, 11.0, bold=True),
                    *figures,
                    Words(source, 9.5),
                    Entry(f"inspect.{index}", f"{line.what} {line.text}", 30.0, 6.4),
                    Tick(f"inspect.{index}.ok", f"{line.what} is within its limits"),
                )
            )
        )
    return Grid(widths, tuple(rows), header_rows=1, padding=0.8)
