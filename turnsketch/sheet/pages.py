"""The order of the sheet: set-up, tools, levers, pictures, passes, details, inspection."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.picture.figures import operation_picture
from turnsketch.picture.held_work import working_box
from turnsketch.picture.layers import Layer, plan_layers
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
    Words,
)
from turnsketch.sheet.closing_pages import closing_pages
from turnsketch.sheet.content import sheet_numbers
from turnsketch.sheet.detail_pages import detail_blocks
from turnsketch.sheet.gauge import gauge_blocks
from turnsketch.sheet.pass_table import head_row, pass_table
from turnsketch.sheet.records import OperationLine, SetupSheet, SheetContent, SheetInput
from turnsketch.sheet.setting_pages import setup_pages

__all__ = ["sheet_blocks"]

_MOST_ACROSS = 4
_CAPTION = 8.0
"""Height of a picture's caption and of the room around it, millimetres."""
_LEAST_PICTURE, _MOST_PICTURE = 30.0, 80.0

_HOW_TO_READ = (
    'Read a row from left to right, one wheel a motion: stand at "from", set, cut, then, back. '
    "Wheel: turns (t) and divisions (d) of the cross dial. Last chance: so much too deep on Ø is "
    "scrap."
)


def sheet_blocks(
    given: SheetInput,
    content: SheetContent,
    width: float,
    height: float = 165.0,
    *,
    gauge: bool = False,
) -> tuple[Block, ...]:
    """Return all blocks of a sheet for a page of this room inside its margins, millimetres.

    Sections that the part does not need are left out. With `gauge` a page to cut out stands last,
    for a part that has arcs or tapers.
    """
    numbers = sheet_numbers(given)
    cuts = plan_layers(given.plan, given.replay)
    blocks: list[Block] = []
    for index, setup in enumerate(content.setups):
        if index:
            blocks.append(NewPage())
        blocks += setup_pages(setup, content if index == 0 else None, numbers, width)
        need = min(_levers_height(setup.operations), height - 12.0)
        blocks += _operations(setup, width, need)
        room = _picture_room(setup, width, height - 12.0)
        blocks += _job_in_pictures(setup, cuts[index], width, room, height - 12.0)
        blocks += _passes(setup, width)
        blocks += detail_blocks(setup, width)
    blocks += closing_pages(content, width)
    if gauge:
        blocks += gauge_blocks(given, numbers, width, height)
    return tuple(blocks)


def _operations(sheet: SetupSheet, width: float, need: float) -> Iterator[Block]:
    """Yield the plan of lever settings and tool changes."""
    lines = sheet.operations
    if not lines:
        return
    fixed = (9.0, 44.0, 13.0, 30.0, 20.0, 22.0, 20.0)
    widths = (*fixed, width - sum(fixed))
    rows = [
        head_row("", "operation", "tool", "rpm", "feed", "passes", "minutes", "why it stands here",
                 right=(3, 4, 5, 6))
    ]  # fmt: skip
    for line in lines:
        why = line.reason
        if line.limited_by:
            why += f" (speed limited by {line.limited_by})"
        rows.append(
            GridRow(
                (
                    Words(str(line.number), 10.0, align="right"),
                    Words(line.kind, 10.0, bold=True),
                    Words(line.tool, 10.0),
                    Words(line.rpm, 10.0, align="right"),
                    Words(line.feed, 10.0, align="right", squeeze=True),
                    Words(line.passes, 10.0, align="right", squeeze=True),
                    Words(line.minutes, 10.0, align="right", squeeze=True),
                    Words(why, 9.5),
                )
            )
        )
    yield Heading("Levers and tool changes", 1, need=need)
    yield Words(f"{sheet.changes}. Levers and tools are changed with the spindle stopped.", 9.5)
    yield Grid(widths, tuple(rows), header_rows=1, padding=0.9)


def _levers_height(lines: tuple[OperationLine, ...]) -> float:
    """Return about how high the table of levers is, millimetres."""
    return 19.0 + sum(6.0 + 4.2 * line.rpm.count("\n") for line in lines)


def _picture_room(sheet: SetupSheet, width: float, height: float) -> tuple[int, float]:
    """Return how many pictures stand beside one another, and how high, for the largest scale."""
    count = len(sheet.operations)
    box = working_box(sheet.setup)
    best = (_MOST_ACROSS, _LEAST_PICTURE)
    scale = 0.0
    for across in range(2, _MOST_ACROSS + 1):
        rows = max(math.ceil(count / across), 1)
        high = min(height / rows - _CAPTION, _MOST_PICTURE)
        fits = min((width / across - 9) / box.width, (high - 2) / box.height)
        if high >= _LEAST_PICTURE and fits > scale * 1.02:
            best, scale = (across, high), fits
    return best


def _job_in_pictures(
    sheet: SetupSheet,
    cuts: tuple[Layer, ...],
    width: float,
    room: tuple[int, float],
    page: float,
) -> Iterator[Block]:
    """Yield one picture an operation: what it takes, what stands after it."""
    lines = sheet.operations
    if not lines:
        return
    across, high = room
    each = width / across
    cells: list[Cell | None] = []
    tallest = 0.0
    for line in lines:
        picture = operation_picture(sheet.setup, cuts, line.number, each - 4, high)
        tallest = max(tallest, picture.height_mm)
        passes = "pass" if line.passes.isdigit() else "passes"
        caption = f"{line.number}  {line.kind}   {line.tool}   {passes} {line.passes}"
        cells.append(Stack((Words(caption, 9.5, bold=True), Drawing(picture))))
    cells += [None] * (-len(cells) % across)
    rows = tuple(
        GridRow(tuple(cells[start : start + across])) for start in range(0, len(cells), across)
    )
    # Behind a short table of levers they may find room on its page; what no page holds is not
    # waited for, or an empty page would come of it.
    need = min(14.0 + len(rows) * (tallest + _CAPTION), page)
    yield Heading("The job in pictures", need=need)
    yield Grid((each,) * across, rows)


def _passes(sheet: SetupSheet, width: float) -> Iterator[Block]:
    if sheet.rows:
        yield NewPage()
        yield Heading(f"Passes, {sheet.heading}" if ":" in sheet.heading else "Passes")
        yield Words(_HOW_TO_READ, 9.5)
        yield Space(1.0)
        yield pass_table(sheet.rows, sheet.setup.number, width)
