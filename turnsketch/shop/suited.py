"""Which kinds of tool an operation is made with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from turnsketch.shop.records import Tool, ToolKind

__all__ = ["SUITED", "for_undercuts", "goes_straight_in"]

_SQUARE_DEG = 100.0
"""Edges for shoulders are square or lean over by a few degrees (common practice: up to 95)."""

_STRAIGHT_IN_DEG = 90.0

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
            "inside threading",
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


def goes_straight_in(tool: Tool) -> bool:
    """Return whether a tool may be fed square into metal, by its record's plunge angle."""
    return tool.plunge_angle_deg >= _STRAIGHT_IN_DEG
