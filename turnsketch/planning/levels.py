"""Roughing levels: on every shoulder's diameter plus allowance, spread evenly between.

Between two shoulders the steps are equal, none deeper than the setting and none a thin leftover;
then each is moved to an easy figure where that adds no pass (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

__all__ = ["even_steps", "levels"]

Easy = Callable[[float, float], float]
"""Returns the easiest figure in a closed interval of radii."""


def even_steps(top: float, floor: float, depth: float) -> list[float]:
    """Return equal steps from `top` (excluded) down to `floor` (included).

    Parameters
    ----------
    top, floor : float
        Radii (or Z values), `top` >= `floor`.
    depth : float
        Greatest step, > 0.
    """
    gap = top - floor
    if gap <= 1e-9:
        return []
    count = max(1, math.ceil(gap / depth - 1e-9))
    return [top - gap * i / count for i in range(1, count)] + [floor]


def levels(
    top: float,
    shoulders: Sequence[float],
    depth: float,
    easy: Easy,
    finer: Sequence[tuple[float, float, float]] = (),
) -> list[float]:
    """Return the roughing radii from outside inward.

    Parameters
    ----------
    top : float
        Radius of the blank.
    shoulders : sequence of float
        Radii, allowance included, on which a level must stand; those above `top` do not count.
    depth : float
        Greatest radial depth of a cut.
    easy : callable
        Picks the easiest figure in an interval of radii.
    finer : sequence of (float, float, float)
        Lower and upper radius between which cuts are to be no deeper than the third figure.
    """
    result: list[float] = []
    here = top
    for floor in sorted({s for s in shoulders if s < top - 1e-6}, reverse=True):
        if here - floor < 0.02:
            # Two shoulders almost alike: a level for each would be a pass that takes nothing.
            continue
        between = [most for low, high, most in finer if floor < high and here > low]
        step = min([depth, *between])
        steps = even_steps(here, floor, step)
        for index, ideal in enumerate(steps[:-1]):
            left = len(steps) - 1 - index
            low = max(here - step, ideal - 0.2 * step)
            high = min(floor + left * step, ideal + 0.2 * step)
            here = easy(low, high) if high - low > 1e-9 else low
            result.append(here)
        result.append(floor)
        here = floor
    return result
