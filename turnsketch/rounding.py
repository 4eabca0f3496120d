"""Rounding to the steps of a readout, and to figures that a hand finds easily.

Everything here is unit-blind: a value, its limits and the step stand in the same unit (the one
that is shown). Results are exact decimal multiples of the step, so that 25.8 never prints as
25.800000001. Rules after common practice: a roughing figure keeps metal, a finishing figure lies
inside the limits.
"""

from __future__ import annotations

import math
from decimal import Decimal
from functools import lru_cache
from typing import Final, Literal

from turnsketch.units import Units

__all__ = [
    "EASY_GRIDS",
    "SNAP",
    "RoundMode",
    "decimals_of",
    "easy_figure",
    "figure_text",
    "opposite",
    "rough_figure",
    "round_step",
    "round_x_finish",
    "round_x_keep_metal",
    "round_z_keep_metal",
    "steps_inside",
]

RoundMode = Literal["nearest", "up", "down"]

SNAP: Final = 2e-6
"""A value this close to a step is on it: twice the touch of exact values, on a diameter."""

EASY_GRIDS: Final[dict[Units, tuple[float, ...]]] = {"mm": (0.5, 0.1), "inch": (0.02, 0.005)}
"""Figures on a diameter that are easy to turn to, the easiest first (common practice)."""

_LIMIT_TOUCH: Final = 1e-9
_HALF: Final = 0.5 + 1e-6
"""Halves go up, and noise of a millionth of a step does not change that."""


@lru_cache(maxsize=64)
def _exact(step: float) -> Decimal:
    if not (math.isfinite(step) and step > 0):
        raise ValueError(f"a step must be finite and positive, not {step!r}")
    return Decimal(repr(float(step))).normalize()


def _multiple(count: int, step: float) -> float:
    """Return `count` steps as the float nearest to the exact decimal; never -0.0."""
    return float(count * _exact(step))


def decimals_of(step: float) -> int:
    """Return how many decimals a figure needs to show every multiple of `step`.

    Examples
    --------
    >>> decimals_of(0.005), decimals_of(0.5), decimals_of(5.0)
    (3, 1, 0)
    """
    exponent = _exact(step).as_tuple().exponent
    return max(0, -int(exponent))


def figure_text(value: float, step: float) -> str:
    """Return `value` with the decimals of `step`, without a sign in front of zero."""
    text = f"{value:.{decimals_of(step)}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def opposite(mode: RoundMode) -> RoundMode:
    """Return the mode that rounds to the other side; "nearest" stays."""
    flipped: dict[RoundMode, RoundMode] = {"up": "down", "down": "up", "nearest": "nearest"}
    return flipped[mode]


def round_step(value: float, step: float, mode: RoundMode = "nearest") -> float:
    """Return the multiple of `step` that is nearest to, not under, or not over `value`.

    Parameters
    ----------
    value : float
        A finite figure in the unit of `step`.
    step : float
        Step of the display, positive.
    mode : {"nearest", "up", "down"}
        "up" is toward plus infinity. A value within `SNAP` of a step (a hundredth of the step, if
        that is less) is taken to be on it.

    Raises
    ------
    ValueError
        When `step` is not positive, or a number is not finite.

    Examples
    --------
    >>> round_step(19.4558, 0.01, "up"), round_step(-5.2721, 0.005, "up")
    (19.46, -5.27)
    """
    size = float(_exact(step))
    if not math.isfinite(value):
        raise ValueError(f"cannot round {value!r}")
    quotient = value / size
    near = math.floor(quotient + _HALF)
    if mode == "nearest" or abs(value - near * size) <= min(SNAP, size / 100):
        return _multiple(near, step)
    return _multiple(math.ceil(quotient) if mode == "up" else math.floor(quotient), step)


def round_x_keep_metal(diameter: float, step: float, *, outside: bool = True) -> float:
    """Return the reading for a roughing `diameter` on the side that leaves metal.

    Outside work is rounded up, a bore down.
    """
    return round_step(diameter, step, "up" if outside else "down")


def round_z_keep_metal(z: float, step: float, *, metal_toward_chuck: bool = True) -> float:
    """Return the reading for `z` on the side that leaves metal.

    A face whose metal lies toward the chuck is rounded up (away from it), else down.
    """
    return round_step(z, step, "up" if metal_toward_chuck else "down")


def _counts_inside(lower: float, upper: float, step: float, margin: float) -> tuple[int, int]:
    """Return the first and last multiple at least `margin` inside the limits (first > last: none).

    A negative margin lets multiples on the limits count.
    """
    size = float(_exact(step))
    first, last = math.ceil((lower + margin) / size), math.floor((upper - margin) / size)
    return first, last


def steps_inside(lower: float, upper: float, step: float) -> int:
    """Return how many steps of the readout lie clear of both limits.

    Examples
    --------
    25 h6 on a readout that shows hundredths of the diameter:

    >>> steps_inside(24.987, 25.000, 0.01)
    1
    """
    first, last = _counts_inside(lower, upper, step, _LIMIT_TOUCH)
    return max(0, last - first + 1)


def round_x_finish(aim: float, lower: float, upper: float, step: float) -> float | None:
    """Return the step nearest to `aim` inside the limits; None when there is none.

    Steps clear of both limits come first; only when there is none does a step *on* a limit count,
    and a step outside never.

    Examples
    --------
    >>> round_x_finish(24.9935, 24.987, 25.0, 0.01)
    24.99
    >>> round_x_finish(24.9935, 24.992, 24.998, 0.01) is None
    True
    """
    for margin in (_LIMIT_TOUCH, -_LIMIT_TOUCH):
        first, last = _counts_inside(lower, upper, step, margin)
        if first <= last:
            near = math.floor(aim / float(_exact(step)) + _HALF)
            return _multiple(min(max(near, first), last), step)
    return None


def easy_figure(
    lower: float, upper: float, step: float, units: Units, near: float | None = None
) -> float | None:
    """Return the easiest figure in ``[lower, upper]``, or None when there is none.

    Parameters
    ----------
    lower, upper : float
        The interval, both ends allowed.
    step : float
        Step of the readout: the figure can be shown exactly.
    units : {"mm", "inch"}
        Whose easy grids count, see `EASY_GRIDS`.
    near : float, optional
        Among equally easy figures the one nearest to this is taken; default: the middle.
    """
    wanted = (lower + upper) / 2 if near is None else near
    for grid in EASY_GRIDS[units]:
        first, last = _counts_inside(lower, upper, grid, -SNAP)
        centre = min(max(math.floor(wanted / grid + _HALF), first), last)
        reach = range(max(first, centre - 10), min(last, centre + 10) + 1)
        for count in sorted(reach, key=lambda c: (abs(c * grid - wanted), c)):
            figure = _multiple(count, grid)
            if abs(round_step(figure, step) - figure) < _LIMIT_TOUCH:
                return figure
    return None


def rough_figure(
    diameter: float, slack: float, step: float, units: Units, *, outside: bool = True
) -> float:
    """Return a roughing reading: an easy figure where the slack allows, always keeping metal.

    Parameters
    ----------
    diameter : float
        Diameter below which (bore: above which) no metal may go.
    slack : float
        How far the figure may leave `diameter` on the metal's side (>= 0).
    """
    kept = round_x_keep_metal(diameter, step, outside=outside)
    far = diameter + slack if outside else diameter - slack
    easy = easy_figure(min(kept, far), max(kept, far), step, units, near=diameter)
    if easy is None:
        return kept
    return max(easy, kept) if outside else min(easy, kept)
