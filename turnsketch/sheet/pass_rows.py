"""The rows of the pass table: tool changes, measure stops and passes, in the order of work."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.readings.wheel import wheel_way
from turnsketch.sheet.bore_rows import inside_notes
from turnsketch.sheet.change_rows import Beside, change_rows, end_rows, home_z, stays_locked
from turnsketch.sheet.knurl_rows import knurl_after, knurl_row
from turnsketch.sheet.lever_plan import rpm_text
from turnsketch.sheet.motions import (
    Motion,
    diameter_left,
    joined_pair,
    motions_of,
    set_x_of,
    under_power,
)
from turnsketch.sheet.moves_text import row_texts
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RowText, SheetRow
from turnsketch.sheet.stop_text import last_chance, measure_row
from turnsketch.sheet.support_rows import support_rows
from turnsketch.sheet.thread_rows import (
    pitch_text,
    slide_wheel,
    thread_rows_ahead,
    thread_rows_behind,
    thread_slide,
)
from turnsketch.shop.records import Lathe, Material, Tool
from turnsketch.units import to_mm

__all__ = ["pass_rows", "slide_text"]


def pass_rows(
    setup: SetupPlan,
    numbers: Numbers,
    lathe: Lathe,
    tools: Mapping[int, Tool],
    letters: Mapping[int, str],
    *,
    material: Material | None = None,
    deburr: str = "",
    beside: Beside | None = None,
) -> tuple[SheetRow, ...]:
    """Return all rows of a setup.

    Parameters
    ----------
    setup, numbers, lathe
        What is written, how, and whose dials count.
    tools : mapping
        Tool records of the shop by number.
    letters : mapping
        Letter of the detail that belongs to a pass, by pass number.
    material : Material, optional
        How much the work grows when it is warm.
    deburr : str
        The deburr line; it stands before parting off, or last.
    beside : Beside, optional
        Rows between the passes.
    """
    beside = beside or Beside()
    ways = _ways(setup.passes, numbers, {*beside.swivels, *beside.set_overs})
    table = _Table(setup, numbers, lathe, tools, letters, material, beside, ways)
    rows: list[SheetRow] = []
    if beside.opening and setup.passes:
        step = setup.passes[0]
        rows.append(SheetRow("setup", "S", step.number, step.tool, words=beside.opening))
    parting = next((s.number for s in setup.passes if s.operation == "part off"), None)
    for index, step in enumerate(setup.passes):
        rows += beside.lengths.get(index, ())
        rows += thread_rows_behind(setup.passes, index)
        if deburr and step.number == parting:
            rows.append(SheetRow("deburr", "D", step.number, step.tool, words=deburr))
        rows += _rows_of_pass(table, index)
    rows += thread_rows_behind(setup.passes, len(setup.passes))
    return (*rows, *end_rows(setup, numbers, beside, deburr if parting is None else ""))


@dataclass(frozen=True, slots=True)
class _Table:
    """What the rows of a setup are written from."""

    setup: SetupPlan
    numbers: Numbers
    lathe: Lathe
    tools: Mapping[int, Tool]
    letters: Mapping[int, str]
    material: Material | None
    beside: Beside
    ways: Sequence[Sequence[Motion]]

    def fresh(self, index: int) -> bool:
        """Return whether the tool of a pass was changed before it."""
        passes = self.setup.passes
        return index == 0 or passes[index].tool != passes[index - 1].tool

    def last_x(self, index: int) -> float | None:
        """Return the X that the cross slide was set to last; None after a change or a swivel."""
        moved = (*self.beside.swivels, *self.beside.set_overs)
        while not (self.fresh(index) or index in moved):
            index -= 1
            x = set_x_of(self.setup.passes[index])
            if x is not None:
                return x
        return None


def _rows_of_pass(table: _Table, index: int) -> Iterator[SheetRow]:
    """Yield what comes before a pass, a stop to measure, and the pass's own rows."""
    setup, numbers, beside = table.setup, table.numbers, table.beside
    step = setup.passes[index]
    yield from support_rows(setup, step, numbers)
    yield from change_rows(setup, index, beside, numbers, table.tools)
    yield from knurl_row(step, numbers)
    yield from thread_rows_ahead(setup.passes, index, numbers)
    if step.measure is not None:
        yield measure_row(setup.passes, index, numbers, table.material, beside.swivels)
    if index in beside.fits:
        yield beside.fits[index]
    own = list(_own_rows(table, index))
    locked = index > 0 and stays_locked(setup.passes[index - 1], table.ways[index - 1])
    # The next taper from the same place keeps it locked; a way of its own to it does not.
    moves = home_z(step) is None or own[0].kind == "go"
    if locked and index not in beside.swivels and moves:
        own[0] = replace(own[0], notes=("UNLOCK the carriage first", *own[0].notes))
    yield from own


def _ways(passes: Sequence[Pass], numbers: Numbers, lost: Collection[int]) -> list[list[Motion]]:
    """Return each pass's motions, joined with its neighbour's where that saves a row.

    `lost`: the passes before which slide or tailstock are moved.
    """
    ways = [motions_of(step) for step in passes]
    for index in range(len(passes) - 1):
        pair, two = slice(index, index + 2), passes[index : index + 2]
        joined = joined_pair(ways[index], ways[index + 1], home_z(two[0]))
        if joined is None or two[0].tool != two[1].tool or two[1].measure is not None:
            continue
        if index + 1 in lost:
            continue
        fresh = index == 0 or passes[index - 1].tool != two[0].tool
        if _rows_of(two, joined, numbers, fresh) < _rows_of(two, ways[pair], numbers, fresh):
            ways[pair] = joined
    return ways


