"""The rows of the pass table: tool changes, measure stops and passes, in the order of work."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.readings.wheel import wheel_way
from turnsketch.sheet.motions import Motion, diameter_left, joined_pair, motions_of, set_x_of
from turnsketch.sheet.moves_text import bring_to, row_texts
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RowText, SheetRow
from turnsketch.sheet.stop_text import last_chance, measure_row
from turnsketch.sheet.support_rows import support_rows
from turnsketch.sheet.swivel import Swivel
from turnsketch.shop.records import Lathe, Material, Tool
from turnsketch.units import to_mm

__all__ = ["Beside", "pass_rows", "rpm_text", "slide_text"]


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands between the passes, by the index of the pass that it stands before.

    The number of passes stands for the end.
    """

    opening: str = ""
    """How the bar is held anew, before everything else."""
    swivels: Mapping[int, Swivel] = field(default_factory=dict)
    touches: Mapping[int, str] = field(default_factory=dict)
    """Where the tool of that pass is touched: "X on Ø20.00 left by pass 7, Z on the front"."""
    lengths: Mapping[int, tuple[SheetRow, ...]] = field(default_factory=dict)
    """Lengths to be measured."""


def rpm_text(step_rpm: float, surface_speed_m_min: float | None) -> str:
    """Return a speed; with constant surface speed the figure is the limit."""
    text = f"{step_rpm:.0f}"
    return text if surface_speed_m_min is None else f"≤ {text}"


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
    rows: list[SheetRow] = []
    if beside.opening and setup.passes:
        step = setup.passes[0]
        rows.append(SheetRow("setup", "S", step.number, step.tool, words=beside.opening))
    last_tool, last_x = 0, None
    swivels = beside.swivels
    ways = _ways(setup.passes, numbers, swivels)
    parting = next((s.number for s in setup.passes if s.operation == "part off"), None)
    for index, step in enumerate(setup.passes):
        fresh = step.tool != last_tool
        rows += beside.lengths.get(index, ())
        if deburr and step.number == parting:
            rows.append(SheetRow("deburr", "D", step.number, step.tool, words=deburr))
        rows += support_rows(setup, step, numbers)
        locked = index > 0 and _home_z(setup.passes[index - 1]) is not None
        rows += _change_rows(step, index, beside, numbers, tools, fresh=fresh, locked=locked)
        if fresh or index in swivels:
            last_x = None
        if step.measure is not None:
            rows.append(measure_row(setup.passes, index, numbers, material, swivels))
        letter = letters.get(step.number, "")
        own = list(_own_rows(step, ways[index], numbers, lathe, last_x, letter, fresh))
        if locked and index not in swivels and _home_z(step) is None:
            own[0] = replace(own[0], notes=("UNLOCK the carriage first", *own[0].notes))
        rows += own
        x = set_x_of(step)
        last_x = last_x if x is None else x
        last_tool = step.tool
    return (*rows, *_end_rows(setup, numbers, beside, deburr if parting is None else ""))


def _change_rows(
    step: Pass,
    index: int,
    beside: Beside,
    numbers: Numbers,
    tools: Mapping[int, Tool],
    *,
    fresh: bool,
    locked: bool,
) -> Iterator[SheetRow]:
    """Yield the rows of a swivel and of a tool change before a pass; the touch comes last."""
    swivels, touch = beside.swivels, beside.touches.get(index, "")
    if index in swivels:
        again = "" if fresh else touch
        yield _swivel_row(step, swivels[index], again, numbers, locked=locked)
    if fresh:
        lost = any(at <= index for at in swivels)
        yield _tool_row(step, numbers, tools, touch if lost else "", first=not index)


def _end_rows(
    setup: SetupPlan, numbers: Numbers, beside: Beside, deburr: str
) -> Iterator[SheetRow]:
    """Yield what stands behind the last pass."""
    if not setup.passes:
        return
    last, end = setup.passes[-1], len(setup.passes)
    yield from beside.lengths.get(end, ())
    if deburr:
        yield SheetRow("deburr", "D", last.number, last.tool, words=deburr)
    if end in beside.swivels:
        locked = _home_z(last) is not None
        row = _swivel_row(last, beside.swivels[end], "", numbers, locked=locked)
        yield replace(row, pass_number=last.number + 1)


def _swivel_row(
    step: Pass, swivel: Swivel, touch: str, numbers: Numbers, *, locked: bool
) -> SheetRow:
    """Return the row of a swivel; a tool that stays in is touched again behind it."""
    words = f"{'UNLOCK the carriage. ' if locked else ''}{swivel.words}"
    if touch:
        at = step.start_reading
        words += (
            f" Touch T{step.tool} again and enter: {touch}; then clear to {numbers.x_place(at.x)}, "
            f"{numbers.z_place(at.z)}."
        )
    return SheetRow("swivel", "A", step.number, step.tool, words=words)


