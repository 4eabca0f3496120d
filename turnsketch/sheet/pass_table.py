"""The pass table: one row a pass, bold where the readout must be met."""

from __future__ import annotations

from collections.abc import Sequence

from turnsketch.sheet.blocks import Cell, Entry, Grid, GridRow, Stack, Tick, Words
from turnsketch.sheet.records import SheetRow

__all__ = ["head_row", "pass_table"]

_COLUMNS: tuple[tuple[str, float, float], ...] = (
    ("", 7.0, 0.0),
    ("No", 10.0, 0.0),
    ("what,\nsurface", 28.0, 5.0),
    ("tool", 9.5, 0.0),
    ("rpm", 12.5, 0.5),
    ("feed", 14.0, 0.5),
    ("from", 18.5, 1.0),
    ("set\nX Ø", 21.0, 1.0),
    ("cut to", 22.0, 1.0),
    ("power\nuntil", 17.0, 1.0),
    ("then,\nin order", 25.5, 4.0),
    ("back to", 19.0, 1.0),
    ("depth", 12.5, 0.5),
    ("wheel from\nlast X", 22.0, 1.5),
    ("Ø after", 17.5, 0.5),
)
"""Heading, least width in millimetres, and share of the width that is left."""

_SENTENCES = {
    "deburr": "edges are broken",
    "centre": "the centre is in",
    "steady": "the steady rest is set",
    "setup": "the bar is held anew",
    "knurl": "the wheels are pressed in",
    "swivel": "the top slide is swivelled and the tool touched",
    "set-over": "the tailstock is moved and proved",
    "gearbox": "gearbox and half-nuts are set",
    "fit": "the cone fits its gauge",
}
"""Rows that are one sentence with a box, and what the box says."""

_LAST = len(_COLUMNS) - 1
_WORDS_TO = 8
"""Last column of a measure stop's words; its boxes stand in the columns behind."""


def head_row(*texts: str, right: Sequence[int] = ()) -> GridRow:
    """Return a row of column headings; `right` are the columns set on the right."""
    return GridRow(
        tuple(
            Words(text, 9.0, bold=True, align="right" if i in right else "left", squeeze=True)
            for i, text in enumerate(texts)
        ),
        tint="head",
    )


def _widths(width: float) -> tuple[float, ...]:
    least, shares = sum(c[1] for c in _COLUMNS), sum(c[2] for c in _COLUMNS)
    if width < least:
        return tuple(c[1] * width / least for c in _COLUMNS)
    return tuple(c[1] + (width - least) * c[2] / shares for c in _COLUMNS)


def pass_table(rows: Sequence[SheetRow], setup: int, width: float) -> Grid:
    """Return the table of a setup's passes for a page of this width in millimetres."""
    widths = _widths(width)
    made = [head_row(*(c[0] for c in _COLUMNS), right=(4, 5, 6, 7, 8, 9, 11, 12, 14))]
    for index, row in enumerate(rows):
        following = rows[index + 1] if index + 1 < len(rows) else None
        together = row.kind not in ("pass", "more") or (
            following is not None and following.kind == "more"
        )
        made.append(_row(row, setup, widths, with_next=together and following is not None))
    return Grid(widths, tuple(made), header_rows=1, uprights=True)


def _row(row: SheetRow, setup: int, widths: tuple[float, ...], *, with_next: bool) -> GridRow:
    if row.kind == "tool":
        cells: list[Cell | None] = [
            Tick(f"s{setup}.change{row.pass_number}", f"T{row.tool} is in"),
            None,
            Words(row.words, 11.0, bold=True),
        ]
        cells += [None] * (_LAST - 2)
        return GridRow(tuple(cells), ((2, _LAST),), "tool", with_next, row.tool)
    if row.kind == "measure":
        return _measure(row, setup, widths, with_next)
    if row.kind in _SENTENCES:
        name = f"s{setup}.{row.kind}"
        if row.kind in ("swivel", "set-over", "knurl", "gearbox", "fit"):
            name += f"{row.pass_number}{row.number[1:]}"
        cells = [
            Tick(name, _SENTENCES[row.kind]),
            Words(row.number[:1], 13.0, bold=True),
            Words(row.words, 11.0, bold=True),
        ]
        cells += [None] * (_LAST - 2)
        return GridRow(tuple(cells), ((2, _LAST),), "measure", with_next)
    return GridRow(tuple(_cells(row, setup)), with_next=with_next)


