"""A pass in words: from, set, cut to, then in order, back to; one wheel a motion, four a row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from turnsketch.plan_records import Pass
from turnsketch.sheet.bore_rows import quill_row
from turnsketch.sheet.motions import (
    Motion,
    continues,
    parts_of,
    same_way,
)
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.phrases import (
    MOST_MOTIONS,
    chunks_of,
    cut_to_text,
    needs_words,
    phrase,
    power_until_text,
    setting_text,
)
from turnsketch.sheet.records import RowText
from turnsketch.sheet.slide_rows import slide_rows
from turnsketch.sheet.thread_rows import tailstock_thread_row, thread_row

__all__ = ["bring_to", "row_texts"]

_SHORT = 6
"""A place of up to so many letters stands on one line with "feed"."""


def _split_lead(lead: list[Motion], first: Motion | None) -> tuple[list[Motion], list[Motion]]:
    """Split the way to the first cut: what comes before the row, and the motion that sets it."""
    if first is None or not lead:
        return lead, []
    sets = lead[-1].axis != first.axis and first.axis != "arc"
    return (lead[:-1], lead[-1:]) if sets else (lead, [])


def _one_turn(lead: list[Motion], first: Motion) -> bool:
    """Tell whether the last motion through air and the first cut are one turn of one wheel."""
    return (
        len(lead) > 1 and same_way(lead[-1], first) and lead[-2].axis in {"X", "Z"} - {first.axis}
    )


def bring_to(step: Pass, numbers: Numbers) -> str:
    """Return where a tool is brought after a change, in order: "Z+2, then X 36"."""
    lead, core, _ = parts_of(step)
    before, _ = _split_lead(lead, core[0] if core else None)
    last = {motion.axis: motion for motion in before}
    at = before[-1].after if before else step.start_reading
    order = [axis for axis in last if axis in ("X", "Z")] or ["Z", "X"]
    if len(order) == 2 and before[-1:] and before[-1].axis != order[1]:
        order.reverse()
    return ", then ".join(
        numbers.x_place(at.x) if a == "X" else numbers.z_place(at.z) for a in order
    )


def _after_cut(
    step: Pass, core: Sequence[Motion], tail: Sequence[Motion], numbers: Numbers
) -> list[str]:
    """Return the words for all that follows the first cut."""
    words = [phrase(motion, numbers) for motion in (*core[1:], *tail)]
    facing_in = core[0].axis == "X" and core[0].after.x < core[0].before.x
    if facing_in and step.direction == "face" and len(core) == 1 and len(tail) > 1:
        words[0] += " FIRST"
    return words


def _joined(lead: list[Motion]) -> list[Motion]:
    """Join motions of one wheel in one direction on the way to a cut."""
    joined: list[Motion] = []
    for motion in lead:
        if joined and continues(joined[-1], motion):
            joined[-1] = Motion(False, motion.axis, joined[-1].before, motion.after)
        else:
            joined.append(motion)
    return joined


def _steps_row(
    step: Pass, lead: int, core: list[Motion], tail: list[Motion], numbers: Numbers
) -> RowText:
    """Return the row of a step table: the steps themselves stand on their own page."""
    first, last = core[0].before, core[-1].after
    steps = len(step.steps.rows) if step.steps else len(core)
    then = (f"{steps} steps", *(phrase(m, numbers) for m in tail[:-1]))
    return RowText(
        f"{numbers.x_place(first.x)}\n{numbers.z_place(first.z)}",
        "",
        f"X {numbers.x(last.x)}\nZ {numbers.z(last.z)}",
        "",
        then,
        phrase(tail[-1], numbers) if tail else "",
        min(lead, 1) + 1 + len(tail),
    )


def row_texts(
    step: Pass,
    numbers: Numbers,
    *,
    fresh_tool: bool,
    slide: str = "",
    way: Sequence[Motion] | None = None,
    slide_seen: bool = False,
) -> tuple[RowText, ...]:
    """Return a pass as rows of at most four motions.

    Parameters
    ----------
    step : Pass
        The pass.
    numbers : Numbers
        Writes readings.
    fresh_tool : bool
        The tool was changed before this pass; the way to it stands in the tool's own row, up to
        the last motion, which sets the cut.
    slide : str
        For a taper by top slide: what its dial shows at the end.
    way : sequence of Motion, optional
        Its motions where they are joined with those of its neighbours (`joined_ways`).
    slide_seen : bool
        The readout counts the top slide's way too.

    Returns
    -------
    tuple of RowText
        Rows of motions that did not fit come before (way to the cut) or after (more cuts).
    """
    lead, core, tail = parts_of(step, way)
    if not core:
        return tuple(chunks_of(lead, numbers))
    lead = lead if fresh_tool else _joined(lead)
    if step.taper is not None and step.taper.means == "top slide":
        return tuple(slide_rows(lead, core, tail, numbers, slide, told=fresh_tool, seen=slide_seen))
    if step.operation in ("tap", "die"):
        return (tailstock_thread_row(step, numbers),)
    if step.direction == "drill":
        return (quill_row(step, numbers),)
    if step.thread is not None:
        ahead, _ = _split_lead(lead, core[0])
        told = fresh_tool or not needs_words(ahead, core[0])
        before = [] if told else chunks_of(ahead, numbers)
        return (*before, thread_row(step, core, tail, numbers, slide))
    return _cut_rows(step, (lead, core, tail), numbers, told=fresh_tool)


def _cut_rows(
    step: Pass,
    parts: tuple[list[Motion], list[Motion], list[Motion]],
    numbers: Numbers,
    *,
    told: bool,
) -> tuple[RowText, ...]:
    """Return the rows of way, cut and way back; `told`: the way stands in the tool's own row."""
    lead, core, tail = parts
    feeds_from = ""
    if not told and _one_turn(lead, core[0]):
        # The wheel goes on turning where the air ends: one motion, and the row says where.
        feeds_from = setting_text(core[0], numbers)[0]
        core = [replace(core[0], before=lead[-1].before), *core[1:]]
        lead = lead[:-1]
    ahead, lead = _split_lead(lead, core[0])
    before = [] if told or not needs_words(ahead, core[0]) else chunks_of(ahead, numbers)
    if step.steps is not None:
        return (*before, _steps_row(step, len(lead), core, tail, numbers))
    return (*before, *_plain_rows(step, lead, core, tail, feeds_from, numbers))


