"""Surface speed for a material, a tool's material and a purpose, as the shop file gives it.

The shop file has three speeds: for roughing, finishing and parting off. What else is done goes by
shares of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal

from turnsketch.part.drills import REAM_SPEED_SHARE
from turnsketch.shop.records import Material, SurfaceSpeed

__all__ = ["CAUTIOUS_M_MIN", "PURPOSES", "Purpose", "drilling_feed_mm", "surface_speed"]

CAUTIOUS_M_MIN: Final = 20.0
"""Where the shop file says nothing: slow for any metal (common practice)."""

DRILL_SHARE: Final = 0.8
"""A drill of high-speed steel runs a little slower than a turning tool that roughs: its chips keep
the coolant away (common practice)."""

COUNTERSINK_SHARE: Final = 1 / 3
"""A countersink cuts on all its edges at once and chatters: a third of the drilling speed (common
practice)."""

BORE_SHARE: Final = 0.8
"""A boring bar stands out further than an outside tool: a fifth slower (common practice)."""

Purpose = Literal[
    "rough", "finish", "part off", "drill", "ream", "countersink", "bore", "finish bore"
]

PURPOSES: Final[Mapping[str, Purpose]] = MappingProxyType(
    {
        "face": "rough",
        "centre hole": "part off",
        "drill": "drill",
        "ream": "ream",
        "countersink": "countersink",
        "rough": "rough",
        "bore": "bore",
        "finish": "finish",
        "finish bore": "finish bore",
        "groove": "part off",
        "chamfer": "part off",
        "thread": "part off",
        "tap": "part off",
        "die": "part off",
        "knurl": "rough",
        "part off": "part off",
    }
)
"""By the name of the operation."""

_FEEDS: Final = ((3.2, 0.04), (6.4, 0.08), (12.7, 0.14), (25.4, 0.28))
_COARSEST: Final = 0.5
"""Middle of the usual feeds of twist drills in millimetres a turn, up to a diameter: .001-.002 in
to 1/8, .002-.004 to 1/4, .004-.007 to 1/2, .007-.015 to 1 in, .015-.025 above (from memory)."""

_REAM_FEED: Final = 2.0
"""A reamer takes about twice the feed of a drill of its size (common practice)."""


def surface_speed(material: Material | None, tool_material: str, purpose: Purpose) -> float:
    """Return the surface speed in metres a minute.

    Without an entry for the tool's material the slowest speed of the material is taken.
    """
    if material is None:
        return CAUTIOUS_M_MIN * _share(purpose)
    found = [s for s in material.speeds if s.tool_material == tool_material]
    if not found:
        slowest = min((s.part_off_m_min for s in material.speeds), default=CAUTIOUS_M_MIN)
        return slowest * min(_share(purpose), 1.0)
    return _base(found[0], purpose) * _share(purpose)


def _base(speeds: SurfaceSpeed, purpose: Purpose) -> float:
    if purpose == "part off":
        return speeds.part_off_m_min
    return speeds.finish_m_min if purpose in ("finish", "finish bore") else speeds.rough_m_min


def _share(purpose: Purpose) -> float:
    """Return the share of the shop file's speed that a purpose takes."""
    if purpose in ("bore", "finish bore"):
        return BORE_SHARE
    if purpose == "ream":
        return DRILL_SHARE * sum(REAM_SPEED_SHARE) / 2
    if purpose == "countersink":
        return DRILL_SHARE * COUNTERSINK_SHARE
    return DRILL_SHARE if purpose == "drill" else 1.0


def drilling_feed_mm(diameter_mm: float, *, reamer: bool = False) -> float:
    """Return the usual feed a turn of a twist drill or reamer, millimetres."""
    feed = next((feed for most, feed in _FEEDS if diameter_mm <= most), _COARSEST)
    return round(feed * (_REAM_FEED if reamer else 1.0), 2)
