"""Why metal stays: for each left-over that the replay saw, its cause and what would reach it."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from turnsketch.checking.records import LeftRegion, Replay
from turnsketch.geometry.elements import Point
from turnsketch.pipeline.bore_leftovers import bore_at, told_in_bore
from turnsketch.pipeline.groove_left import groove_at
from turnsketch.pipeline.left_judge import Judge
from turnsketch.plan_records import Finished, LeftOver
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.steady import STEADY

__all__ = ["explained"]

_BEYOND_MM = 0.5
"""What stays so near behind a setup's end is a corner of what it makes."""


def explained(works: Sequence[Planned], replayed: Replay) -> Finished:
    """Return the finished part with a reason and a remedy on every left-over.

    Parameters
    ----------
    works : sequence of Planned
        All setups in order; places stand in the last one's frame.
    """
    finished = replayed.finished
    if not replayed.left_over:
        return finished
    judge = Judge.of(works)
    pairs = zip(finished.left_over, replayed.left_over, strict=True)
    told = tuple(
        _explained(works, judge, *piece)
        for left, region in pairs
        for piece in judge.apart(left, region)
    )
    return msgspec.structs.replace(finished, left_over=told)


def _explained(
    works: Sequence[Planned], judge: Judge, left: LeftOver, region: LeftRegion
) -> LeftOver:
    place = Point(region.place.z - judge.ctx.zero, region.place.r)
    if _nobody_makes(works, judge.ctx, sum(left.z) / 2 - judge.ctx.zero):
        return msgspec.structs.replace(
            left,
            cause="no setup",
            reason="no setup makes it: each ends in front of it",
            remedy="name its section in a setup that reaches it, or add a setup for it",
        )
    seen = None if groove_at(judge.ctx.part, place) else bore_at(works, place)
    told = judge.explain(left, region) if seen is None else told_in_bore(left, seen)
    if told.cause == "jaws" and any(o.name == STEADY for o in judge.ctx.held.obstacles):
        return msgspec.structs.replace(
            told,
            reason="the steady rest (or the jaws) is in the way",
            remedy="make it in a setup without the steady rest, or move it",
        )
    return told


def _nobody_makes(works: Sequence[Planned], last: Context, z: float) -> bool:
    """Return whether every setup ends in front of a place, told in the last one's part frame."""
    for planned in works:
        ctx = planned.ctx
        here = z if ctx.setup.turned == last.setup.turned else -ctx.part.total_length - z
        if ctx.limit_z is None or here > ctx.limit_z - _BEYOND_MM:
            return False
    return True
