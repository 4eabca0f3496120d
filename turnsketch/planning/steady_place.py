"""Where the steady rest is going to stand: the track that its fingers run on."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Track"]


@dataclass(frozen=True, slots=True)
class Track:
    """A cylinder of the part that is turned before the steady rest is set on it."""

    low: float
    """z of the steady rest's side toward the chuck, part frame; millimetres."""
    high: float
    radius: float
    """As the part aims at it."""
    outer: float
    """Radius to which the steady rest's body reaches."""
    section: int
    """Number of the section that it stands on."""