def _rows_of(
    passes: Sequence[Pass], ways: Sequence[Sequence[Motion]], numbers: Numbers, fresh: bool
) -> int:
    return sum(
        len(row_texts(step, numbers, fresh_tool=fresh and not index, slide="0", way=way))
        for index, (step, way) in enumerate(zip(passes, ways, strict=True))
    )


def slide_text(step: Pass, numbers: Numbers, lathe: Lathe) -> str:
    """Return what the top slide's dial shows at the end of a taper, or at a thread's depth."""
    if step.thread is not None:
        return thread_slide(step, lathe)
    if step.taper is None or step.taper.means != "top slide":
        return ""
    if lathe.top_slide is None:
        return f"{numbers.fine(step.taper.travel)} {numbers.unit}"
    return wheel_way(step.taper.travel, lathe.top_slide.dial, "top slide").text


def _after(step: Pass, numbers: Numbers) -> tuple[str, ...]:
    """Return the diameter left behind, or its limits for a finished surface."""
    size = step.size
    if step.knurl is not None:
        return knurl_after(step, numbers)
    if size is None:
        left = diameter_left(step)
        return () if left is None else (f"Ø{numbers.x(left)}",)
    if step.last_on_surface and size.lower is not None and size.upper is not None:
        return numbers.fine(size.lower), numbers.fine(size.upper)
    return (f"Ø{numbers.diameter(size.diameter)}",)


def _numbered(number: int, texts: tuple[RowText, ...]) -> Iterator[tuple[str, str, RowText]]:
    """Give the row that holds the first cut the pass's number, the others a letter behind it."""
    main = next((i for i, text in enumerate(texts) if text.cut_to), 0)
    letter = ord("b")
    for index, text in enumerate(texts):
        if index == main:
            yield "pass", str(number), text
        elif index < main:
            yield "go", "", text
        else:
            yield "more", f"{number}{chr(letter)}", text
            letter += 1


def _own_rows(table: _Table, index: int) -> Iterator[SheetRow]:
    """Yield the rows of a pass: the way to it, its first cut, what found no room in that row."""
    step, numbers = table.setup.passes[index], table.numbers
    texts = row_texts(
        step,
        numbers,
        fresh_tool=table.fresh(index),
        slide=slide_text(step, numbers, table.lathe),
        way=table.ways[index],
        slide_seen=table.lathe.readout.adds_top_slide,
    )
    for kind, number, text in _numbered(step.number, texts):
        if kind == "pass":
            yield _main_row(table, index, number, text)
        elif kind == "go":
            surface = "go to, by hand"
            yield SheetRow("go", number, step.number, step.tool, surface=surface, text=text)
        else:
            yield SheetRow(
                "more", number, step.number, step.tool, what="…", surface=step.surface, text=text
            )


def _main_row(table: _Table, index: int, number: str, text: RowText) -> SheetRow:
    """Return the row that holds a pass's first cut."""
    step, numbers = table.setup.passes[index], table.numbers
    wheel, wheel_from = _wheel(table, index)
    by_hand = step.operation in ("tap", "die")
    return SheetRow(
        "pass", number, step.number, step.tool,
        what=_what(step),
        surface=step.surface,
        rpm="hand" if by_hand else rpm_text(step.rpm, step.surface_speed_m_min),
        feed=_feed(step, numbers),
        drive="power" if under_power(step) else "hand",
        text=text,
        depth=numbers.depth(step.depth) if step.depth and not _drilled(step) else "",
        wheel=wheel,
        wheel_from=wheel_from,
        after=_after(step, numbers),
        notes=_notes(step, numbers, table.letters.get(step.number, "")),
    )  # fmt: skip


def _feed(step: Pass, numbers: Numbers) -> str:
    if step.thread is not None:
        return pitch_text(step.thread.pitch_mm, numbers)
    return numbers.feed(step.feed_mm_per_rev) if step.feed_mm_per_rev else ""


def _wheel(table: _Table, index: int) -> tuple[str, str]:
    """Return the turns of the cross slide's wheel from the last X, and which X that was.

    A thread fed along the flank: the turns of the top slide's.
    """
    step = table.setup.passes[index]
    if step.thread is not None and step.thread.slide_travel_mm is not None:
        before = table.setup.passes[index - 1] if index else None
        return slide_wheel(step, before, table.numbers, table.lathe)
    x, last_x = set_x_of(table.setup.passes[index]), table.last_x(index)
    if x is None or last_x is None or x == last_x:
        return "", ""
    travel = to_mm(x - last_x, table.numbers.units) / 2
    way = wheel_way(travel, table.lathe.cross_dial, "cross")
    return way.text_with_direction, f"from X {table.numbers.x(last_x)}"


def _what(step: Pass) -> str:
    """Return a pass's name; a finishing cut that stops to be measured is the semi-finish."""
    if step.operation in ("finish", "finish bore") and step.keep_x:
        return step.operation.replace("finish", "semi-finish")
    return step.operation


def _drilled(step: Pass) -> bool:
    """Tell whether the quill's depth says all: the radius of a drill is no depth of cut."""
    return step.operation in ("drill", "ream", "countersink")


def _notes(step: Pass, numbers: Numbers, letter: str) -> tuple[str, ...]:
    notes = [f"see detail {letter}"] if letter else []
    if step.taper is not None and step.taper.means == "top slide":
        notes.append("carriage LOCKED")
    chance = last_chance(step, numbers)
    if chance:
        notes.append(f"last chance {chance}")
    return (*inside_notes(step), *notes, *step.notes)
