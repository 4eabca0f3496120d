"""Spindle speed: from the surface speed to a speed that this lathe has and everybody allows.

``n = 1000 v / (pi d)`` with v in metres a minute and d in millimetres, d being the diameter
*before* the cut. Gear steps after common practice: the highest step not over 1.10 times the
wanted speed and not over any hard limit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from turnsketch.errors import InputError
from turnsketch.shop.records import Lathe

__all__ = [
    "GAIN_WORTH_A_CHANGE",
    "STEP_OVER",
    "Speed",
    "chosen_speed",
    "constant_surface_speed",
    "greatest_rpm",
    "spindle_speed",
    "surface_speed_m_min",
    "wanted_rpm",
    "worth_changing",
]

STEP_OVER: Final = 1.10
"""A gear step may be this many times the wanted speed (common practice)."""

GAIN_WORTH_A_CHANGE: Final = 1.25
"""Levers are shifted within an operation only for a gain of over a quarter (common practice)."""

HardLimit = tuple[float, str]
"""Greatest revolutions a minute, and who says so."""


@dataclass(frozen=True, slots=True)
class Speed:
    """A spindle speed and why it is not higher."""

    rpm: float
    """Revolutions a minute; with constant surface speed the limit that is never passed."""
    limited_by: str
    """What binds: "surface speed", "lathe", "lathe's slowest speed", "job", or a limit's name."""
    surface_m_min_at_diameter: float
    """Surface speed that results at the diameter before the cut, metres a minute."""
    wanted_rpm: float
    """What the surface speed alone asks for; infinite on the axis."""
    constant_m_min: float | None = None
    """Surface speed that the lathe keeps constant; None: constant revolutions."""


def wanted_rpm(surface_m_min: float, diameter_mm: float) -> float:
    """Return ``1000 v / (pi d)``; infinite for a diameter of zero."""
    if diameter_mm <= 0:
        return math.inf
    return 1000 * surface_m_min / (math.pi * diameter_mm)


def surface_speed_m_min(rpm: float, diameter_mm: float) -> float:
    """Return the surface speed ``pi d n / 1000`` in metres a minute."""
    return math.pi * diameter_mm * rpm / 1000


def greatest_rpm(lathe: Lathe, hard_limits: Sequence[HardLimit]) -> HardLimit:
    """Return the least of the lathe's top speed and the hard limits, with its name.

    Raises
    ------
    InputError
        When the lathe has neither speed steps nor a range.
    """
    top = (max(_speeds(lathe)), "lathe")
    return min((top, *hard_limits), key=lambda limit: limit[0])


def spindle_speed(
    surface_m_min: float, diameter_mm: float, lathe: Lathe, hard_limits: Sequence[HardLimit] = ()
) -> Speed:
    """Return the speed for a surface speed at the diameter before the cut.

    Parameters
    ----------
    surface_m_min : float
        Wanted surface speed, metres a minute, positive.
    diameter_mm : float
        Diameter before the cut; zero asks for the greatest speed allowed.
    lathe : Lathe
        Its gear steps, or its range.
    hard_limits : sequence of (rpm, name)
        Speeds that nothing may pass: chuck's mark, holding, trainee limit.

    Raises
    ------
    InputError
        When the lathe has no speeds, or even its slowest is over a hard limit.
    """
    wanted = wanted_rpm(surface_m_min, diameter_mm)
    return _fitted(wanted, STEP_OVER, "surface speed", diameter_mm, lathe, hard_limits)


def chosen_speed(
    rpm: float, diameter_mm: float, lathe: Lathe, hard_limits: Sequence[HardLimit] = ()
) -> Speed:
    """Return the speed for revolutions that the job asks for: never more than them.

    Raises
    ------
    InputError
        As in `spindle_speed`.
    """
    return _fitted(rpm, 1.0, "job", diameter_mm, lathe, hard_limits)


def constant_surface_speed(
    surface_m_min: float, diameter_mm: float, lathe: Lathe, hard_limits: Sequence[HardLimit] = ()
) -> Speed:
    """Return a constant surface speed together with the speed limit that it needs.

    Without the limit the spindle would run to infinity at the axis.

    Raises
    ------
    InputError
        When the lathe cannot keep a surface speed, has no speeds, or its slowest is over a limit.
    """
    if not lathe.constant_surface_speed:
        raise InputError(
            f"{lathe.name} cannot keep a surface speed constant; give revolutions instead"
        )
    rpm, name = greatest_rpm(lathe, hard_limits)
    _check_slowest(lathe, rpm, name)
    wanted = wanted_rpm(surface_m_min, diameter_mm)
    at_diameter = min(rpm, wanted)
    return Speed(
        rpm,
        "surface speed" if wanted <= rpm else name,
        surface_speed_m_min(at_diameter, diameter_mm),
        wanted,
        surface_m_min,
    )


def worth_changing(present_rpm: float, new_rpm: float) -> bool:
    """Tell whether shifting from `present_rpm` to `new_rpm` within an operation pays."""
    return new_rpm > GAIN_WORTH_A_CHANGE * present_rpm


def _speeds(lathe: Lathe) -> tuple[float, ...]:
    """Return the steps, or the two ends of the range."""
    speeds = lathe.speeds_rpm or lathe.speed_range_rpm
    if not speeds:
        raise InputError(
            f"the lathe {lathe.name!r} has no speeds; give speeds_rpm or speed_range_rpm"
        )
    return tuple(sorted(speeds))


def _check_slowest(lathe: Lathe, limit: float, name: str) -> None:
    slowest = _speeds(lathe)[0]
    if slowest > limit:
        raise InputError(
            f"the slowest speed of {lathe.name}, {slowest:g} rpm, is over the limit of "
            f"{limit:g} rpm ({name}); use another lathe or holding"
        )


def _fitted(
    wanted: float,
    over: float,
    why: str,
    diameter_mm: float,
    lathe: Lathe,
    hard_limits: Sequence[HardLimit],
) -> Speed:
    limit, name = greatest_rpm(lathe, hard_limits)
    _check_slowest(lathe, limit, name)
    speeds = _speeds(lathe)
    if lathe.speeds_rpm:
        allowed = [s for s in speeds if s <= limit]
        fitting = [s for s in allowed if s <= over * wanted]
        rpm = fitting[-1] if fitting else allowed[0]
        # Something other than the wish binds when a higher step would have satisfied the wish.
        bound = rpm == allowed[-1] and rpm < wanted and _next_fits(speeds, rpm, over * wanted)
        limited_by = name if bound else why
    else:
        rpm = min(wanted, limit)
        limited_by = name if limit < wanted else why
    if rpm > over * wanted or rpm < speeds[0]:
        rpm, limited_by = speeds[0], "lathe's slowest speed"
    surface = surface_speed_m_min(rpm, diameter_mm)
    return Speed(rpm, limited_by, surface, wanted)


def _next_fits(speeds: tuple[float, ...], rpm: float, most: float) -> bool:
    """Tell whether the step above `rpm` fits under `most`; above the top step it always would."""
    higher = [s for s in speeds if s > rpm]
    return not higher or higher[0] <= most