def _plain_rows(
    step: Pass,
    lead: list[Motion],
    core: list[Motion],
    tail: list[Motion],
    feeds_from: str,
    numbers: Numbers,
) -> list[RowText]:
    """Return the row of a pass along one wheel's way, and rows for what finds no room in it."""
    start, setting = setting_text(core[0], numbers)
    if feeds_from:
        start += f"\nfeed {feeds_from}" if len(feeds_from) <= _SHORT else f"\nfeed at\n{feeds_from}"
    rest = (*core[1:], *tail)
    # "From" is where the tool already waits; setting the other axis is the row's first motion.
    sets = min(len(lead), 1)
    room = MOST_MOTIONS - 1 - sets
    words = _after_cut(step, core, tail, numbers)
    x_stands = step.taper is not None and step.taper.means == "set-over"
    fits = len(rest) <= room
    back = words[-1] if fits and rest and not rest[-1].cut else ""
    then = words[: len(words) - 1 if back else room]
    row = RowText(
        start,
        setting,
        cut_to_text(core[0], numbers, x_stands=x_stands),
        power_until_text(step, numbers),
        (*(("KEEP X",) if _keeps_x(step, core, tail) else ()), *then),
        back,
        sets + 1 + len(then) + bool(back),
    )
    return [row, *([] if fits else chunks_of(rest[room:], numbers))]


def _keeps_x(step: Pass, core: Sequence[Motion], tail: Sequence[Motion]) -> bool:
    """Tell whether the tool goes back along Z alone."""
    plain = bool(tail) and len(core) == 1 and core[0].axis == "Z"
    return step.keep_x or (plain and {motion.axis for motion in tail} == {"Z"})
