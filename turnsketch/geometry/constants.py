"""The tolerances of the geometry, in one place. All in millimetres."""

from __future__ import annotations

from typing import Final

__all__ = [
    "CHORD_FINE",
    "CHORD_ROUGH",
    "CLOSE",
    "EXACT",
    "GOUGE",
    "MIN_LENGTH",
    "MIN_TAKE",
    "SLIVER",
    "TOUCH",
]

CHORD_ROUGH: Final = 1e-3
"""Largest gap between an arc and its chords where roughing regions are built."""

CHORD_FINE: Final = 1e-4
"""The same for finishing edges and for the replay."""

TOUCH: Final = 1e-6
"""Two exact values closer than this touch."""

EXACT: Final = 1e-9
"""Closing error that exact joins and solved corners must keep."""

CLOSE: Final = 1e-7
"""Points closer than this are one vertex."""

GOUGE: Final = 2 * CHORD_FINE
"""Replay counts an overlap deeper than this as a gouge."""

SLIVER: Final = 2e-4
"""Pieces of a region thinner than this come from rounding and are dropped."""

MIN_LENGTH: Final = 0.05
"""A slice shorter than this is no pass."""

MIN_TAKE: Final = 0.01
"""A slice that takes less than this (radially) is no pass."""
