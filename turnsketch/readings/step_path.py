"""The path that steps are placed on: places along it, and distances from it.

The path is that of the reference point, from front to back, the part on its left (outside work).
It never turns back along Z, so that at every Z a tool can be fed straight in along X.
"""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Callable, Sequence

from turnsketch.errors import InputError
from turnsketch.geometry.constants import TOUCH
from turnsketch.geometry.elements import Arc, Element, Line, Point

__all__ = ["StepPath"]

_Measure = Callable[[Point], float | None]

_SMOOTH = 1e-6
"""Sine of the kink below which two elements run on smoothly."""


class StepPath:
    """A connected chain of lines and arcs, ready for questions. Not changed after it is made.

    Parameters
    ----------
    elements : sequence of Line or Arc
        Front to back, each beginning where the one before ends; empty ones are dropped.

    Raises
    ------
    InputError
        When nothing is left, the chain is broken, or it turns back along Z.
    """

    def __init__(self, elements: Sequence[Element]) -> None:
        self.elements = tuple(e for e in elements if e.length > TOUCH)
        if not self.elements:
            raise InputError("there is no surface to cut in steps")
        for before, after in itertools.pairwise(self.elements):
            if before.end.distance(after.start) > TOUCH:
                raise InputError("the surface to be cut in steps is not connected")
        if not all(_never_turns_back(e) for e in self.elements):
            raise InputError(
                "the surface overhangs, so it cannot be cut in steps fed along X; "
                "use a guided move or a form tool"
            )
        self._ends = list(itertools.accumulate(e.length for e in self.elements))
        self._ways = (0.0, *self._ends)
        first, last = self.elements[0], self.elements[-1]
        # Beyond its ends the path is taken to run on straight, for distances alone.
        far = 10 * (self._ends[-1] + 1)
        before = Line(first.start.minus(first.start_direction.times(far)), first.start)
        after = Line(last.end, last.end.plus(last.end_direction.times(far)))
        carriers: tuple[Element, ...] = (before, *self.elements, after)
        self._measures = [_measure(carrier) for carrier in carriers]
        self._joins = [
            (a.end, math.copysign(1.0, _cross(b.start_direction, a.end_direction)))
            for a, b in itertools.pairwise(carriers)
        ]

    @property
    def length(self) -> float:
        """Length along the path, millimetres."""
        return self._ends[-1]

    def runs(self) -> list[tuple[float, float, tuple[Element, ...]]]:
        """Return the smooth stretches: way at the start, way at the end, their elements."""
        runs: list[tuple[float, float, tuple[Element, ...]]] = []
        first = 0
        for i, element in enumerate(self.elements):
            after = self.elements[i + 1] if i + 1 < len(self.elements) else None
            kink = 1.0
            if after is not None:
                kink = abs(_cross(element.end_direction, after.start_direction))
            if kink > _SMOOTH:
                runs.append((self._ways[first], self._ways[i + 1], self.elements[first : i + 1]))
                first = i + 1
        return runs

    def at(self, way: float) -> Point:
        """Return the place at a way from the front end, 0 to `length`."""
        index, element = self._element(way)
        return element.at(
            min(1.0, max(0.0, (way - self._ways[index]) / (self._ends[index] - self._ways[index])))
        )

    def falls(self, way: float) -> bool:
        """Tell whether the path falls toward the chuck there: its metal lies toward +z."""
        index, element = self._element(way)
        if isinstance(element, Line):
            return element.end.r < element.start.r
        fraction = min(
            1.0, max(0.0, (way - self._ways[index]) / (self._ends[index] - self._ways[index]))
        )
        place, turn = element.at(fraction), 1.0 if element.turn == "ccw" else -1.0
        return turn * (place.z - element.centre.z) < 0

    def _element(self, way: float) -> tuple[int, Element]:
        index = min(bisect.bisect_left(self._ends, way), len(self.elements) - 1)
        return index, self.elements[index]

    def depth(self, point: Point) -> float:
        """Return the distance from the path: positive on the part's side, else negative."""
        best, signed = math.inf, 0.0
        for measure in self._measures:
            value = measure(point)
            if value is not None and abs(value) < best:
                best, signed = abs(value), value
        for corner, side in self._joins:
            distance = corner.distance(point)
            if distance < best:
                best, signed = distance, side * distance
        return signed

    def radius_at(self, z: float) -> float | None:
        """Return the greatest r of the path at `z`; None beyond its ends."""
        found = [r for e in self.elements for r in _radii(e, z)]
        return max(found, default=None)


def _cross(a: Point, b: Point) -> float:
    return a.z * b.r - a.r * b.z


def _never_turns_back(element: Element) -> bool:
    if isinstance(element, Line):
        return element.end.z <= element.start.z + TOUCH
    straight = element.start_direction.z <= _SMOOTH and element.end_direction.z <= _SMOOTH
    return straight and abs(element.sweep) <= math.pi + _SMOOTH


def _measure(element: Element) -> _Measure:
    """Return the question "how far beside the element (left positive)?", made ready once.

    It answers None where the foot of the point does not lie on the element.
    """
    if isinstance(element, Line):
        start, direction, length = element.start, element.start_direction, element.length

        def beside_line(point: Point) -> float | None:
            z, r = point.z - start.z, point.r - start.r
            along = z * direction.z + r * direction.r
            return direction.z * r - direction.r * z if 0 <= along <= length else None

        return beside_line

    sign = 1.0 if element.turn == "ccw" else -1.0
    centre, radius = element.centre, element.radius
    first, sweep = element.start_angle, abs(element.sweep)

    def beside_arc(point: Point) -> float | None:
        z, r = point.z - centre.z, point.r - centre.r
        if (sign * (math.atan2(r, z) - first)) % (2 * math.pi) > sweep:
            return None
        return sign * (radius - math.hypot(z, r))

    return beside_arc


def _radii(element: Element, z: float) -> list[float]:
    low, high = element.end.z, element.start.z
    if not low - TOUCH <= z <= high + TOUCH:
        return []
    if isinstance(element, Line):
        if high - low <= TOUCH:
            return [element.start.r, element.end.r]
        return [element.at(min(1.0, max(0.0, (high - z) / (high - low)))).r]
    if z >= high or z <= low:
        return [(element.start if z >= high else element.end).r]
    return [_arc_radius(element, z)]


def _arc_radius(arc: Arc, z: float) -> float:
    """Return r of an arc that never turns back, at a z between its ends."""
    arm = z - arc.centre.z
    across = math.sqrt(max(0.0, arc.radius**2 - arm * arm))
    # Toward the chuck (falling z) a "ccw" arc is the upper half of its circle, a "cw" the lower.
    return arc.centre.r + (across if arc.turn == "ccw" else -across)
