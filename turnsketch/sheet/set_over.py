"""Rows where the tailstock is set over for a taper, and where it is set back.

Set over, the work's axis stands aslant: X of every tool is lost, and what is turned then is no
cylinder. So it gets rows of its own, as swivelling the top slide does (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.planning.changes import in_tailstock
from turnsketch.sheet.lands import land_near_front
from turnsketch.sheet.motions import main_cut, parts_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.units import INCH_MM, to_mm

__all__ = ["SetOver", "set_overs_of"]

_PROOF = "at one setting of X take a light cut at two places far apart; both must measure the same"

_LONG_MM = 15.0
"""An indicator tells something along so much of a cylinder at least."""


@dataclass(frozen=True, slots=True)
class SetOver:
    """The tailstock is moved across before a pass."""

    words: str
    touch: str = ""
    """Where the tool that cuts the taper is touched, and what is entered."""


def set_overs_of(setup: SetupPlan, numbers: Numbers) -> Mapping[int, SetOver]:
    """Return the moves of the tailstock by the index of the pass that each stands before.

    It stands on the axis at first, and is set back for the next pass that is no such taper;
    len(passes) stands for the end.
    """
    found: dict[int, SetOver] = {}
    now = 0.0
    for index, step in enumerate(setup.passes):
        wanted = _wanted(step)
        if abs(wanted - now) < 1e-9:
            continue
        if wanted:
            touch = _touch_words(setup, index, numbers)
            found[index] = SetOver(_over_words(step, wanted, numbers), touch)
        elif not in_tailstock(step):
            found[index] = SetOver(_back_words(setup, index, now, numbers))
        else:
            continue
        now = wanted
    if now:
        end = len(setup.passes)
        found[end] = SetOver(_back_words(setup, end, now, numbers))
    return found


def _wanted(step: Pass) -> float:
    """Return how far the tailstock stands over in a pass, millimetres; away from the hand < 0."""
    taper = step.taper
    return taper.set_over or 0.0 if taper is not None and taper.means == "set-over" else 0.0


def _over_words(step: Pass, over: float, numbers: Numbers) -> str:
    taper = step.taper
    assert taper is not None
    way = "toward you" if over > 0 else "away from you"
    small = "front" if over > 0 else "chuck's"
    along, on = (50.0, "50 mm") if numbers.units == "mm" else (2 * INCH_MM, "2 in")
    rise = numbers.fine(along * math.tan(taper.half_angle))
    return (
        f"Spindle off. Set the tailstock over by {numbers.fine(abs(over))} {numbers.unit} {way}: "
        "indicator on its quill, slack out, clamp it, read again. Check: the indicator on the "
        f"carriage, along a cylinder of the work or a test bar, moves {rise} on {on}, the {small} "
        "end nearer to you. Oil the centres. NO CYLINDER is cut until it is set back."
    )


def _back_words(setup: SetupPlan, index: int, over: float, numbers: Numbers) -> str:
    """Say how it is set back and proved: nothing that is finished is cut for it."""
    way = "away from you" if over > 0 else "toward you"
    land = _finished_before(setup, index)
    proof = f"Prove it before the next last cut: {_PROOF}."
    if land:
        proof = (
            "Prove it: the indicator on the carriage stands still along "
            f"Ø{numbers.diameter(land)}, finished before; and on the next blank, {_PROOF}."
        )
    return (
        f"Spindle off. Set the tailstock back by {numbers.fine(abs(over))} {numbers.unit}, {way}, "
        f"indicator on its quill back to 0; clamp it. {proof}"
    )


def _finished_before(setup: SetupPlan, index: int) -> float:
    """Return the diameter of the longest cylinder that was finished in line; 0: there is none."""
    best, diameter = _LONG_MM, 0.0
    for step in setup.passes[:index]:
        here = step.start
        for move in step.moves:
            length, level = abs(move.to.z - here.z), abs(move.to.r - here.r) < 1e-9
            made = step.last_on_surface and step.size is not None and move.kind == "cut"
            if made and level and length >= best:
                best, diameter = length, 2 * move.to.r
            here = move.to
    return diameter


def _touch_words(setup: SetupPlan, index: int, numbers: Numbers) -> str:
    """Say where X is found: on a cylinder, and what the taper makes of it at the row's start.

    The slide stands still while the taper is cut: X counts where the row begins. A place behind
    that is thicker on the taper by its distance times C.
    """
    step = setup.passes[index]
    taper = step.taper
    land = land_near_front(setup, index, _reach(step))
    if taper is None or land is None:
        return ""
    begin = to_mm(main_cut(parts_of(step)[1]).before.z, numbers.units)
    grows = 2 * math.tan(taper.half_angle) * (begin - land.z)
    change = -grows if _wanted(step) > 0 else grows
    sign = "less" if change < 0 else "plus"
    return (
        f"X at Z {numbers.signed(land.z)} on Ø{numbers.diameter(2 * land.r)}: micrometer {sign} "
        f"{numbers.fine(abs(change))} (the taper's way from there to where the row begins)"
    )


def _reach(step: Pass) -> tuple[float, float]:
    """Return the span of a pass's cuts along Z."""
    places = [m.to.z for m in step.moves if m.kind == "cut"]
    begins = [m.to.z for m in step.moves[:1]]
    return min(places), max(*places, *begins)
