"""How a thread is cut in passes: depths of equal chip area, then spring passes.

The groove's area grows with the square of its depth, so passes of equal area stand at depths
t sqrt(i / n). Late passes get thin; none is thinner than the edge can cut.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from turnsketch.errors import InputError

__all__ = ["InfeedPass", "infeed", "top_slide_travel"]

_MOST_PASSES: Final = 200
_DUST: Final = 1e-9
_HALVINGS: Final = 100


@dataclass(frozen=True, slots=True)
class InfeedPass:
    """One pass along the thread. Millimetres."""

    number: int
    diameter: float
    """X at which the tip stands; with infeed by the top slide it is where the tip has come."""
    depth: float
    """Radial, from the blank's surface."""
    step: float
    """Radial, from the pass before; 0 for a spring pass."""
    top_slide: float | None
    """Travel of the top slide from the blank's surface; None: the cross slide feeds in."""
    spring: bool
    """A pass without infeed: it takes what the work has sprung back."""


def top_slide_travel(radial: float, angle: float) -> float:
    """Return the travel of a top slide that makes a radial depth: depth / cos(angle).

    Parameters
    ----------
    radial : float
        Depth, mm.
    angle : float
        Angle of the top slide from the cross slide's direction, radians (29.5 degrees is usual
        for a 60 degree thread).
    """
    return radial / math.cos(angle)


def infeed(
    blank: float,
    full_depth: float,
    *,
    first: float,
    least: float = 0.0,
    springs: int = 2,
    top_slide_angle: float | None = None,
) -> tuple[InfeedPass, ...]:
    """Return the passes from the blank's diameter to full depth.

    Parameters
    ----------
    blank : float
        Diameter before threading.
    full_depth : float
        Diameter at which the tip stands at full depth: less than `blank` outside, more inside.
    first : float
        Radial depth of the first pass at most, > 0.
    least : float
        No pass but a spring pass is thinner, radially, unless the whole depth asks for it.
    springs : int
        Passes without infeed at the end.
    top_slide_angle : float, optional
        Infeed along the flank by the top slide at this angle from the cross slide's direction,
        radians. None: straight in by the cross slide.

    Raises
    ------
    InputError
        There is no depth to cut, the first depth is not greater than zero, or the passes would
        be more than 200.
    """
    total = abs(blank - full_depth) / 2
    if total < _DUST:
        raise InputError("the thread has no depth: its blank stands at full depth already")
    if not first > 0:
        raise InputError("the first depth of a thread is greater than zero, such as 0.2 mm")
    way = -1.0 if full_depth < blank else 1.0
    depths = [*_depths(total, first, least), *[total] * springs]
    passes: list[InfeedPass] = []
    before = 0.0
    for number, depth in enumerate(depths, start=1):
        travel = None if top_slide_angle is None else top_slide_travel(depth, top_slide_angle)
        spring = number > len(depths) - springs
        at = full_depth if depth == total else blank + way * 2 * depth
        passes.append(InfeedPass(number, at, depth, depth - before, travel, spring))
        before = depth
    return tuple(passes)


def _depths(total: float, first: float, least: float) -> list[float]:
    """Return rising depths that end at `total`, each of equal area while that is deep enough."""
    if total <= max(first, least):
        return [total]
    count = 1
    while _reached(first, count, least) < total - _DUST:
        count += 1
        if count > _MOST_PASSES:
            raise InputError(
                f"the thread would take more than {_MOST_PASSES} passes: give a greater first depth"
            )
    if count * least >= total:
        return [*(total * i / count for i in range(1, count)), total]
    # The first depth that makes `count` passes end at full depth exactly.
    low, high = 0.0, first
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _reached(middle, count, least) < total:
            low = middle
        else:
            high = middle
    return [*_sequence(high, count, least)[:-1], total]


def _sequence(first: float, count: int, least: float) -> list[float]:
    depths = [max(first, least)]
    for i in range(1, count):
        step = first * (math.sqrt(i + 1) - math.sqrt(i))
        depths.append(depths[-1] + max(step, least))
    return depths


def _reached(first: float, count: int, least: float) -> float:
    return _sequence(first, count, least)[-1]
