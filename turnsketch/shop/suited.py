"""Which kinds of tool an operation is made with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from turnsketch.shop.records import ToolKind

__all__ = ["SUITED"]

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
        "groove": ("parting", "inside grooving", "round", "turning"),
        "chamfer": ("chamfer", "form"),
        "thread": ("threading", "inside threading"),
        "tap": ("tap",),
        "die": ("die",),
        "knurl": ("knurl",),
        "part off": ("parting",),
    }
)
"""By the name of the operation (common practice)."""
