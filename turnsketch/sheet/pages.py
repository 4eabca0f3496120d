"""The order of the sheet: blocks for set-up, cautions, pictures, passes, details, inspection."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from turnsketch.picture.details import tool_picture
from turnsketch.picture.figures import operation_picture, setup_picture
from turnsketch.picture.layers import Layer, plan_layers
from turnsketch.sheet.blocks import (
    Block,
    Cell,
    Drawing,
    Entry,
    Grid,
    GridRow,
    Heading,
    NewPage,
    Space,
    Stack,
    Tick,
    Tint,
    Words,
)
from turnsketch.sheet.content import sheet_numbers
from turnsketch.sheet.detail_pages import detail_blocks
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.pass_table import head_row, pass_table
from turnsketch.sheet.records import (
    Fact,
    FindingLine,
    OperationLine,
    SetupSheet,
    SheetContent,
    SheetInput,
    ToolLine,
)

__all__ = ["sheet_blocks"]

_TINTS: dict[str, Tint] = {"stop": "danger", "caution": "caution"}
_PICTURES_ACROSS = 4


def sheet_blocks(given: SheetInput, content: SheetContent, width: float) -> tuple[Block, ...]:
    """Return all blocks of a sheet for a page that is `width` millimetres wide inside its margins.

    Sections that the part does not need are left out.
    """
    numbers = sheet_numbers(given)
    cuts = plan_layers(given.plan, given.replay)
    blocks: list[Block] = []
    for index, setup in enumerate(content.setups):
        if index:
            blocks.append(NewPage())
        blocks += _setup_page(setup, content if index == 0 else None, numbers, width)
        blocks += _operations(setup.operations, setup.setup.number, width)
        blocks += _job_in_pictures(setup, cuts[index], width)
        blocks += _passes(setup, width)
        blocks += detail_blocks(setup, numbers, width)
    blocks += _inspection(content, width)
    return tuple(blocks)


def _setup_page(
    sheet: SetupSheet, content: SheetContent | None, numbers: Numbers, width: float
) -> Iterator[Block]:
    yield Heading(sheet.heading)
    right = 100.0
    picture = setup_picture(sheet.setup, width - right - 3, 96.0, numbers.length, numbers.signed)
    facts = fact_grid(sheet.facts, right - 2.4, 34.0)
    yield Grid((width - right, right), (GridRow((Drawing(picture), facts)),), ruled=False)
    if content is not None:
        yield from _findings(content.findings, width)
    number = sheet.setup.number
    if content is not None:
        yield from _ticked("Before the first cut", sheet.preflight, f"s{number}.preflight", width)
    yield from _tools(sheet.tools, number, numbers, width)
    if content is not None:
        yield from _equipment(content, width)
        yield from _ticked("Cautions", content.cautions, "cautions", width)


def fact_grid(facts: Iterable[Fact], width: float, label: float) -> Grid:
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
        rows.append(GridRow(tuple(cells)))
    yield Heading(title, 1, need=10.0 + 9.0 * half)
    text = width / 2 - 8.0
    yield Grid((8.0, text, 8.0, text), tuple(rows), ruled=False, padding=0.8)


def _tools(
    lines: tuple[ToolLine, ...], setup: int, numbers: Numbers, width: float
) -> Iterator[Block]:
    """Yield how each tool is set."""
    if not lines:
        return
    fixed = (8.0, 13.0, 38.0, 27.0, 27.0, 27.0)
    text = (width - sum(fixed)) / 3
    widths = (8.0, 13.0, text, 38.0, text, 27.0, text, 27.0, 27.0)
    rows = [
        head_row("", "post", "tool, nose, hand", "reference; chuck\nat left, work above",
                 "set X on", "enter X:\nmicrometer", "set Z on", "enter Z", "entered Z")
    ]  # fmt: skip
    for line in lines:
        number = line.tool.number
        name = f"s{setup}.tool{number}"
        about = (
            Words(line.name, 10.0, bold=True),
            Words(", ".join(t for t in (line.nose, line.hand, line.coolant) if t), 9.0),
        )
        reference = (
            Drawing(tool_picture(line.tool, 34.0, 19.0)),
            Words(line.reference, 9.0),
        )
        rows.append(
            GridRow(
                (
                    Tick(f"{name}.set", f"T{number} is set"),
                    Words(f"T{number}", 13.0, bold=True, align="centre"),
                    Stack(about),
                    Stack(reference),
                    Words(line.set_x, 10.0),
                    Entry(f"{name}.x", "what the micrometer reads", 23.0),
                    Words(line.set_z, 10.0),
                    Words(line.enter_z, 11.0, bold=True, align="right", squeeze=True),
                    Entry(f"{name}.z", "Z entered", 23.0),
                )
            )
        )
    yield Heading("Tools, in the order of work; the post position is the tool's number", 1, 60.0)
    yield Grid(widths, tuple(rows), header_rows=1)


def _equipment(content: SheetContent, width: float) -> Iterator[Block]:
    facts = []
    if content.instruments:
        facts.append(Fact("Instruments", "; ".join(content.instruments)))
    if content.coolant:
        facts.append(Fact("Coolant", "; ".join(content.coolant)))
    if facts:
        yield Space(3.0)
        yield fact_grid(facts, width, 36.0)


def _operations(lines: tuple[OperationLine, ...], setup: int, width: float) -> Iterator[Block]:
    """Yield the plan of lever settings and tool changes."""
    if not lines:
        return
    fixed = (9.0, 44.0, 13.0, 20.0, 24.0, 22.0, 20.0)
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
                    Words(line.rpm, 10.0, align="right", squeeze=True),
                    Words(line.feed, 10.0, align="right", squeeze=True),
                    Words(line.passes, 10.0, align="right", squeeze=True),
                    Words(line.minutes, 10.0, align="right", squeeze=True),
                    Words(why, 9.5),
                )
            )
        )
    yield Heading("Levers and tool changes", 1, need=12.0 + 6.0 * min(len(lines), 10))
    yield Grid(widths, tuple(rows), header_rows=1, padding=0.9)


def _job_in_pictures(sheet: SetupSheet, cuts: tuple[Layer, ...], width: float) -> Iterator[Block]:
    """Yield one picture an operation: what it takes, what stands after it."""
    lines = sheet.operations
    if not lines:
        return
    each = width / _PICTURES_ACROSS
    cells: list[Cell] = []
    for line in lines:
        picture = operation_picture(sheet.setup, cuts, line.number, each - 4, 32.0)
        passes = "pass" if line.passes.isdigit() else "passes"
        caption = f"{line.number}  {line.kind}   {line.tool}   {passes} {line.passes}"
        cells.append(Stack((Words(caption, 9.5, bold=True), Drawing(picture))))
    rows = []
    for start in range(0, len(cells), _PICTURES_ACROSS):
        row: list[Cell | None] = list(cells[start : start + _PICTURES_ACROSS])
        row += [None] * (_PICTURES_ACROSS - len(row))
        rows.append(GridRow(tuple(row)))
    yield Heading("The job in pictures", 1, need=44.0)
    yield Grid((each,) * _PICTURES_ACROSS, tuple(rows))


def _passes(sheet: SetupSheet, width: float) -> Iterator[Block]:
    if sheet.rows:
        yield NewPage()
        yield Heading(f"Passes, {sheet.heading}" if ":" in sheet.heading else "Passes")
        yield pass_table(sheet.rows, sheet.setup.number, width)


def _inspection(content: SheetContent, width: float) -> Iterator[Block]:
    """Yield the inspection table, what stays, and the lines to sign."""
    yield NewPage()
    if content.inspection:
        yield Heading("Inspection")
        yield _inspection_grid(content, width)
    if content.left_over:
        yield Heading("Metal that stays although it is not part", 1)
        rows = [head_row("where", "height", "why", "what would reach it")]
        for item in content.left_over:
            texts = (item.place, item.height, item.cause, item.remedy)
            rows.append(GridRow(tuple(Words(t, 10.0) for t in texts)))
        rest = (width - 110) / 2
        yield Grid((50.0, 60.0, rest, rest), tuple(rows), header_rows=1)
    if content.forecast:
        yield Space(2.0)
        yield Words(content.forecast, 10.0)
    yield from _sign_off(content.sign_off, width)


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
                Entry(f"sign.{key}", name, widths[1] - 2.4, 9.0),
                Words("date", 10.5, align="right"),
                Entry(f"sign.{key}.date", f"{name}, date", 31.0, 9.0),
            ]
        rows.append(GridRow((*cells, *[None] * (8 - len(cells)))))
    yield Heading("Signed", 1, need=12.0 * (len(rows) + 1))
    yield Grid(widths * 2, tuple(rows), ruled=False)


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
                    Entry(f"inspect.{index}", f"{line.what} {line.text}", 30.0),
                    Tick(f"inspect.{index}.ok", f"{line.what} is within its limits"),
                )
            )
        )
    return Grid(widths, tuple(rows), header_rows=1)
