"""Which kinds of tool an operation is made with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from turnsketch.shop.records import Tool, ToolKind

__all__ = ["SUITED", "for_undercuts"]

_SQUARE_DEG = 100.0

SUITED: Final[Mapping[str, tuple[ToolKind, ...]]] = MappingProxyType(
    {
        "face": ("turning", "round"),
        "centre hole": ("centre drill",),
        "drill": ("drill",),
        "ream": ("reamer",),
        "countersink": ("countersink",),
        "rough": ("turning", "round"),
        "bore": ("boring",),
        "finish": ("turning", "round"),
        "finish bore": ("boring",),
        "groove": (
            "parting",
            "inside grooving",
            "round",
            "turning",
            "groove form",
            "boring",
            "threading",
        ),
        "chamfer": ("chamfer", "form"),
        "thread": ("threading", "inside threading"),
        "tap": ("tap",),
        "die": ("die",),
        "knurl": ("knurl",),
        "part off": ("parting",),
    }
)
"""By the name of the operation (common practice)."""


def for_undercuts(tool: Tool) -> bool:
    """Return whether a turning tool or boring bar leans over so far that it is for undercuts.

    It is too weak for anything else.
    """
    return tool.edge_angle_deg > _SQUARE_DEG
