"""The steady rest: a place along the work that stays clear in a setup."""

from __future__ import annotations

from dataclasses import replace

import shapely

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Obstacle
from turnsketch.planning.holding import HeldBlank
from turnsketch.shop.records import Lathe

__all__ = ["STEADY", "on_steady"]

STEADY = "steady rest"
"""Name of its obstacle."""

_EDGE = 1e-3
"""Radial room between the work and the ring, so that they do not touch."""


def on_steady(held: HeldBlank, place: float, lathe: Lathe, where: str) -> HeldBlank:
    """Return the blank with the steady rest around it, as it stands when the setup begins.

    Its fingers run on what is there then: bar, or a seat that a setup before has turned.

    Parameters
    ----------
    place : float
        z of its middle, part frame; millimetres.
    where : str
        Place of the holding in the job, for errors.

    Raises
    ------
    InputError
        The lathe has none, or it does not go around the work at that place.
    """
    where = f"{where}.steady"
    if lathe.steady_largest_mm <= 0 or lathe.steady_width_mm <= 0:
        raise InputError(f"{lathe.name} has no steady rest: leave it out", where)
    low, high = place - lathe.steady_width_mm / 2, place + lathe.steady_width_mm / 2
    if low < held.jaw_face or high > held.raw_front:
        raise InputError(
            f"the steady rest is {lathe.steady_width_mm:g} mm wide and does not stand between "
            "the jaws and the front end there: move it",
            where,
        )
    strip = shapely.clip_by_rect(held.region, low, 0.0, high, 1e4)
    seat = 0.0 if strip.is_empty else float(strip.bounds[3])
    least, most = lathe.steady_smallest_mm, lathe.steady_largest_mm
    if not least <= 2 * seat <= most:
        raise InputError(
            f"the steady rest takes Ø{least:g} to Ø{most:g} mm; the work has Ø{2 * seat:.2f} "
            "there: move it, or leave it out",
            where,
        )
    inner, outer = seat + _EDGE, max(lathe.swing_mm / 2, seat + 1.0)
    ring = (Point(low, inner), Point(high, inner), Point(high, outer), Point(low, outer))
    return replace(held, obstacles=(*held.obstacles, Obstacle(STEADY, ring)))
