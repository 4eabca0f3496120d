"""What a bar needs besides the part: its grip, the parting blade, and what stays clear of the jaws.

Exact lengths in millimetres; whoever writes them into a job rounds them first.
"""

from __future__ import annotations

from turnsketch.shop.records import Chuck, Shop

__all__ = ["blade_width_mm", "clear_of_jaws_mm", "wanted_grip_mm"]

_GRIP_SHARE = 0.75
"""Grip of the bar in diameters (common practice: two thirds to one)."""

_BLADE_MM = 3.0
"""Width of a usual blade, where the shop has none that is long enough."""


def wanted_grip_mm(diameter_mm: float, chuck: Chuck | None) -> float:
    """Return how much of a bar is to be held: three quarters of its diameter, or what `chuck` asks.

    The jaws' own length is the most; it is left to the caller, who rounds.
    """
    wanted = _GRIP_SHARE * diameter_mm
    return wanted if chuck is None else max(wanted, chuck.least_grip_mm)


def blade_width_mm(shop: Shop, diameter_mm: float) -> float:
    """Return the width of the narrowest blade of the shop that goes through a bar."""
    reaching = (
        tool.width_mm
        for tool in shop.tools
        if tool.kind == "parting" and tool.reach_mm >= diameter_mm / 2
    )
    return min(reaching, default=_BLADE_MM)


def clear_of_jaws_mm(shop: Shop) -> float:
    """Return what stays free between the jaws and the last cut."""
    return shop.clearances.never_beyond_jaws + shop.clearances.cut_to_jaws
