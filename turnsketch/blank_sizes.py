"""Sizes of a blank, read from its text: what turns, what it holds, its half section. No planning.

A hexagon or square bar sweeps the circle across its corners as it turns; that circle is what the
planner works on. Its flats stand at the size by which the trade names it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Blank
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = ["FLATS", "BlankSizes", "BlankStepSizes", "blank_sizes", "blank_words", "size_mm"]

FLATS: Final = {"hexagon": 6, "square": 4}
"""How many flats a bar has that is named by its size across them."""

_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class BlankStepSizes:
    """One step of a cast or pre-machined blank, millimetres."""

    radius: float
    length: float
    bore: float = 0.0
    """Radius of its hole; 0: solid."""


@dataclass(frozen=True, slots=True)
class BlankSizes:
    """A blank in millimetres."""

    radius: float
    """Of the circle that it sweeps: half its diameter, or half the size across corners."""
    length: float
    front: float
    """How far the raw face stands in front of the finished one."""
    steps: tuple[BlankStepSizes, ...]
    """From the front back; a plain bar has one."""
    flats: int = 0
    """How many flats it has; 0: it is round."""

    @property
    def flat_radius(self) -> float | None:
        """Distance of the flats from the axis; None when it has none."""
        return self.radius * math.cos(math.pi / self.flats) if self.flats else None

    @property
    def plain(self) -> bool:
        """Whether its half section is one rectangle down to the axis."""
        return len(self.steps) == 1 and self.steps[0].bore == 0.0

    @property
    def ring(self) -> tuple[Point, ...]:
        """Half section, part frame, counterclockwise; flats told by the circle across corners."""
        ends = [self.front]
        for step in self.steps:
            ends.append(ends[-1] - step.length)
        spans = list(zip(self.steps, pairwise(ends), strict=True))
        outside = [Point(z, s.radius) for s, span in spans for z in span]
        inside = [Point(z, s.bore) for s, span in reversed(spans) for z in reversed(span)]
        points = [*outside, *inside]
        kept = [p for p, q in zip(points, [*points[1:], points[0]], strict=True) if p != q]
        return (kept[-1], *kept[:-1])

    @property
    def volume_mm3(self) -> float:
        """True volume: that of a hexagon or square where the bar is one."""
        area = math.pi
        if self.flats:
            area = self.flats * math.sin(math.pi / self.flats) * math.cos(math.pi / self.flats)
        return sum((area * s.radius**2 - math.pi * s.bore**2) * s.length for s in self.steps)


def size_mm(text: str, units: Units, kind: str, where: str) -> float:
    """Return the millimetres of a "length" or "diameter"; InputError names `where`."""
    try:
        return parse(text, units, {"diameter"} if kind == "diameter" else {"length"}).nominal
    except InputError as error:
        raise error.within(where) from None


def blank_sizes(blank: Blank, units: Units) -> BlankSizes:
    """Return the sizes of a blank.

    Raises
    ------
    InputError
        A text that cannot be read, or fields that do not go together; with the place.
    """
    named = size_mm(blank.diameter, units, "diameter", "blank.diameter")
    length = size_mm(blank.length, units, "length", "blank.length")
    front = size_mm(blank.front, units, "length", "blank.front")
    _check_together(blank)
    flats = FLATS.get(blank.shape, 0)
    radius = named / 2 / math.cos(math.pi / flats) if flats else named / 2
    if blank.shape == "steps":
        return BlankSizes(radius, length, front, _steps(blank, units, named, length))
    bore = 0.0
    if blank.bore is not None:
        bore = size_mm(blank.bore, units, "diameter", "blank.bore") / 2
        if bore >= radius - _SAME_MM:
            raise InputError(
                f"the hole Ø{blank.bore} is as wide as the tube Ø{blank.diameter}: "
                "give the tube's inner diameter",
                "blank.bore",
            )
    return BlankSizes(radius, length, front, (BlankStepSizes(radius, length, bore),), flats)


def _check_together(blank: Blank) -> None:
    if blank.shape == "tube" and blank.bore is None:
        raise InputError("a tube needs its inner diameter: give the bore", "blank.bore")
    if blank.shape != "tube" and blank.bore is not None:
        raise InputError(
            f'a blank of shape "{blank.shape}" has no bore of its own: make the shape "tube", '
            "or leave the bore out",
            "blank.bore",
        )
    if blank.shape == "steps" and not blank.steps:
        raise InputError("give the steps, from the front back", "blank.steps")
    if blank.shape != "steps" and blank.steps:
        raise InputError(
            f'a blank of shape "{blank.shape}" has no steps: make the shape "steps", '
            "or leave them out",
            "blank.steps",
        )


def _steps(blank: Blank, units: Units, named: float, length: float) -> tuple[BlankStepSizes, ...]:
    steps: list[BlankStepSizes] = []
    for index, step in enumerate(blank.steps):
        where = f"blank.steps[{index}]"
        radius = size_mm(step.diameter, units, "diameter", f"{where}.diameter") / 2
        long = size_mm(step.length, units, "length", f"{where}.length")
        bore = 0.0
        if step.bore is not None:
            bore = size_mm(step.bore, units, "diameter", f"{where}.bore") / 2
        if bore >= radius - _SAME_MM:
            raise InputError(
                f"the hole Ø{step.bore} is as wide as the step Ø{step.diameter}: "
                "give a smaller one, or leave it out",
                f"{where}.bore",
            )
        steps.append(BlankStepSizes(radius, long, bore))
    _check_steps(blank, steps, named, length)
    return tuple(steps)


def _check_steps(blank: Blank, steps: list[BlankStepSizes], named: float, length: float) -> None:
    widest, total = max(2 * s.radius for s in steps), sum(s.length for s in steps)
    if abs(widest - named) > 1e-3:
        raise InputError(
            f"the thickest step is Ø{widest:g} mm, the blank's diameter says {blank.diameter}: "
            "make them agree",
            "blank.diameter",
        )
    if abs(total - length) > 1e-3:
        raise InputError(
            f"the steps are {total:g} mm long together, the blank's length says {blank.length}: "
            "make them agree",
            "blank.length",
        )
    for index, (one, other) in enumerate(pairwise(steps), 1):
        if one.bore >= other.radius - _SAME_MM or other.bore >= one.radius - _SAME_MM:
            raise InputError(
                "it hangs on nothing: its hole is as wide as the step beside it",
                f"blank.steps[{index}]",
            )


def blank_words(blank: Blank, unit: str = "") -> str:
    """Return a blank as the trade names it: "hexagon 27 across flats × 60, bright".

    Parameters
    ----------
    unit : str
        Name of the unit behind the length; empty: none.
    """
    long = f"{blank.length} {unit}".strip()
    what = {
        "hexagon": f"hexagon {blank.diameter} across flats",
        "square": f"square {blank.diameter} across flats",
        "tube": f"tube Ø{blank.diameter}/Ø{blank.bore}",
        "steps": f"in {len(blank.steps)} steps to Ø{blank.diameter}",
    }.get(blank.shape, f"Ø{blank.diameter}")
    return f"{what} × {long}"
