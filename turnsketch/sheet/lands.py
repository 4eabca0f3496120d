"""Which diameters stand on the metal at a moment, long enough for a micrometer's anvils.

The metal is kept as a radius at every 0.25 mm along Z; each cut takes what stands over it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from turnsketch.blank_sizes import blank_sizes
from turnsketch.plan_records import Pass, Ring, SetupPlan, ToolRecord
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput
from turnsketch.sheet.touching import edge_at

__all__ = ["Land", "land_near_front", "touch_place"]

LEAST_LAND_MM = 8.0
"""A micrometer's anvils want so much (common practice: 6.5 mm anvils and some room)."""

_CALIPER_LAND_MM = 4.0
"""So much is wide enough for a caliper, where nothing longer stands (common practice)."""

_BY_CALIPER = "(narrow: measure it by caliper)"

_STEP = 0.25
_SAME = 3e-3


@dataclass(frozen=True, slots=True)
class Land:
    """A cylinder of the moment, and a place on it for the anvils. Millimetres."""

    z: float
    r: float


class _Metal:
    """Radius of the metal along Z, from the jaws to the front."""

    def __init__(self, setup: SetupPlan) -> None:
        ends = [p.z for ring in setup.blank for p in ring]
        self.back = max(min(ends, default=0.0), setup.jaw_face_z)
        count = max(int((max(ends, default=0.0) - self.back) / _STEP), 0)
        self.z = [self.back + (i + 0.5) * _STEP for i in range(count)]
        self.r = [_radius(setup.blank, z) for z in self.z]

    def take(self, step: Pass, tool: ToolRecord | None) -> None:
        """Take the cuts of a pass off."""
        here = step.start
        for move in step.moves:
            to = move.to
            if move.kind != "position":
                low, high = sorted((here.z, to.z))
                if high - low < _SAME:
                    low, high = self._wide(step, tool, to.z, min(here.r, to.r))
                for i, z in enumerate(self.z):
                    if low <= z <= high:
                        self.r[i] = min(self.r[i], _between(here, to, z))
            here = to

    def _wide(self, step: Pass, tool: ToolRecord | None, z: float, r: float) -> tuple[float, float]:
        """Return how far a cut along X reaches on Z: a front face takes all in front of it."""
        if step.direction == "face" and not any(zz > z + 8 and rr > r for zz, rr in self.pairs):
            return z, self.z[-1] if self.z else z
        left = edge_at(tool, 1.0, "left") if tool else None
        right = edge_at(tool, 1.0, "right") if tool else None
        return z + (left or 0.0), z + (right or 0.0)

    @property
    def pairs(self) -> Iterator[tuple[float, float]]:
        """Z and radius of every place."""
        return zip(self.z, self.r, strict=True)

    def longest(self, radius: float, behind: float = -math.inf) -> float:
        """Return the length of the longest cylinder of a radius that stands in front of a Z."""
        best = run = 0
        for z, r in self.pairs:
            run = run + 1 if abs(r - radius) < _SAME and z > behind else 0
            best = max(best, run)
        return best * _STEP


def _between(a: object, b: object, z: float) -> float:
    az, ar, bz, br = a.z, a.r, b.z, b.r  # type: ignore[attr-defined]
    if abs(bz - az) < _SAME:
        return float(min(ar, br))
    share = min(max((z - az) / (bz - az), 0.0), 1.0)
    return float(ar + share * (br - ar))


def _radius(rings: Sequence[Ring], z: float) -> float:
    best = 0.0
    for ring in rings:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if min(a.z, b.z) <= z <= max(a.z, b.z) and a.z != b.z:
                best = max(best, a.r + (z - a.z) / (b.z - a.z) * (b.r - a.r))
    return best


def land_near_front(setup: SetupPlan, index: int, span: tuple[float, float]) -> Land | None:
    """Return the land nearest to the front in a span of Z, before pass number `index`."""
    metal = _Metal(setup)
    records = {tool.number: tool for tool in setup.tools}
    for step in setup.passes[:index]:
        if not step.inside and step.direction != "drill":
            metal.take(step, records.get(step.tool))
    low, high = span
    inside = [(z, r) for z, r in metal.pairs if low <= z <= high]
    runs = [list(run) for _, run in groupby(inside, key=lambda pair: round(pair[1] / _SAME))]
    long = [run for run in runs if len(run) * _STEP >= LEAST_LAND_MM]
    if not long:
        return None
    front, r = long[-1][-1]
    return Land(math.floor(front + _STEP / 2 - LEAST_LAND_MM / 2), r)


def touch_place(given: SheetInput, setup: SetupPlan, first: int, numbers: Numbers) -> str:
    """Say which diameter sets X before pass number `first` of the list: "Ø20.00 left by pass 7".

    Only what a micrometer can span is named: the last pass's cylinder that stands, else bright
    bar. Empty: nothing stands, and a trial cut must be made.
    """
    metal = _Metal(setup)
    records = {tool.number: tool for tool in setup.tools}
    before = setup.passes[:first]
    outside = [step for step in before if not step.inside and step.direction != "drill"]
    for step in outside:
        metal.take(step, records.get(step.tool))
    pressed = {step.section for step in before if step.knurl is not None}
    for step in reversed(outside):
        if step.section in pressed:
            continue  # a knurl is no surface to set a tool on
        here = step.start
        for move in step.moves:
            along = move.kind == "cut" and move.centre is None and abs(move.to.r - here.r) < 1e-9
            if along and metal.longest(here.r) >= LEAST_LAND_MM:
                x = numbers.diameter(2 * here.r)
                return f"Ø{x} left by pass {step.number}"
            here = move.to
    bar = max((p.r for ring in setup.blank for p in ring), default=0.0)
    blank = given.job.blank
    true_bar = blank.shape in ("round", "tube") and blank.skin == "bright"
    if setup.number > 1:
        bar = blank_sizes(blank, given.job.units).radius
        turned = _turned_before(metal, bar)
        if turned is not None:  # a trial cut would spoil what is finished
            return f"Ø{numbers.diameter(2 * turned)} turned before"
    if true_bar and metal.longest(bar) >= LEAST_LAND_MM:
        return f"the bar, Ø{blank.diameter}"
    narrow = _narrow(setup, metal, numbers, bar) if before or setup.number > 1 else ""
    return f"{narrow} turned before {_BY_CALIPER}" if narrow else ""


def _turned_before(metal: _Metal, bar: float) -> float | None:
    """Return the greatest radius that an earlier setup turned and a micrometer spans."""
    turned = (r for r in set(metal.r) if abs(r - bar) > _SAME)
    return max((r for r in turned if metal.longest(r) >= LEAST_LAND_MM), default=None)


def _narrow(setup: SetupPlan, metal: _Metal, numbers: Numbers, other_than: float = 0.0) -> str:
    """Name the thickest land that is wide enough for a caliper; empty: there is none."""
    reach = setup.never_beyond_z
    short = [
        r
        for r in set(metal.r)
        if abs(r - other_than) > _SAME and metal.longest(r, reach) >= _CALIPER_LAND_MM - _STEP
    ]
    return f"Ø{numbers.diameter(2 * max(short))}" if short else ""