def _ways(
    passes: Sequence[Pass], numbers: Numbers, swivels: Mapping[int, Swivel]
) -> list[list[Motion]]:
    """Return each pass's motions, joined with its neighbour's where that saves a row."""
    ways = [motions_of(step) for step in passes]
    for index in range(len(passes) - 1):
        pair, two = slice(index, index + 2), passes[index : index + 2]
        joined = joined_pair(ways[index], ways[index + 1], _home_z(two[0]))
        if joined is None or two[0].tool != two[1].tool or two[1].measure is not None:
            continue
        if index + 1 in swivels:
            continue
        fresh = index == 0 or passes[index - 1].tool != two[0].tool
        if _rows_of(two, joined, numbers, fresh) < _rows_of(two, ways[pair], numbers, fresh):
            ways[pair] = joined
    return ways


def _home_z(step: Pass) -> float | None:
    """Return Z (display units) where the carriage stands locked for a taper by top slide."""
    if step.taper is None or step.taper.means != "top slide":
        return None
    return next((m.before.z for m in motions_of(step) if m.cut), None)


def _rows_of(
    passes: Sequence[Pass], ways: Sequence[Sequence[Motion]], numbers: Numbers, fresh: bool
) -> int:
    return sum(
        len(row_texts(step, numbers, fresh_tool=fresh and not index, slide="0", way=way))
        for index, (step, way) in enumerate(zip(passes, ways, strict=True))
    )


def _away(value: float, numbers: Numbers) -> float:
    """Return a place in the air as an easy figure, never nearer: whole mm, tenths of an inch."""
    step = 1.0 if numbers.units == "mm" else 0.1
    return round(math.ceil(value / step - 1e-9) * step, 6)


def _tool_row(
    step: Pass, numbers: Numbers, tools: Mapping[int, Tool], touch: str, *, first: bool
) -> SheetRow:
    tool = tools.get(step.tool)
    name = tool.name if tool else ""
    at = step.start_reading
    x, z = (_away(value, numbers) for value in (at.x, at.z))
    clear = f"Go clear to {numbers.x_place(x)}, {numbers.z_place(z)}, stop, put"
    clear = "Put" if first else clear
    if step.direction == "drill":
        words = f"Put T{step.tool} {name} in the tailstock, turret clear of it."
        return SheetRow("tool", "T", step.number, step.tool, words=words)
    again = f"touch it again and enter ({touch}), " if touch else ""
    words = (
        f"{clear} in T{step.tool} {name}: call it up in the readout, {again}bring it to "
        f"{bring_to(step, numbers)}."
    )
    return SheetRow("tool", "T", step.number, step.tool, words=words)


def slide_text(step: Pass, numbers: Numbers, lathe: Lathe) -> str:
    """Return what the top slide's dial shows at the end of a taper, from 0; empty without one."""
    if step.taper is None or step.taper.means != "top slide":
        return ""
    if lathe.top_slide is None:
        return f"{numbers.fine(step.taper.travel)} {numbers.unit}"
    return wheel_way(step.taper.travel, lathe.top_slide.dial, "top slide").text


def _after(step: Pass, numbers: Numbers) -> tuple[str, ...]:
    """Return the diameter left behind, or its limits for a finished surface."""
    size = step.size
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


def _own_rows(
    step: Pass,
    way: Sequence[Motion],
    numbers: Numbers,
    lathe: Lathe,
    last_x: float | None,
    letter: str,
    fresh: bool,
) -> Iterator[SheetRow]:
    x = set_x_of(step)
    wheel, wheel_from = "", ""
    slide = slide_text(step, numbers, lathe)
    texts = row_texts(
        step,
        numbers,
        fresh_tool=fresh,
        slide=slide,
        way=way,
        slide_seen=lathe.readout.adds_top_slide,
    )
    if x is not None and last_x is not None and x != last_x:
        travel = to_mm(x - last_x, numbers.units) / 2
        wheel = wheel_way(travel, lathe.cross_dial, "cross").text_with_direction
        wheel_from = f"from X {numbers.x(last_x)}"
    for kind, number, text in _numbered(step.number, texts):
        if kind != "pass":
            surface = "go to, by hand" if kind == "go" else step.surface
            yield SheetRow(
                "go" if kind == "go" else "more", number, step.number, step.tool,
                what="" if kind == "go" else "…", surface=surface, text=text,
            )  # fmt: skip
            continue
        yield SheetRow(
            "pass", number, step.number, step.tool,
            what=_what(step),
            surface=step.surface,
            rpm=rpm_text(step.rpm, step.surface_speed_m_min),
            feed=numbers.feed(step.feed_mm_per_rev) if step.feed_mm_per_rev else "",
            drive="power" if step.power and step.feed_mm_per_rev else "hand",
            text=text,
            depth=numbers.depth(step.depth) if step.depth else "",
            wheel=wheel,
            wheel_from=wheel_from,
            after=_after(step, numbers),
            notes=_notes(step, numbers, letter),
        )  # fmt: skip


def _what(step: Pass) -> str:
    """Return a pass's name; a finishing cut that stops to be measured is the semi-finish."""
    return "semi-finish" if step.operation == "finish" and step.keep_x else step.operation


def _notes(step: Pass, numbers: Numbers, letter: str) -> tuple[str, ...]:
    notes = [f"see detail {letter}"] if letter else []
    if step.taper is not None and step.taper.means == "top slide":
        notes.append("carriage LOCKED")
    chance = last_chance(step, numbers)
    if chance:
        notes.append(f"last chance {chance}")
    return (*notes, *step.notes)
