"""The greatest speed above the flats of a hexagon or square, where the edge is struck."""

from __future__ import annotations

from typing import Final

from turnsketch.cutting.speed import HardLimit, wanted_rpm
from turnsketch.cutting.thread_speed import slowest_rpm
from turnsketch.shop.records import Lathe

__all__ = ["INTERRUPTED_LIMIT", "INTERRUPTED_SHARE", "interrupted_limits"]

INTERRUPTED_SHARE: Final = 0.5
"""Half the usual surface speed while the cut is interrupted (common practice)."""

INTERRUPTED_LIMIT: Final = "interrupted cut"

_SAME_MM = 0.01


def interrupted_limits(
    surface_m_min: float, diameter_mm: float, flat_radius_mm: float | None, lathe: Lathe
) -> list[HardLimit]:
    """Return the greatest revolutions above the flats, with their name; none below them.

    A lathe that does not run as slowly has its slowest speed as the limit.

    Parameters
    ----------
    surface_m_min : float
        Usual surface speed, metres a minute.
    diameter_mm : float
        Before the cut.
    flat_radius_mm : float, optional
        Half of what the bar has across its flats; None: it is round.
    """
    if flat_radius_mm is None or diameter_mm / 2 <= flat_radius_mm + _SAME_MM:
        return []
    wanted = wanted_rpm(INTERRUPTED_SHARE * surface_m_min, diameter_mm)
    return [(max(wanted, slowest_rpm(lathe)), INTERRUPTED_LIMIT)]
