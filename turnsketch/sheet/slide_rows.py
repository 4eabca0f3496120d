"""A taper by the top slide in words: the carriage stands locked, the slide cuts and comes back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from turnsketch.plan_records import Pass, Reading
from turnsketch.sheet.motions import Motion, main_cut, parts_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.phrases import MOST_MOTIONS, chunks_of, needs_words, phrase, setting_text
from turnsketch.sheet.records import RowText

__all__ = ["slide_rows", "unlocks"]


def slide_rows(
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
    before = [] if told or not needs_words(ahead, main) else chunks_of(ahead, numbers)
    if len(plunge) < at:
        before += chunks_of(core[:at], numbers)
        plunge = []
    start, setting = setting_text(main, numbers)
    if plunge:
        start += f"\nfaces from\nX {numbers.x(plunge[0].before.x)}"
    off = tail[0] if tail and tail[0].axis != "Z" else None
    rest = _behind_slide(tail[1:] if off else tail, main)
    # Facing out along a shoulder comes before the slide goes back, as it follows the taper.
    out = [*core[at + 1 :], *((off,) if off else ())]
    then = [_slide_phrase(motion, main, numbers, seen=seen) for motion in out]
    motions = (1 if lead or plunge else 0) + 2 + len(then)
    row = RowText(start, setting, f"slide to\n{slide}", "", (*then, "slide back to 0"), "", motions)
    if not rest:
        return [*before, row]
    if len(rest) == 1 and motions < MOST_MOTIONS:
        return [*before, replace(row, back=phrase(rest[0], numbers), motions=motions + 1)]
    chunks = chunks_of(rest, numbers)
    chunks[0] = replace(chunks[0], then=("UNLOCK, then", *chunks[0].then))
    return [*before, row, *chunks]


def _behind_slide(rest: Sequence[Motion], main: Motion) -> list[Motion]:
    """Return the motions that are left once the slide is back at 0, where the taper began on Z.

    Bringing the slide back is the way back along Z: only a way past the start moves the carriage.
    """
    home = main.before.z
    if not rest or rest[0].axis != "Z" or rest[0].cut:
        return list(rest)
    first = rest[0]
    if math.isclose(first.after.z, home, abs_tol=1e-9):
        return list(rest[1:])
    return [replace(first, before=Reading(first.before.x, home)), *rest[1:]]


def unlocks(step: Pass, way: Sequence[Motion] | None = None) -> bool:
    """Tell whether a taper by top slide ends with the carriage moved, so unlocked, again."""
    _, core, tail = parts_of(step, way)
    if not core or step.taper is None or step.taper.means != "top slide":
        return False
    rest = tail[1:] if tail and tail[0].axis != "Z" else tail
    return any(motion.axis == "Z" for motion in _behind_slide(rest, main_cut(core)))


def _slide_phrase(motion: Motion, main: Motion, numbers: Numbers, *, seen: bool) -> str:
    """Return a motion after the slide's in words.

    A readout that does not see the slide stands where the cross slide does: the printed figure is
    its own. With the slide back at 0 the tool then stands where it was planned, or further out.
    """
    if seen or motion.axis != "X":
        return phrase(motion, numbers)
    slid = main.after.x - main.before.x
    outward = motion.after.x > motion.before.x
    shows = max(motion.after.x, motion.after.x - slid) if outward else motion.after.x - slid
    way = ("face " if motion.cut else "X ") + ("out" if outward else "in")
    figure = numbers.x_place(shows)[2:] if outward else numbers.x(shows)
    return f"{way} until it shows {figure}"
