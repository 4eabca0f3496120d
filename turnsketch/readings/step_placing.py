"""Where the steps of a step table stand: as few as the cusp allows, and evenly."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element
from turnsketch.readings.step_cusps import (
    StepTool,
    cusp_between,
    nose_steps_on_arc,
    straight_step,
    whole_steps,
)
from turnsketch.readings.step_path import StepPath

__all__ = ["EVEN", "step_ways"]

_MOST_STEPS: Final = 2000
_ZERO: Final = 1e-12
EVEN: Final = 1e-3
"""Cusps are alike within this share of the limit."""


def step_ways(path: StepPath, tool: StepTool, limit_mm: float) -> tuple[float, ...]:
    """Return the ways along the path at which the steps stand, both ends included.

    Every kink gets a step. Between kinks the steps are as few as the limit allows, and then moved
    so that all their cusps are alike.
    """
    ways = [0.0]
    for start, end, elements in path.runs():
        if tool.nose_mm > 0 and not tool.flat and len(elements) == 1:
            count = _equal_steps(elements[0], tool.nose_mm, limit_mm)
            _check_count(len(ways) + count)
            ways += [start + (end - start) * i / count for i in range(1, count + 1)]
        else:
            ways += _spread(path, tool, start, end, limit_mm)
            _check_count(len(ways))
    return tuple(ways)


def _check_count(count: int) -> None:
    if count > _MOST_STEPS:
        raise InputError(
            f"the cusp is so small that it needs over {_MOST_STEPS} steps; allow a larger one"
        )


def _equal_steps(element: Element, nose_mm: float, limit_mm: float) -> int:
    """Return the fewest equal steps of a round nose on one line or arc of its path."""
    if isinstance(element, Arc):
        convex = element.turn == "ccw"
        radius = element.radius - nose_mm if convex else element.radius + nose_mm
        return nose_steps_on_arc(radius, nose_mm, abs(element.sweep), limit_mm, convex=convex)
    return whole_steps(element.length / straight_step(nose_mm, limit_mm))


def _spread(
    path: StepPath, tool: StepTool, start: float, end: float, limit_mm: float
) -> list[float]:
    """Return the steps after `start` on a smooth run: fewest for the limit, cusps made alike."""
    ways = _march(path, tool, start, end, limit_mm)
    count = len(ways)
    if count < 2:
        return ways

    def last_over(limit: float) -> float:
        """Return by how much the last of `count` steps is over the cusp of the others."""
        marched = _march(path, tool, start, end, limit, count - 1)
        before = marched[-1]
        if before >= end:
            return -limit
        return cusp_between(path, tool, path.at(before), path.at(end)) - limit

    low = limit_mm * ((count - 1) / count) ** 2 / 2
    if last_over(low) <= 0:
        return ways
    even = _root(last_over, low, limit_mm, limit_mm * EVEN / 4)
    marched = _march(path, tool, start, end, even, count - 1)
    return [*marched, end] if marched[-1] < end else marched


def _march(
    path: StepPath, tool: StepTool, start: float, end: float, limit_mm: float, most: int = 0
) -> list[float]:
    """Return steps after `start`, each as far on as the limit allows; at most `most`, 0: all."""
    ways: list[float] = []
    way, guess = start, 2 * math.sqrt(limit_mm * max(tool.nose_mm, limit_mm))
    while way < end and not (most and len(ways) >= most):
        before, way = way, _farthest(path, tool, way, end, limit_mm, guess)
        guess = way - before
        ways.append(way)
        _check_count(len(ways))
    return ways


def _farthest(
    path: StepPath, tool: StepTool, way: float, end: float, limit_mm: float, guess: float
) -> float:
    """Return the farthest way whose cusp after `way` is within the limit; `guess` is a step."""
    front = path.at(way)
    power = 0.5 if tool.nose_mm > 0 and not tool.flat else 1.0
    bound = limit_mm**power

    def over(other: float) -> float:
        # A nose's cusp grows with the square of the step: its root makes the search straight.
        return float(max(0.0, cusp_between(path, tool, front, path.at(other))) ** power - bound)

    low, high = way, min(end, way + 1.2 * guess)
    while over(high) <= 0:
        if high >= end:
            return end
        low, high = high, min(end, high + (high - way))
    return _root(over, low, high, bound * EVEN / 10)


def _root(function: Callable[[float], float], low: float, high: float, close: float) -> float:
    """Return where `function` changes sign between `low` and `high`, on the side that is <= 0.

    Illinois variant of the false position (Dowell and Jarratt, BIT 11, 1971), with halving where
    it stalls.
    """
    at_low, at_high = function(low), function(high)
    side = 0
    for count in range(100):
        if abs(high - low) <= _ZERO or at_low == 0.0:
            break
        place = (low * at_high - high * at_low) / (at_high - at_low)
        if count % 8 == 7:
            place = (low + high) / 2
        value = function(place)
        if -close <= value <= _ZERO:
            return place
        if (value <= 0) == (at_low <= 0):
            low, at_low = place, value
            at_high, side = (at_high / 2, 1) if side == 1 else (at_high, 1)
        else:
            high, at_high = place, value
            at_low, side = (at_low / 2, -1) if side == -1 else (at_low, -1)
    return low if at_low <= 0 else high
