"""Blocks for tapers, arcs and step tables: picture, facts, and the steps with a box each."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.geometry.elements import Point
from turnsketch.picture.details import path_picture
from turnsketch.plan_records import Pass
from turnsketch.sheet.blocks import (
    Block,
    Cell,
    Drawing,
    Grid,
    GridRow,
    Heading,
    NewPage,
    Space,
    Stack,
    Tick,
    Words,
)
from turnsketch.sheet.pass_table import head_row
from turnsketch.sheet.records import Detail, SetupSheet

__all__ = ["detail_blocks"]

_BLOCKS = 4
_ROWS_A_PAGE = 18


def detail_blocks(sheet: SetupSheet, width: float) -> Iterator[Block]:
    """Yield the details of a setup; nothing when it has none."""
    if not sheet.details:
        return
    yield NewPage()
    yield Heading("Details")
    for detail in sheet.details:
        lines = min((len(detail.steps) + _BLOCKS - 1) // _BLOCKS, _ROWS_A_PAGE)
        yield Heading(detail.title, 1, need=min(68.0 + 6.4 * lines, 150.0))
        yield _facts(sheet, detail, width)
        if detail.steps:
            yield Space(2.0)
            yield from _steps(detail, sheet.setup.number, width)
        if detail.tangents:
            yield from _tangents(detail, width)


def _cut_ends(step: Pass) -> tuple[Point, Point] | None:
    """Return where the first cut begins and the last one ends."""
    here, first, last = step.start, None, None
    for move in step.moves:
        if move.kind == "cut":
            first, last = first or here, move.to
        here = move.to
    return (first, last) if first and last else None


def _facts(sheet: SetupSheet, detail: Detail, width: float) -> Grid:
    ends = _cut_ends(detail.step)
    marks = ((ends[0], "Start"), (ends[1], "End")) if ends else ()
    left = 0.42 * width
    picture = path_picture(sheet.setup, detail.step, left - 4, 56.0, marks)
    rows = tuple(
        GridRow((Words(f.label, 10.0, faint=True), Words(f.value, 11.5, bold=True)))
        for f in detail.facts
    )
    right = width - left
    cells: list[Cell] = [_ways(detail, right - 2.4)] if detail.ways else []
    if rows:
        cells += [Space(1.5), Grid((58.0, right - 62.0), rows, padding=0.8)]
    for words in detail.words:
        cells += [Space(1.5), Words(words, 10.0)]
    return Grid((left, right), (GridRow((Drawing(picture), Stack(tuple(cells)))),), ruled=False)


def _ways(detail: Detail, width: float) -> Grid:
    """Return where each pass starts and ends, with centre and path radius of an arc."""
    arc = any(len(way) > 5 for way in detail.ways)
    taper = detail.step.taper
    end = "tool's end X Ø" if taper and taper.means == "top slide" else "end X Ø"
    heads = ["pass", "start X Ø", "Z", end, "Z"]
    heads += ["centre X Ø", "Z", "path R"] if arc else []
    each = (width - 11.0) / (len(heads) - 1)
    columns = range(1, len(heads))
    rows = [head_row(*heads, right=tuple(columns))]
    for way in detail.ways:
        texts = [*way, *[""] * (len(heads) - len(way))]
        cells = [
            Words(text, 10.0, bold=bool(i), align="right" if i else "left", squeeze=True)
            for i, text in enumerate(texts)
        ]
        rows.append(GridRow(tuple(cells)))
    return Grid((11.0, *[each] * len(columns)), tuple(rows), header_rows=1, padding=0.7)


def _steps(detail: Detail, setup: int, width: float) -> Iterator[Block]:
    """Yield the step table, filled down its columns, a page at a time."""
    page = _BLOCKS * _ROWS_A_PAGE
    for start in range(0, len(detail.steps), page):
        yield _step_grid(detail, detail.steps[start : start + page], setup, width)
        yield Space(2.0)


def _tangents(detail: Detail, width: float) -> Iterator[Block]:
    """Yield the cuts by the top slide that may stand in for a long table."""
    yield Heading(f"{detail.letter}   Or by the top slide: tangent cuts", 2, need=40.0)
    yield Words(
        "Instead of the table. Swivel the slide to the angle so that X goes its way toward the "
        "chuck, touch the tool again, bring X and Z to start, lock the carriage, and wind the "
        "slide alone by its way. Every swivel loses X and Z. The corners that stay are filed.",
        10.0,
    )
    heads = ("", "to the spindle", "scale", "X goes", "start X Ø", "Z", "end X Ø", "Z", "slide")
    each = (width - 9.0) / (len(heads) - 1)
    rows = [head_row(*heads, right=tuple(range(1, len(heads))))]
    rows += [
        GridRow(
            tuple(
                Words(text, 10.0, bold=bool(i), align="right", squeeze=True)
                for i, text in enumerate(cut)
            )
        )
        for cut in detail.tangents
    ]
    yield Grid((9.0, *[each] * (len(heads) - 1)), tuple(rows), header_rows=1, padding=0.7)


def _step_grid(
    detail: Detail, steps: tuple[tuple[str, str, str], ...], setup: int, width: float
) -> Grid:
    height = max((len(steps) + _BLOCKS - 1) // _BLOCKS, 1)
    blocks = (len(steps) + height - 1) // height
    one = width / _BLOCKS
    figure = (one - 24) / 2
    widths = (8.0, 9.0, figure, figure, 7.0) * blocks
    right = tuple(i for i in range(5 * blocks) if i % 5 in (1, 2, 3))
    rows = [head_row(*(("", "", "Z", "X Ø", "") * blocks), right=right)]
    for line in range(height):
        cells: list[Cell | None] = []
        for block in range(blocks):
            index = block * height + line
            if index < len(steps):
                cells += _step_cells(detail, steps[index], setup)
            else:
                cells += [None] * 5
        rows.append(GridRow(tuple(cells)))
    return Grid(widths, tuple(rows), header_rows=1, padding=0.8)


def _step_cells(detail: Detail, step: tuple[str, str, str], setup: int) -> list[Cell | None]:
    number, x, z = step
    return [
        Tick(f"s{setup}.step{detail.step.number}.{number}", f"step {number}"),
        Words(number, 10.0, align="right", faint=True),
        Words(z, 11.0, bold=True, align="right", squeeze=True),
        Words(x, 11.0, bold=True, align="right", squeeze=True),
        None,
    ]
