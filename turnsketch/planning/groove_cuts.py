"""The passes that make one groove with one tool, in the order in which a lathe hand cuts them."""

from __future__ import annotations

from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.groove_plunges import rough_plunges, walls_and_bottom
from turnsketch.planning.groove_slants import cut_flank, guides
from turnsketch.planning.groove_under import hidden_flanks, under_shoulder
from turnsketch.planning.groove_work import GrooveWork, NoWayError

__all__ = ["groove_passes"]

_SHORT_MM = 0.02
"""A slant or round of a path that is no longer than this is left to walls and bottom."""


def groove_passes(work: GrooveWork) -> tuple[list[DraftPass], State] | None:
    """Return the passes and the state after them; None when something is in the way."""
    try:
        _make(work)
    except NoWayError:
        return None
    return work.withdrawn() if work.found else None


def _make(work: GrooveWork) -> None:
    space, wide = work.space, work.space.high - work.space.low >= _SHORT_MM
    hidden = hidden_flanks(work)
    flanks = [
        run for run in space.flanks if run not in hidden and sum(e.length for e in run) > _SHORT_MM
    ]
    falling = [run for run in flanks if run[0].end.r < run[0].start.r]
    rising = [run for run in flanks if run not in falling]
    # A nose that stands on the bottom in one place alone goes there first: that gives room. One
    # that does not plunge comes to the foot of the far flank along the bottom.
    first = [*falling, *(rising if work.plunges else ())] if wide or not work.plunges else []
    then = [run for run in flanks if run not in first]
    followed = not work.plunges and wide and len(falling) == 1 and guides(work, falling[0])
    rough_plunges(work)
    for run in () if followed else first:
        cut_flank(work, run)
    walls_and_bottom(work, falling[0] if followed else ())
    for run in then:
        cut_flank(work, run, climbing=not work.plunges)
    if wide:
        under_shoulder(work)
