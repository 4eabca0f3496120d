"""Time of moves and passes, in minutes.

At constant revolutions a cut takes ``t = L / (f n)``. At a constant surface speed v the
revolutions follow the radius, ``n = min(n_max, 1000 v / (2 pi r))``, and the integral along the
path has a closed form: facing from r1 to r2 takes ``pi (r1^2 - r2^2) / (1000 v f)``, and below the
limit radius ``rc = 1000 v / (2 pi n_max)`` it goes on at n_max.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.plan_records import Move

__all__ = [
    "HANDLING_MIN",
    "HAND_FEED_MM_MIN",
    "POSITIONING_MM_MIN",
    "PassTime",
    "cut_minutes",
    "move_element",
    "move_minutes",
    "pass_minutes",
]

POSITIONING_MM_MIN: Final = 1500.0
"""Way in air a minute by handwheel: some 75 turns of 20 mm, or 300 of 5 mm with both hands;
an unhurried figure (common practice)."""

HAND_FEED_MM_MIN: Final = 60.0
"""Way in metal a minute by handwheel: 1 mm a second, what a steady hand keeps (common practice)."""

HANDLING_MIN: Final = 0.25
"""A quarter of a minute a pass for reading the row, setting the wheel to the figure and ticking
the box (common practice)."""


@dataclass(frozen=True, slots=True)
class PassTime:
    """Minutes of one pass, by what is done in them."""

    cutting: float
    positioning: float
    handling: float

    @property
    def moving(self) -> float:
        """Cutting and positioning."""
        return self.cutting + self.positioning

    @property
    def total(self) -> float:
        """All three."""
        return self.cutting + self.positioning + self.handling


def move_element(start: Point, move: Move) -> Element:
    """Return the line or arc along which `move` goes from `start`."""
    if move.centre is not None and move.turn is not None:
        return Arc(start, move.to, move.centre, move.turn)
    return Line(start, move.to)


def cut_minutes(
    element: Element,
    rpm: float,
    feed_mm_per_rev: float | None,
    *,
    surface_m_min: float | None = None,
    hand_feed_mm_min: float = HAND_FEED_MM_MIN,
) -> float:
    """Return the minutes that a cut along `element` takes.

    Parameters
    ----------
    element : Line or Arc
        Way of the reference point.
    rpm : float
        Revolutions a minute; with a constant surface speed the limit.
    feed_mm_per_rev : float or None
        None: fed by hand at `hand_feed_mm_min`.
    surface_m_min : float, optional
        Constant surface speed, metres a minute.
    """
    if feed_mm_per_rev is None:
        return element.length / hand_feed_mm_min
    if surface_m_min is None:
        return element.length / (feed_mm_per_rev * rpm)
    return _revolutions_time(element, rpm, surface_m_min) / feed_mm_per_rev


def move_minutes(
    start: Point,
    move: Move,
    rpm: float,
    feed_mm_per_rev: float | None,
    *,
    surface_m_min: float | None = None,
    hand_feed_mm_min: float = HAND_FEED_MM_MIN,
    positioning_mm_min: float = POSITIONING_MM_MIN,
) -> float:
    """Return the minutes of one move: positioning, cut (see `cut_minutes`) or thread.

    A thread move advances one pitch a revolution.
    """
    element = move_element(start, move)
    if move.kind == "position":
        return element.length / positioning_mm_min
    if move.kind == "thread" and move.pitch:
        return element.length / (move.pitch * rpm)
    return cut_minutes(
        element,
        rpm,
        feed_mm_per_rev,
        surface_m_min=surface_m_min,
        hand_feed_mm_min=hand_feed_mm_min,
    )


def pass_minutes(
    start: Point,
    moves: Iterable[Move],
    rpm: float,
    feed_mm_per_rev: float | None,
    *,
    surface_m_min: float | None = None,
    hand_feed_mm_min: float = HAND_FEED_MM_MIN,
    positioning_mm_min: float = POSITIONING_MM_MIN,
    handling_min: float = HANDLING_MIN,
) -> PassTime:
    """Return the time of a pass whose reference point begins at `start`."""
    cutting = positioning = 0.0
    place = start
    for move in moves:
        minutes = move_minutes(
            place,
            move,
            rpm,
            feed_mm_per_rev,
            surface_m_min=surface_m_min,
            hand_feed_mm_min=hand_feed_mm_min,
            positioning_mm_min=positioning_mm_min,
        )
        if move.kind == "position":
            positioning += minutes
        else:
            cutting += minutes
        place = move.to
    return PassTime(cutting, positioning, handling_min)


def _revolutions_time(element: Element, limit: float, surface: float) -> float:
    """Return the integral of ds / n along the element, n under a constant surface speed."""
    per_radius = 2 * math.pi / (1000 * surface)
    limit_radius = 1 / (limit * per_radius)
    if isinstance(element, Line):
        return _line_time(element, limit, per_radius, limit_radius)
    return _arc_time(element, limit, per_radius, limit_radius)


def _line_time(line: Line, limit: float, per_radius: float, limit_radius: float) -> float:
    first, last = line.start.r, line.end.r

    def until(radius: float) -> float:
        """Return the integral of dr / n from the axis out to `radius` (odd in it)."""
        size = abs(radius)
        inner = min(size, limit_radius)
        outer = (size * size - inner * inner) * per_radius / 2
        return math.copysign(inner / limit + outer, radius)

    # Along a line that hardly changes its radius the quotient below would lose its digits.
    if abs(last - first) <= 1e-7 * line.length:
        middle = abs(first + last) / 2
        return line.length * max(1 / limit, middle * per_radius)
    return line.length * (until(last) - until(first)) / (last - first)


def _arc_time(arc: Arc, limit: float, per_radius: float, limit_radius: float) -> float:
    """Integrate piece by piece between the angles at which the arc passes the limit radius."""
    radius, start, sweep = arc.radius, arc.start_angle, arc.sweep
    if sweep == 0.0 or radius == 0.0:
        return 0.0
    fractions = {0.0, 1.0}
    for level in (limit_radius, -limit_radius):
        sine = (level - arc.centre.r) / radius
        if abs(sine) < 1:
            for angle in (math.asin(sine), math.pi - math.asin(sine)):
                turns = (math.copysign(1.0, sweep) * (angle - start)) % (2 * math.pi)
                fractions.add(min(turns / abs(sweep), 1.0))
    total = 0.0
    marks = sorted(fractions)
    for low, high in itertools.pairwise(marks):
        a, b = start + low * sweep, start + high * sweep
        middle = arc.centre.r + radius * math.sin((a + b) / 2)
        if abs(middle) <= limit_radius:
            total += radius * abs(b - a) / limit
            continue
        moment = arc.centre.r * (b - a) - radius * (math.cos(b) - math.cos(a))
        total += radius * per_radius * abs(moment)
    return total
