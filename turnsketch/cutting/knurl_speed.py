"""The greatest speed at which a knurl is pressed."""

from __future__ import annotations

from typing import Final

from turnsketch.cutting.speed import HardLimit, wanted_rpm
from turnsketch.cutting.surface import surface_speed
from turnsketch.cutting.thread_speed import slowest_rpm
from turnsketch.shop.records import Lathe, Material

__all__ = ["KNURL_LIMIT", "KNURL_SHARE", "knurl_limits"]

KNURL_SHARE: Final = 1 / 3
"""A third of the speed for roughing with high-speed steel at most (common practice): the wheels
run hot on their pins, and the start has to be seen."""

KNURL_LIMIT: Final = "slow speed for knurls"


def knurl_limits(diameter_mm: float, material: Material | None, lathe: Lathe) -> list[HardLimit]:
    """Return the greatest revolutions for a knurl of that diameter, with their name.

    A lathe that does not run as slowly has its slowest speed as the limit.
    """
    share = KNURL_SHARE * surface_speed(material, "HSS", "rough")
    return [(max(wanted_rpm(share, diameter_mm), slowest_rpm(lathe)), KNURL_LIMIT)]
