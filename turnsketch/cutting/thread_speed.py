"""Speeds of threads: no faster than a hand follows at the end of the run."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from turnsketch.cutting.speed import Speed, chosen_speed
from turnsketch.plan_records import ThreadSetting
from turnsketch.shop.records import Lathe

__all__ = ["BY_HAND", "HAND_LIMIT", "hand_limits", "slowest_rpm", "turned_by_hand"]

HAND_LIMIT: Final = "hand at the thread's end"
BY_HAND: Final = "turned by hand"


def hand_limits(thread: ThreadSetting | None, lathe: Lathe) -> list[tuple[float, str]]:
    """Return the speed that a hand can follow as a limit, with its name; none for other passes.

    The lathe's slowest speed is always allowed here: where a hand can't follow that, a finding
    says so.
    """
    if thread is None:
        return []
    return [(max(thread.hand_rpm, slowest_rpm(lathe)), HAND_LIMIT)]


def turned_by_hand(diameter: float, lathe: Lathe) -> Speed:
    """Return the speed of a tap or a die: the chuck is turned by hand, the levers stand slowest."""
    return replace(chosen_speed(slowest_rpm(lathe), diameter, lathe), limited_by=BY_HAND)


def slowest_rpm(lathe: Lathe) -> float:
    """Return the lathe's slowest speed; 0: it has none."""
    return min(lathe.speeds_rpm or lathe.speed_range_rpm or (0.0,))
