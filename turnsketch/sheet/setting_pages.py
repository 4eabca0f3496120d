"""Blocks of the set-up pages: figure and facts, findings, preflight, a block a tool, dry run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from turnsketch.picture.details import tool_picture
from turnsketch.picture.display_list import DisplayList
from turnsketch.picture.setup_figure import setup_picture
from turnsketch.sheet.blocks import (
    Block,
    Cell,
    Drawing,
    Entry,
    Grid,
    GridRow,
    Heading,
    Space,
    Stack,
    Tick,
    Tint,
    Words,
)
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.pass_table import head_row
from turnsketch.sheet.records import (
    DryRunLine,
    Fact,
    FindingLine,
    SetupSheet,
    SheetContent,
    ToolLine,
)

__all__ = ["setup_pages"]

_TINTS: dict[str, Tint] = {"stop": "danger", "caution": "caution"}
_TOOLS_ACROSS = 2
_TOOL_BOX = 26.0
"""Width of the box for what is entered, millimetres."""

_TOOL_PICTURE = (42.0, 36.0)


def setup_pages(
    sheet: SetupSheet, content: SheetContent | None, numbers: Numbers, width: float
) -> Iterator[Block]:
    """Yield all that comes before the passes; `content` is None from the second setup on."""
    yield Heading(sheet.heading)
    right = 104.0
    picture = setup_picture(sheet.setup, width - right - 3, 82.0, numbers.length, numbers.signed)
    facts = _fact_grid(sheet.facts, right - 2.4, 34.0)
    yield Grid((width - right, right), (GridRow((Drawing(picture), facts)),), ruled=False)
    number = sheet.setup.number
    if content is not None:
        yield from _findings(content.findings, width)
        yield from _ticked("Before the first cut", sheet.preflight, f"s{number}.preflight", width)
        yield from _ticked("Cautions", (*sheet.cautions, *content.cautions), "cautions", width)
        yield from _equipment(content, width)
    else:
        title = "Cautions for this setup, behind the shop's rules and the machine's manual"
        yield from _ticked(title, sheet.cautions, f"s{number}.cautions", width)
    yield from _tools(sheet, width)
    yield from _dry_run(sheet.dry_run, number, width)


def _fact_grid(facts: Iterable[Fact], width: float, label: float) -> Grid:
    """Return named values in two columns."""
    rows = tuple(
        GridRow(
            (
                Words(f.label, 9.5, faint=not f.label.isupper(), danger=f.label.isupper(),
                      bold=f.label.isupper()),
                Words(f.value, 10.5, bold=True, danger=f.label.isupper()),
            )
        )
        for f in facts
    )  # fmt: skip
    return Grid((label, width - label), rows, padding=1.0)


def _findings(findings: tuple[FindingLine, ...], width: float) -> Iterator[Block]:
    """Yield what the program noticed: stops, cautions, notes."""
    if not findings:
        return
    widths = (22.0, 30.0, 0.52 * (width - 52), 0.48 * (width - 52))
    rows = [head_row("", "where", "what", "what to do")]
    for line in findings:
        danger = line.severity == "stop"
        rows.append(
            GridRow(
                (
                    Words(line.word, 9.5, bold=line.severity != "note", danger=danger),
                    Words(line.place, 9.5),
                    Words(line.message, 9.5, bold=danger),
                    Words(line.remedy, 9.5),
                ),
                tint=_TINTS.get(line.severity, ""),
            )
        )
    yield Heading("Look at these first", 1)
    yield Grid(widths, tuple(rows), header_rows=1, padding=0.9)


def _ticked(title: str, lines: tuple[str, ...], name: str, width: float) -> Iterator[Block]:
    """Yield lines with a box each, in two columns."""
    if not lines:
        return
    half = (len(lines) + 1) // 2
    rows = []
    for left in range(half):
        cells: list[Cell | None] = []
        for index in (left, left + half):
            if index < len(lines):
                cells += [Tick(f"{name}.{index + 1}", lines[index]), Words(lines[index], 9.5)]
            else:
                cells += [None, None]
        # All of them stand on one page: what is turned over is not read again.
        rows.append(GridRow(tuple(cells), with_next=left < half - 1))
    yield Heading(title, 1, need=9.0 + 7.5 * half)
    text = width / 2 - 8.0
    yield Grid((8.0, text, 8.0, text), tuple(rows), ruled=False, padding=0.8)


def _equipment(content: SheetContent, width: float) -> Iterator[Block]:
    facts = []
    if content.instruments:
        facts.append(Fact("Instruments", "; ".join(content.instruments)))
    if content.coolant:
        facts.append(Fact("Coolant", "; ".join(content.coolant)))
    if facts:
        yield Space(2.0)
        grid = _fact_grid(facts, width, 36.0)
        yield replace(grid, rows=tuple(replace(row, with_next=True) for row in grid.rows))


def _tools(sheet: SetupSheet, width: float) -> Iterator[Block]:
    """Yield how each tool is set: a block a tool, two beside one another."""
    if not sheet.tools:
        return
    number = sheet.setup.number
    each = width / _TOOLS_ACROSS
    cells: list[Cell | None] = [_tool(line, number, each - 2.4) for line in sheet.tools]
    cells += [None] * (-len(cells) % _TOOLS_ACROSS)
    rows = tuple(
        GridRow(tuple(cells[start : start + _TOOLS_ACROSS]))
        for start in range(0, len(cells), _TOOLS_ACROSS)
    )
    yield Heading("Tools, in the order of work; the post position is the tool's number", 1, 72.0)
    lines = tuple(
        GridRow(
            (
                Words(line, 9.5),
                Words("t =", 9.5, align="right"),
                Entry(f"s{number}.paper", "paper thickness", 20.0, 7.0),
            )
        )
        if index == 0
        else GridRow((Words(line, 9.5), None, None), ((0, 2),))
        for index, line in enumerate((*sheet.setting, *sheet.fine_feed))
    )
    if lines:
        yield Grid((width - 32.0, 8.0, 24.0), lines, ruled=False, padding=0.6)
    yield Words(
        "Pictures: as you stand at the lathe, chuck on the left. X and Z read where the two lines "
        "cross.", 9.5,
    )  # fmt: skip
    yield Grid((each,) * _TOOLS_ACROSS, rows, uprights=True)


def _tool(line: ToolLine, setup: int, width: float) -> Grid:
    """Return one tool: its corner drawn, what it touches, what is entered, boxes."""
    name = f"s{setup}.tool{line.tool.number}"
    wide = _TOOL_PICTURE[0]
    rest = width - wide - 3.0
    first = f"from pass {line.first_pass}"
    about = ", ".join(t for t in (first, line.nose, line.hand, line.coolant) if t)
    picture = Stack((Drawing(_picture(line)), Words(f"readout follows: {line.reference}", 9.0)))
    words = Stack(
        (
            Words(f"T{line.tool.number}  {line.name}", 11.5, bold=True),
            Words(about, 9.0),
            _tool_axes(line, name, rest),
            _tool_ticks(line, name, rest),
        )
    )
    return Grid((wide + 2.0, rest + 1.0), (GridRow((picture, words)),), ruled=False, padding=0.3)


def _tool_axes(line: ToolLine, name: str, width: float) -> Grid:
    """Return where a tool is touched in X and in Z, and what is entered there."""
    axes = (
        (f"X: {line.set_x}", f"enter X: {line.enter_x}", "x", "what the micrometer reads"),
        (f"Z: {line.set_z}", f"enter Z: {line.enter_z}", "z", "Z entered"),
    )
    rows = tuple(
        GridRow(
            (
                Stack((Words(touch, 10.0), Words(enter, 10.0, bold=True))),
                Entry(f"{name}.{axis}", tip, _TOOL_BOX - 2.4, 7.5),
            )
        )
        for touch, enter, axis, tip in axes
    )
    return Grid((width - _TOOL_BOX, _TOOL_BOX), rows, ruled=False, padding=0.5)


def _tool_ticks(line: ToolLine, name: str, width: float) -> Grid:
    """Return the boxes that a tool's height and its setting are ticked in."""
    number = line.tool.number
    row = GridRow(
        (
            Tick(f"{name}.height", f"T{number} is on centre height"),
            Words(line.height, 9.5),
            Tick(f"{name}.set", f"T{number} is set"),
            Words("set", 9.5),
        )
    )
    return Grid((7.0, width - 26.4, 7.0, 12.0), (row,), ruled=False, padding=0.5)