def _measure(row: SheetRow, setup: int, widths: tuple[float, ...], with_next: bool) -> GridRow:
    kinds = {"M": "measure", "E": "ends", "L": "length", "W": "thread"}
    name = f"s{setup}.{kinds[row.number]}{row.pass_number}"
    reason = f"Why: {row.notes[0]}." if row.notes and row.notes[0] else ""
    words: tuple[Cell, ...] = (Words(row.words, 11.0, bold=True),)
    if reason:
        words += (Words(reason, 9.5),)
    room = sum(widths[_WORDS_TO + 1 :]) - 2.4
    # More than three places would leave boxes too small to write in; the words name them all.
    at = ("measured",) if row.number in ("L", "W") else tuple(f"at {p}" for p in row.places[:3])
    labels = ["expected", *at, "difference"]
    each = room / len(labels)
    entries: list[Cell | None] = [Words(row.expected, 12.0, bold=True, squeeze=True)]
    for index, label in enumerate(labels[1:], start=1):
        last = index == len(labels) - 1
        field = f"{name}.difference" if last else f"{name}.got{index}"
        tip = "measured minus expected" if last else f"measured {label}"
        entries.append(Entry(field, tip, each - 3.0))
    heads = GridRow(tuple(Words(t, 9.0, squeeze=True) for t in labels))
    boxes = Grid((each,) * len(labels), (heads, GridRow(tuple(entries))), ruled=False, padding=0.5)
    cells: list[Cell | None] = [
        Tick(f"{name}.done", f"measured before pass {row.pass_number}"),
        Words(row.number, 13.0, bold=True),
        Stack(words),
    ]
    cells += [None] * (_WORDS_TO - 2)
    cells.append(boxes)
    cells += [None] * (_LAST - _WORDS_TO - 1)
    spans = ((2, _WORDS_TO), (_WORDS_TO + 1, _LAST))
    return GridRow(tuple(cells), spans, "measure", with_next)


def _figure(text: str, *, bold: bool = False) -> Words:
    return Words(text, 11.0, bold=bold, align="right", squeeze=True)


def _place(text: str) -> Words:
    return Words(text, 11.0, align="right", squeeze=True)


def _cells(row: SheetRow, setup: int) -> list[Cell | None]:
    text = row.text
    what: tuple[Cell, ...] = tuple(
        Words(words, 11.0 if bold else 10.0, bold=bold)
        for words, bold in ((row.what, True), (row.surface, False))
        if words and (bold or words != row.what)
    )
    what += tuple(Words(note, 9.0) for note in row.notes)
    wheel = tuple(
        Words(words, size, squeeze=True)
        for words, size in ((row.wheel, 11.0), (row.wheel_from, 9.0))
        if words
    )
    first = row.kind == "pass"
    feed = "\n".join(t for t in (row.feed, row.drive) if t)
    return [
        Tick(f"s{setup}.pass{row.number or f'{row.pass_number}go'}", f"pass {row.number} is done"),
        Words(row.number, 13.0 if first else 11.0, bold=first, align="left", squeeze=True),
        Stack(what),
        Words(f"T{row.tool}" if first else "", 11.0, squeeze=True),
        _figure(row.rpm),
        _figure(feed),
        _place(text.start),
        _figure(text.setting, bold=True),
        _figure(text.cut_to, bold=True),
        _place(text.power_until),
        Words("\n".join(text.then), 11.0),
        _place(text.back),
        _figure(row.depth),
        Stack(wheel),
        _figure("\n".join(row.after)),
    ]
