"""Drills that are made, the point, pecks and what is left for a reamer. Millimetres, radians.

Number and letter drills stand in ``resources/tables/drill_numbers_letters.csv``, drills for
tapping in ``tap_drills_iso2306.csv``, with their sources. Metric steps (ISO 235) from memory:
0.5 to 3 by 0.05, to 14 by 0.1, to 32 by 0.25, to 50 by 0.5. Inch fractions: 1/64 to 1 by 1/64, to
1 1/2 by 1/32, to 2 by 1/16.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part.outline_records import Size
from turnsketch.part.tables import table
from turnsketch.part.thread_record import Thread
from turnsketch.units import INCH_MM, Units

__all__ = [
    "DRILLED_MM",
    "REAM_SPEED_SHARE",
    "Drill",
    "DrillKind",
    "drill_at_least",
    "drill_at_most",
    "drill_sizes",
    "drill_to_size",
    "drill_within",
    "drills_between",
    "drills_of",
    "pecks",
    "point_length",
    "ream_allowance",
    "ream_drill",
    "tap_drill",
]

DrillKind = Literal["mm", "fraction", "number", "letter"]

_METRIC_STEPS: Final = ((0.5, 3.0, 0.05), (3.0, 14.0, 0.1), (14.0, 32.0, 0.25), (32.0, 50.0, 0.5))
_FRACTIONS: Final = ((64, 1, 64), (32, 33, 48), (16, 25, 32))
"""Denominator, first and last numerator."""
_ALIKE_MM: Final = 1e-6
_BEYOND_MM: Final = 0.02

_FIRST_PECK: Final = 3.0
_NEXT_PECK: Final = 1.0
_DEEP: Final = 6.0
_DEEP_PECK: Final = 0.5

DRILLED_MM: Final = 0.1
"""A hole with no more between its limits is no drill's (common practice)."""

_OVER_NOMINAL: Final = 0.05
"""A reamer is so much over the nominal size of its hole at most (25 H7: 0.021)."""

_REAM: Final = ((5.0, 0.1, 0.2), (20.0, 0.2, 0.3), (50.0, 0.3, 0.5), (math.inf, 0.4, 0.6))
"""Up to this nominal diameter: least and most left on the diameter, mm."""

REAM_SPEED_SHARE: Final = (1 / 3, 1 / 2)
"""A reamer runs at a third to a half of the drilling speed (common practice)."""

_ENGAGEMENT: Final = 0.75
"""Share of the full thread depth that a tapped inch hole has (common practice)."""


@dataclass(frozen=True, slots=True, order=True)
class Drill:
    """A drill that is made."""

    diameter: float
    name: str
    """"6.8 mm", "27/64", "#7" or "F"."""
    kind: DrillKind


def _metric() -> Iterable[Drill]:
    for first, last, step in _METRIC_STEPS:
        for i in range(round((last - first) / step)):
            diameter = round(first + i * step, 2)
            yield Drill(diameter, f"{diameter:g} mm", "mm")
    yield Drill(_METRIC_STEPS[-1][1], f"{_METRIC_STEPS[-1][1]:g} mm", "mm")


def _fractions() -> Iterable[Drill]:
    for below, first, last in _FRACTIONS:
        for above in range(first, last + 1):
            size = Fraction(above, below)
            whole, part = divmod(size, 1)
            name = " ".join(str(piece) for piece in (whole, part) if piece)
            yield Drill(float(size) * INCH_MM, f"{name} in" if not part else name, "fraction")


def _table(kind: Literal["number", "letter"]) -> Iterable[Drill]:
    for row in table("drill_numbers_letters"):
        if row["kind"] == kind:
            name = f"#{row['name']}" if kind == "number" else row["name"]
            yield Drill(float(row["diameter_in"]) * INCH_MM, name, kind)


@cache
def _of_kind(kind: DrillKind) -> tuple[Drill, ...]:
    if kind == "mm":
        return tuple(_metric())
    return tuple(_fractions()) if kind == "fraction" else tuple(_table(kind))


def drill_sizes(*kinds: DrillKind) -> tuple[Drill, ...]:
    """Return the drills of these kinds, by diameter; without a kind, those in millimetres."""
    return tuple(sorted(drill for kind in kinds or ("mm",) for drill in _of_kind(kind)))


def drills_of(units: Units) -> tuple[Drill, ...]:
    """Return the drills that are made in a job's units: in inches fractions, numbers, letters."""
    return drill_sizes("mm") if units == "mm" else drill_sizes("fraction", "number", "letter")


def drills_between(lower: float, upper: float, stock: Sequence[Drill]) -> tuple[Drill, ...]:
    """Return the drills of `stock` from `lower` to `upper`, millimetres, by diameter."""
    return tuple(sorted(d for d in stock if lower - _ALIKE_MM <= d.diameter <= upper + _ALIKE_MM))


def drill_within(lower: float, upper: float, wanted: float, stock: Sequence[Drill]) -> Drill | None:
    """Return the drill of `stock` from `lower` to `upper` that is nearest to `wanted`, or None."""
    fitting = drills_between(lower, upper, stock)
    return min(fitting, key=lambda d: (abs(d.diameter - wanted), d), default=None)


