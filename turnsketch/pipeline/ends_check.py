"""The proof that the tailstock is in line: two places of one cut, far apart, early in the work.

Both places are cut at one setting of X, so that nothing but the tailstock makes them differ. A
tailstock that stands off by e makes two places, a distance s apart on a work of length L, differ
by 2 e s / L on diameter: it is moved by L / (2 s) of the difference.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.plan_records import EndsCheck, Pass
from turnsketch.planning.context import Context
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.fold import Planned
from turnsketch.planning.measure import ANVIL_MM

__all__ = ["ends_check"]

_TURNED = ("rough", "finish")

_FAR_ENOUGH = 0.8
"""The first cut with so much of the greatest distance is taken: the earlier, the more metal is
left to turn in line."""

_LEAST_SHARE = 0.2
"""Places nearer than this share of the work's length tell nothing: an error of measuring would be
taken for more than two of the tailstock."""

_STEP_MM = 1.0
_SAME_MM = 1e-3
_THIN_MM = 0.05


@dataclass(frozen=True, slots=True)
class _Cut:
    """A level cut: from where to where, and its radius."""

    low: float
    high: float
    r: float


@dataclass(frozen=True, slots=True)
class _Places:
    """Where a pass is measured: near the centre, near the chuck."""

    index: int
    near: float
    far: float
    r: float


def ends_check(planned: Planned, passes: Sequence[Pass]) -> EndsCheck | None:
    """Return where both ends are measured on a centre; None where no cut is long enough.

    It is the first pass whose two places lie nearly as far apart as any pass's do.
    """
    ctx = planned.ctx
    length = ctx.between_centres_mm or ctx.held.raw_front - ctx.held.jaw_face
    if not ctx.supported or length <= 0:
        return None
    found = [p for p in _all_places(planned) if p.index + 1 < len(passes)]
    most = max((p.near - p.far for p in found), default=0.0)
    if most < max(ANVIL_MM, _LEAST_SHARE * length):
        return None
    best = next(p for p in found if p.near - p.far >= _FAR_ENOUGH * most)
    return EndsCheck(
        before_pass=passes[best.index + 1].number,
        at_z=(best.near + ctx.zero, best.far + ctx.zero),
        expected_diameters=(2 * best.r, 2 * best.r),
        length_mm=length,
        move_per_difference=length / (2 * (best.near - best.far)),
    )


def _all_places(planned: Planned) -> Iterator[_Places]:
    """Yield the two places of every pass along a cylinder that is made on the centre."""
    ctx = planned.ctx
    made: list[_Cut] = []
    index = 0
    for step in planned.steps:
        front = float(step.remaining.bounds[2])
        for draft in step.passes:
            cuts = list(_level_cuts(draft)) if step.operation.kind in _TURNED else []
            on_centre = planned.centre_from is None or index >= planned.centre_from
            if on_centre and len(cuts) == 1:
                places = _places(ctx, index, cuts[0], made, front)
                if places is not None:
                    yield places
            made += cuts
            index += 1


def _level_cuts(draft: DraftPass) -> Iterator[_Cut]:
    """Yield the cuts of a pass along a cylinder outside."""
    here = draft.start
    for drafted in draft.moves:
        to = drafted.move.to
        level = abs(to.r - here.r) < _SAME_MM and drafted.move.centre is None
        if drafted.move.kind == "cut" and level and not draft.inside:
            yield _Cut(min(here.z, to.z), max(here.z, to.z), to.r)
        here = to


def _places(
    ctx: Context, index: int, cut: _Cut, before: Sequence[_Cut], front: float
) -> _Places | None:
    """Return the outermost places of a cut at which metal was taken; None: there are not two."""
    margin = ANVIL_MM / 2
    low, high = cut.low + margin, min(cut.high, front) - margin
    count = int(max(high - low, 0.0) / _STEP_MM)
    spots = [high - i * _STEP_MM for i in range(count + 1)] + [low]
    thick = [z for z in spots if low <= z <= high and _stood_over(ctx.held.region, z, cut, before)]
    if len(thick) < 2:
        return None
    return _Places(index, max(thick), min(thick), cut.r)


def _stood_over(blank: BaseGeometry, z: float, cut: _Cut, before: Sequence[_Cut]) -> bool:
    """Return whether metal stood over a cut at a place."""
    if any(b.low <= z <= b.high and b.r <= cut.r + _THIN_MM for b in before):
        return False
    strip = shapely.clip_by_rect(blank, z - 0.1, 0.0, z + 0.1, 1e4)
    return not strip.is_empty and float(strip.bounds[3]) > cut.r + _THIN_MM
