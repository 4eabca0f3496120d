"""Feed per revolution within what the lathe's gearbox can give."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.shop.records import Lathe

__all__ = ["Feed", "clamp_feed"]


@dataclass(frozen=True, slots=True)
class Feed:
    """A feed and what bound it."""

    mm_per_rev: float
    limited_by: str
    """Empty when nothing did; else "lathe's finest feed" or "lathe's coarsest feed"."""


def clamp_feed(mm_per_rev: float, lathe: Lathe) -> Feed:
    """Return the feed inside the lathe's range that is nearest to `mm_per_rev`."""
    finest, coarsest = sorted(lathe.feed_range_mm_per_rev)
    if mm_per_rev < finest:
        return Feed(finest, "lathe's finest feed")
    if mm_per_rev > coarsest:
        return Feed(coarsest, "lathe's coarsest feed")
    return Feed(mm_per_rev, "")
