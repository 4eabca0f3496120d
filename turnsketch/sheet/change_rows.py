"""The rows between passes: what is put in, swivelled or locked before the next one."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.planning.changes import in_tailstock
from turnsketch.sheet.bore_rows import quill_words
from turnsketch.sheet.motions import Motion, motions_of
from turnsketch.sheet.moves_text import bring_to
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetRow
from turnsketch.sheet.set_over import SetOver
from turnsketch.sheet.slide_rows import unlocks
from turnsketch.sheet.swivel import Swivel
from turnsketch.shop.records import Tool

__all__ = ["Beside", "change_rows", "end_rows", "home_z", "stays_locked"]


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
    fits: Mapping[int, SheetRow] = field(default_factory=dict)
    """Cones to be tried with their gauge."""
    set_overs: Mapping[int, SetOver] = field(default_factory=dict)
    """The tailstock is set over for a taper, or back."""


def home_z(step: Pass) -> float | None:
    """Return Z (display units) where the carriage stands locked for a taper by top slide."""
    if step.taper is None or step.taper.means != "top slide":
        return None
    return next((m.before.z for m in motions_of(step) if m.cut), None)


def stays_locked(step: Pass, way: Sequence[Motion] | None = None) -> bool:
    """Tell whether the carriage is still locked when a pass is over; `way` as in `row_texts`."""
    return home_z(step) is not None and not unlocks(step, way)


def change_rows(
    setup: SetupPlan,
    index: int,
    beside: Beside,
    numbers: Numbers,
    tools: Mapping[int, Tool],
) -> Iterator[SheetRow]:
    """Yield the rows of swivel, set-over and tool change before a pass; the touch comes last."""
    step, before = setup.passes[index], setup.passes[:index]
    fresh = not before or before[-1].tool != step.tool
    swivels, touch = beside.swivels, beside.touches.get(index, "")
    if index in swivels:
        locked = bool(before) and stays_locked(before[-1])
        again = "" if fresh else touch
        yield _swivel_row(step, swivels[index], again, numbers, locked=locked)
    if index in beside.set_overs:
        yield _set_over_row(step, beside.set_overs[index], "" if fresh else touch, numbers)
    if not fresh:
        return
    lost = any(at <= index for at in (*swivels, *beside.set_overs))
    posted = [p.tool for p in before if not in_tailstock(p)]
    waits = posted[-1:] == [step.tool]
    yield _tool_row(step, numbers, tools, touch if lost else "", first=not before, waits=waits)


def end_rows(setup: SetupPlan, numbers: Numbers, beside: Beside, deburr: str) -> Iterator[SheetRow]:
    """Yield what stands behind the last pass."""
    if not setup.passes:
        return
    last, end = setup.passes[-1], len(setup.passes)
    yield from beside.lengths.get(end, ())
    if deburr:
        yield SheetRow("deburr", "D", last.number, last.tool, words=deburr)
    if end in beside.set_overs:
        row = _set_over_row(last, beside.set_overs[end], "", numbers)
        yield replace(row, pass_number=last.number + 1)
    if end in beside.swivels:
        locked = stays_locked(last)
        row = _swivel_row(last, beside.swivels[end], "", numbers, locked=locked)
        yield replace(row, pass_number=last.number + 1)


def _swivel_row(
    step: Pass, swivel: Swivel, touch: str, numbers: Numbers, *, locked: bool
) -> SheetRow:
    """Return the row of a swivel; a tool that stays in is touched again behind it."""
    words = f"{'UNLOCK the carriage. ' if locked else ''}{swivel.words}"
    words += _touched_again(step, touch, numbers)
    return SheetRow("swivel", "A", step.number, step.tool, words=words)


def _set_over_row(step: Pass, over: SetOver, touch: str, numbers: Numbers) -> SheetRow:
    """Return the row of a tailstock that is moved across; a tool that stays in is touched again."""
    words = over.words + _touched_again(step, touch, numbers)
    return SheetRow("set-over", "O", step.number, step.tool, words=words)


def _touched_again(step: Pass, touch: str, numbers: Numbers) -> str:
    if not touch:
        return ""
    at = step.start_reading
    return (
        f" Touch T{step.tool} again and enter: {touch}; then clear to {numbers.x_place(at.x)}, "
        f"{numbers.z_place(at.z)}."
    )


def _tool_row(
    step: Pass,
    numbers: Numbers,
    tools: Mapping[int, Tool],
    touch: str,
    *,
    first: bool,
    waits: bool,
) -> SheetRow:
    """Return the row of a tool change; `waits`: it stayed in the post while the tailstock bored."""
    tool = tools.get(step.tool)
    name = f"T{step.tool} {tool.name if tool else ''}".rstrip()
    if in_tailstock(step):
        words = f"Put {name} in the tailstock, turret clear of it. {quill_words(step, numbers)}"
        return SheetRow("tool", "T", step.number, step.tool, words=words.rstrip())
    at = step.start_reading
    x, z = (_away(value, numbers) for value in (at.x, at.z))
    clear = f"{numbers.x_place(x)}, {numbers.z_place(z)}"
    ways = f"Go clear to {clear}, stop, put in {name}:"
    if first:
        ways = f"Put in {name}:"
    elif waits:
        ways = f"Go on from {clear} with {name}, in the post still:"
    again = f"touch it again and enter ({touch}), " if touch else ""
    words = f"{ways} call it up in the readout, {again}bring it to {bring_to(step, numbers)}."
    return SheetRow("tool", "T", step.number, step.tool, words=words)


def _away(value: float, numbers: Numbers) -> float:
    """Return a place in the air as an easy figure, never nearer: whole mm, tenths of an inch."""
    step = 1.0 if numbers.units == "mm" else 0.1
    return round(math.ceil(value / step - 1e-9) * step, 6)