def _picture(line: ToolLine) -> DisplayList:
    """Return the tool's corner with what it touches."""
    touch = line.touch
    if touch is None:
        return tool_picture(line.tool, *_TOOL_PICTURE)
    touches = "straight edge" if touch.kind == "straight edge" else touch.side
    return tool_picture(line.tool, *_TOOL_PICTURE, touch.corner, touches)


def _dry_run(lines: tuple[DryRunLine, ...], setup: int, width: float) -> Iterator[Block]:
    """Yield the closest approaches, to be walked by hand with the spindle off."""
    if not lines:
        return
    fixed = (8.0, 16.0, 44.0, 26.0, 28.0)
    rest = (width - sum(fixed)) / 2
    widths = (8.0, 16.0, 44.0, rest, rest, 26.0, 28.0)
    rows = [
        head_row("", "pass", "tool", "comes close to", "while", "clearance", " seen", right=(5,))
    ]
    for index, line in enumerate(lines, start=1):
        rows.append(
            GridRow(
                (
                    Tick(f"s{setup}.dry{index}", f"dry run {index} is walked"),
                    Words(line.passes, 10.0),
                    Words(line.what, 10.0),
                    Words(line.to, 10.0),
                    Words(line.move, 10.0),
                    Words(line.clearance, 10.0, bold=True, align="right", squeeze=True),
                    Entry(f"s{setup}.dry{index}.seen", "clearance seen", 25.0, 6.0),
                )
            )
        )
    title = "Dry run: the closest approaches, walked by hand with the spindle off"
    yield Heading(title, 1, need=16.0 + 8.0 * len(lines))
    yield Grid(widths, tuple(rows), header_rows=1, padding=0.7)
