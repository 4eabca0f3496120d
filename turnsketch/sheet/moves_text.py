"""A pass in words: from, set, cut to, then in order, back to; one wheel a motion, four a row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from turnsketch.plan_records import Pass
from turnsketch.sheet.bore_rows import quill_row
from turnsketch.sheet.motions import Motion, continues, main_cut, parts_of, same_way
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RowText
from turnsketch.sheet.thread_rows import tailstock_thread_row, thread_row
from turnsketch.units import from_mm

__all__ = ["MOST_MOTIONS", "bring_to", "row_texts"]

MOST_MOTIONS = 4

_SHORT = 6
"""A place of up to so many letters stands on one line with "feed"."""


def _phrase(motion: Motion, numbers: Numbers) -> str:
    """Return a motion after the first cut in words."""
    to = motion.after
    outward = to.x > motion.before.x
    x, z = numbers.x_place(to.x), numbers.z_place(to.z)
    if not motion.cut:
        return z if motion.axis == "Z" else f"X {'out' if outward else 'in'} {x[2:]}"
    full_x, full_z = f"X {numbers.x(to.x)}", f"Z {numbers.z(to.z)}"
    if motion.axis == "Z":
        return f"turn to {full_z}"
    if motion.axis == "X":
        # Facing out ends in the air beyond the shoulder, facing in ends on a surface.
        return f"face out to {x}" if outward else f"face in to {full_x}"
    return f"{'arc' if motion.axis == 'arc' else 'taper'} to {full_x}, {full_z}"


def _cut_to(motion: Motion, numbers: Numbers, *, x_stands: bool = False) -> str:
    """Return the end of a cut with every decimal; only Z where the X slide does not move."""
    x, z = f"X {numbers.x(motion.after.x)}", f"Z {numbers.z(motion.after.z)}"
    if motion.axis == "X":
        return x
    return z if motion.axis == "Z" or x_stands else f"{x}\n{z}"


def _power_until(step: Pass, numbers: Numbers) -> str:
    if not step.power or step.power_until is None:
        return ""
    if step.direction in ("face", "plunge"):
        return numbers.x_place(from_mm(2 * step.power_until, numbers.units))
    return numbers.z_place(from_mm(step.power_until, numbers.units))


def _setting(first: Motion, numbers: Numbers) -> tuple[str, str]:
    """Return (from, set) of the first cut."""
    at = first.before
    if first.axis == "X":
        return numbers.x_place(at.x), f"Z {numbers.z(at.z)}"
    return numbers.z_place(at.z), numbers.x(at.x)


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


def _chunks(motions: Sequence[Motion], numbers: Numbers) -> list[RowText]:
    """Put motions that found no room into rows of their own; the last way off is the way back."""
    rows = []
    for index in range(0, len(motions), MOST_MOTIONS):
        part = list(motions[index : index + MOST_MOTIONS])
        count = len(part)
        cut_to = _cut_to(part.pop(0), numbers) if part[0].cut else ""
        last = bool(cut_to) and index + MOST_MOTIONS >= len(motions)
        back = _phrase(part.pop(), numbers) if last and part and not part[-1].cut else ""
        then = tuple(_phrase(m, numbers) for m in part)
        rows.append(RowText("", "", cut_to, "", then, back, count))
    return rows


def _after_cut(
    step: Pass, core: Sequence[Motion], tail: Sequence[Motion], numbers: Numbers
) -> list[str]:
    """Return the words for all that follows the first cut."""
    words = [_phrase(motion, numbers) for motion in (*core[1:], *tail)]
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


def _needs_words(way: list[Motion], first: Motion) -> bool:
    """Tell whether the way to a row must be told: "from" tells a single motion along the cut."""
    return len(way) > 1 or (bool(way) and way[0].axis != first.axis)


def _steps_row(
    step: Pass, lead: int, core: list[Motion], tail: list[Motion], numbers: Numbers
) -> RowText:
    """Return the row of a step table: the steps themselves stand on their own page."""
    first, last = core[0].before, core[-1].after
    steps = len(step.steps.rows) if step.steps else len(core)
    then = (f"{steps} steps", *(_phrase(m, numbers) for m in tail[:-1]))
    return RowText(
        f"{numbers.x_place(first.x)}\n{numbers.z_place(first.z)}",
        "",
        f"X {numbers.x(last.x)}\nZ {numbers.z(last.z)}",
        "",
        then,
        _phrase(tail[-1], numbers) if tail else "",
        min(lead, 1) + 1 + len(tail),
    )


def _slide_rows(
    lead: list[Motion],
    core: list[Motion],
    tail: list[Motion],
    numbers: Numbers,
    slide: str,
    *,
    told: bool,
    seen: bool,
) -> list[RowText]:
    """Return the rows of a taper by top slide; `seen`: the readout counts the slide too.

    X is set to where the taper begins, also where the last of that way faces a shoulder. X goes
    out before the slide goes back, so that the tool does not rub along the new surface.
    """
    main = main_cut(core)
    at = core.index(main)
    plunge = [motion for motion in core[:at] if motion.axis == "X"]
    ahead = lead if plunge and lead and lead[-1].axis == "Z" else lead[:-1]
    before = [] if told or not _needs_words(ahead, main) else _chunks(ahead, numbers)
    if len(plunge) < at:
        before += _chunks(core[:at], numbers)
        plunge = []
    start, setting = _setting(main, numbers)
    if plunge:
        start += f"\nfaces from\nX {numbers.x(plunge[0].before.x)}"
    off = tail[0] if tail and tail[0].axis != "Z" else None
    rest = tail[1:] if off else tail
    # Facing out along a shoulder comes before the slide goes back, as it follows the taper.
    out = [*core[at + 1 :], *((off,) if off else ())]
    then = [_slide_phrase(motion, main, numbers, seen=seen) for motion in out]
    motions = (1 if lead or plunge else 0) + 2 + len(then)
    row = RowText(start, setting, f"slide to\n{slide}", "", (*then, "slide back to 0"), "", motions)
    if len(rest) == 1 and motions < MOST_MOTIONS:
        return [*before, replace(row, back=_phrase(rest[0], numbers), motions=motions + 1)]
    return [*before, row, *_chunks(rest, numbers)]


def _slide_phrase(motion: Motion, main: Motion, numbers: Numbers, *, seen: bool) -> str:
    """Return a motion after the slide's in words.

    A readout that does not see the slide stands where the cross slide does: the printed figure is
    its own. With the slide back at 0 the tool then stands where it was planned, or further out.
    """
    if seen or motion.axis != "X":
        return _phrase(motion, numbers)
    slid = main.after.x - main.before.x
    outward = motion.after.x > motion.before.x
    shows = max(motion.after.x, motion.after.x - slid) if outward else motion.after.x - slid
    way = ("face " if motion.cut else "X ") + ("out" if outward else "in")
    figure = numbers.x_place(shows)[2:] if outward else numbers.x(shows)
    return f"{way} until it shows {figure}"


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
        return tuple(_chunks(lead, numbers))
    lead = lead if fresh_tool else _joined(lead)
    if step.taper is not None and step.taper.means == "top slide":
        return tuple(
            _slide_rows(lead, core, tail, numbers, slide, told=fresh_tool, seen=slide_seen)
        )
    if step.operation in ("tap", "die"):
        return (tailstock_thread_row(step, numbers),)
    if step.direction == "drill":
        return (quill_row(step, numbers),)
    if step.thread is not None:
        ahead, _ = _split_lead(lead, core[0])
        told = fresh_tool or not _needs_words(ahead, core[0])
        before = [] if told else _chunks(ahead, numbers)
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
        feeds_from = _setting(core[0], numbers)[0]
        core = [replace(core[0], before=lead[-1].before), *core[1:]]
        lead = lead[:-1]
    ahead, lead = _split_lead(lead, core[0])
    before = [] if told or not _needs_words(ahead, core[0]) else _chunks(ahead, numbers)
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
    start, setting = _setting(core[0], numbers)
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
        _cut_to(core[0], numbers, x_stands=x_stands),
        _power_until(step, numbers),
        (*(("KEEP X",) if _keeps_x(step, core, tail) else ()), *then),
        back,
        sets + 1 + len(then) + bool(back),
    )
    return [row, *([] if fits else _chunks(rest[room:], numbers))]


def _keeps_x(step: Pass, core: Sequence[Motion], tail: Sequence[Motion]) -> bool:
    """Tell whether the tool goes back along Z alone."""
    plain = bool(tail) and len(core) == 1 and core[0].axis == "Z"
    return step.keep_x or (plain and {motion.axis for motion in tail} == {"Z"})
