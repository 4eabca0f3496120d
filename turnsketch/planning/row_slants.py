"""Tapers and arcs that are followed whole: cut to where metal stands, in several cuts if need be.

Those that stand further off than the tool takes in one cut are approached in several, each the
same path moved off the surface (common practice for a taper by the top slide).
"""

from __future__ import annotations

import math
from dataclasses import replace

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point, moved
from turnsketch.plan_records import TaperSetting
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.levels import levels
from turnsketch.planning.means import Means
from turnsketch.planning.row_cut import cut_row
from turnsketch.planning.row_work import (
    DEEP,
    LAST_MM,
    SAMPLES,
    SHOULDER_MM,
    RowWork,
    even_points,
    part_of,
)
from turnsketch.planning.rows import Row

__all__ = ["slanted"]

_FLAT = 0.35
"""Sine of the slope up to which a surface counts as along (or across) the axis."""


def slanted(
    work: RowWork, row: Row, state: State, means: Means, taper: TaperSetting | None
) -> tuple[list[DraftPass], State]:
    """Return the cuts along a taper or arc, outer ones first, and what remains."""
    trimmed = _trimmed(work, row, state.remaining)
    if trimmed is None:
        return [], state
    made: list[DraftPass] = []
    away = _away(work, trimmed)
    shifts = _shifts(work, trimmed, away, state.remaining)
    for before, shift in zip([math.inf, *shifts], shifts, strict=False):
        shifted = tuple(moved(e, away.times(shift)) for e in trimmed.elements)
        outer = replace(trimmed, elements=shifted)
        found, state = cut_row(work, outer, state, means, taper, last=shift == 0.0)
        # On a short row the mean counts what the nose takes beside it as well.
        most = min(work.greatest_depth(), before - shift)
        made += [replace(one, depth=min(one.depth, most)) for one in found]
    return made, state


def _trimmed(work: RowWork, row: Row, metal: BaseGeometry) -> Row | None:
    """Return the taper or arc cut down to where metal stands; None when none does."""
    element = row.elements[0]
    shares = [i / SAMPLES for i in range(SAMPLES + 1)]
    met = work.mover.busy([element.at(s) for s in shares], metal)
    busy = [s for s, here in zip(shares, met, strict=True) if here]
    if not busy:
        return None
    # Half a millimetre more at each end, so that the cut blends into what is finished there.
    more = max(1 / SAMPLES, 0.5 / element.length)
    first, last = max(0.0, busy[0] - more), min(1.0, busy[-1] + more)
    rest = row.elements[1:] if last == 1.0 else ()
    return replace(row, elements=(part_of(element, first, last), *rest))


def _away(work: RowWork, row: Row) -> Point:
    """Return the way off a taper or arc: in X, in Z, or as much in both, by its slope."""
    out = _outward(work, row)
    if abs(out.z) < _FLAT:
        return Point(0.0, 1.0)
    side = math.copysign(1.0, out.z)
    return Point(side, 0.0) if abs(out.r) < _FLAT else Point(side, 1.0)


def _outward(work: RowWork, row: Row) -> Point:
    """Return the unit vector off the surface, by the chord of a taper or arc."""
    element = row.elements[0]
    way = element.end.minus(element.start).times(1 / element.start.distance(element.end))
    out = Point(way.r, -way.z)
    return out.times(-1.0) if work.shape.tool.hand == "left" else out


def _shifts(work: RowWork, row: Row, away: Point, metal: BaseGeometry) -> list[float]:
    """Return how far off each cut along a taper or arc stands, the last one 0."""
    # A depth is measured off the surface; a shift in X and Z at once is more than it takes.
    out = _outward(work, row)
    greatest = work.greatest_depth() / abs(away.z * out.z + away.r * out.r)
    path = even_points(row.elements[0])
    if len(row.elements) > 1:
        # The shoulder behind it stands high over the end, and is faced with the same cut.
        end = row.elements[0].end
        path = [p for p in path if p.distance(end) > SHOULDER_MM] or path[:1]

    def free(shift: float, solid: BaseGeometry) -> bool:
        return work.mover.free([p.plus(away.times(shift)) for p in path], solid)

    if free(greatest, metal):
        return [0.0]
    height = greatest
    while not free(height, metal):
        height += 0.1
        if height > DEEP * greatest:
            return []

    def easy(low: float, high: float) -> float:
        return _easy_shift(work, low, high)

    steps = levels(height, [easy(LAST_MM, LAST_MM)], greatest, easy)
    return [*(s for s in steps if free(s, work.solid)), 0.0]


def _easy_shift(work: RowWork, low: float, high: float) -> float:
    """Return a shift in an interval that is a whole half millimetre (0.010 in) on diameter."""
    unit = 0.127 if work.ctx.units == "inch" else 0.25
    figure = math.ceil(low / unit - 1e-9) * unit
    return figure if figure <= high + 1e-9 else math.floor(high / unit + 1e-9) * unit or low
