"""Where a pointer snaps to: levels that are there already, round sizes, the angles of prints.

Pure arithmetic; the board gives the reach of its pointer in millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from turnsketch.geometry.elements import Point
from turnsketch.units import INCH_MM, Units

__all__ = ["PRINT_ANGLES_DEG", "Snapped", "angle_snapped", "round_step", "snapped"]

PRINT_ANGLES_DEG: Final = (15, 30, 45, 60)

_WIDEST_DEG: Final = 4.0
"""Near its start a ray draws the pointer no farther than this."""

_STEPS_MM: Final = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
_STEPS_INCH: Final = (0.005, 0.01, 0.02, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0)


@dataclass(frozen=True, slots=True)
class Snapped:
    """A place, and what it snapped to in words for the hint; empty where it is free."""

    at: Point
    z_level: bool = False
    r_level: bool = False


def round_step(mm_per_pixel: float, units: Units) -> float:
    """Return the round size, in mm, that about four pixels make: the pointer's step."""
    least = 4.0 * mm_per_pixel
    steps = _STEPS_MM if units == "mm" else tuple(s * INCH_MM for s in _STEPS_INCH)
    return next((step for step in steps if step >= least), steps[-1])


def snapped(
    at: Point,
    z_levels: Iterable[float],
    r_levels: Iterable[float],
    reach: float,
    step: float,
) -> Snapped:
    """Return the place that a pointer at `at` means.

    Parameters
    ----------
    at : Point
        Under the pointer, mm.
    z_levels, r_levels : iterable of float
        Levels of the outline that are near enough to mean.
    reach : float
        How far a level draws the pointer, mm.
    step : float
        Elsewhere z goes by this step, and the diameter too, mm.
    """
    z, z_level = _to_level(at.z, z_levels, reach)
    r, r_level = _to_level(at.r, r_levels, reach)
    if not z_level:
        z = _stepped(at.z, step)
    if not r_level:
        r = _stepped(2.0 * at.r, step) / 2.0
    return Snapped(Point(z, max(r, 0.0)), z_level, r_level)


def _stepped(value: float, step: float) -> float:
    return round(round(value / step) * step, 9) + 0.0


def _to_level(value: float, levels: Iterable[float], reach: float) -> tuple[float, bool]:
    near = min(levels, key=lambda level: abs(level - value), default=None)
    if near is not None and abs(near - value) <= reach:
        return near, True
    return value, False


def angle_snapped(start: Point, at: Point, reach: float) -> tuple[Point, int] | None:
    """Return the place on the ray of a print angle, and that half angle in degrees.

    The ray leaves `start` toward the back; the length along the axis stays as the pointer has it.
    None where no such ray passes within `reach` (mm), or the pointer is not behind `start`.
    """
    run, rise = start.z - at.z, at.r - start.r
    if run <= 0 or rise == 0:
        return None
    slope = math.degrees(math.atan2(abs(rise), run))
    near = min(PRINT_ANGLES_DEG, key=lambda angle: abs(angle - slope))
    aside = math.hypot(run, rise) * math.sin(math.radians(abs(near - slope)))
    if aside > reach or abs(near - slope) > _WIDEST_DEG:
        return None
    height = run * math.tan(math.radians(near))
    r = start.r + math.copysign(height, rise)
    return (Point(at.z, r), near) if r >= 0 else None