def drill_to_size(size: Size, stock: Sequence[Drill]) -> Drill | None:
    """Return the drill of `stock` that makes a hole within its limits, or None."""
    if size.upper - size.lower <= DRILLED_MM:
        return None
    return drill_within(size.lower, size.upper, size.nominal, stock)


def drill_at_least(diameter: float, stock: Sequence[Drill]) -> Drill | None:
    """Return the smallest drill of `stock` that is not below `diameter`, or None."""
    fitting = [drill for drill in stock if drill.diameter >= diameter - _ALIKE_MM]
    return min(fitting, default=None)


def drill_at_most(diameter: float, stock: Sequence[Drill]) -> Drill | None:
    """Return the largest drill of `stock` that is not above `diameter`, or None."""
    fitting = [drill for drill in stock if drill.diameter <= diameter + _ALIKE_MM]
    return max(fitting, default=None)


def point_length(diameter: float, point_angle: float) -> float:
    """Return the height of a drill's point: d / (2 tan(angle / 2)).

    Parameters
    ----------
    diameter : float
        Of the drill.
    point_angle : float
        Included angle of the point, radians (118 degrees: 0.300430 d).

    Raises
    ------
    InputError
        The angle is not between 0 and 180 degrees.
    """
    if not 0 < point_angle <= math.pi:
        raise InputError("the point of a drill has an included angle over 0 up to 180°, as in 118°")
    return 0.0 if point_angle == math.pi else diameter / (2 * math.tan(point_angle / 2))


def pecks(depth: float, diameter: float) -> tuple[float, ...]:
    """Return the depths at which the drill is drawn out to clear its chips, the last the full one.

    Common practice: 3 diameters at first, then one diameter at a time, below 6 diameters half a
    diameter. The last two pecks share what is left.

    Parameters
    ----------
    depth : float
        To the drill's point or to its full diameter, as the caller reckons, mm.
    diameter : float
        Of the drill, mm.
    """
    if not (depth > 0 and diameter > 0):
        raise InputError("a hole's depth and diameter are greater than zero")
    stops: list[float] = []
    at = _FIRST_PECK * diameter
    while at < depth - _ALIKE_MM:
        stops.append(at)
        at += (_NEXT_PECK if at < _DEEP * diameter - _ALIKE_MM else _DEEP_PECK) * diameter
    if len(stops) > 1 and depth - stops[-1] < (stops[-1] - stops[-2]) / 2:
        stops[-1] = (stops[-2] + depth) / 2
    return (*stops, depth)


def ream_allowance(diameter: float) -> tuple[float, float]:
    """Return the least and the most to leave on the diameter for a reamer, mm.

    Common practice for steel with a machine or hand reamer of high-speed steel: to 5 mm 0.1 to
    0.2, to 20 mm 0.2 to 0.3, to 50 mm 0.3 to 0.5, above 0.4 to 0.6. The diameter may be that of
    the reamer, a little over the nominal one.
    """
    nominal = diameter - _OVER_NOMINAL
    least, most = next((low, high) for upto, low, high in _REAM if nominal <= upto)
    return least, most


def ream_drill(diameter: float, stock: Sequence[Drill]) -> Drill | None:
    """Return the largest drill of `stock` that leaves the allowance for a reamer, or None."""
    least, most = ream_allowance(diameter)
    drill = drill_at_most(diameter - least, stock)
    if drill is None or diameter - drill.diameter > most + _ALIKE_MM:
        return None
    return drill


def tap_drill(thread: Thread, stock: Sequence[Drill]) -> Drill | None:
    """Return the drill of `stock` for tapping an inside thread, or None.

    It lies within the limits of the thread's bore, or, when none does, 0.02 mm beyond them (inch
    limits are rounded to 0.001 in). Of those: the size of ISO 2306 where it is there; otherwise
    the nearest to d - P (metric) or to three quarters of full thread (inch).

    Raises
    ------
    InputError
        The thread is an outside one.
    """
    if not thread.inside:
        raise InputError(f"{thread.text} is an outside thread: a tap cuts inside ones")
    fitting = _within(thread.minor, stock, _ALIKE_MM) or _within(thread.minor, stock, _BEYOND_MM)
    wanted = _wanted_tap_drill(thread)
    return min(fitting, key=lambda drill: (abs(drill.diameter - wanted), drill), default=None)


def _within(bore: Size, stock: Sequence[Drill], beyond: float) -> list[Drill]:
    return [
        drill for drill in stock if bore.lower - beyond <= drill.diameter <= bore.upper + beyond
    ]


def _wanted_tap_drill(thread: Thread) -> float:
    for row in table("tap_drills_iso2306"):
        same = abs(float(row["diameter"]) - thread.diameter) < _ALIKE_MM
        if same and abs(float(row["pitch"]) - thread.pitch) < _ALIKE_MM:
            return float(row["drill"])
    if thread.tpi is None:
        return thread.diameter - thread.pitch
    # Depth of the sharp triangle less 1/8 at each end: 0.649519 P a side.
    return thread.diameter - _ENGAGEMENT * 2 * 0.75 * math.sqrt(0.75) * thread.pitch
