"""Roughing above the flats of a hexagon or square bar: the edge is struck there at every corner."""

from __future__ import annotations

from turnsketch.planning.context import Context

__all__ = ["SHARE", "levels_above_flats"]

SHARE = 0.5
"""Share of the usual depth above the flats (common practice: light cuts until it runs round)."""

_UNDER_MM = 0.05
_ABOUT_MM = 0.2


def levels_above_flats(
    ctx: Context, depth: float
) -> tuple[list[float], list[tuple[float, float, float]]]:
    """Return the level on which the work runs round at last, and how deep cuts above it are.

    Both as `planning.levels.levels` takes them: shoulders, and stretches with finer cuts. Empty
    for a blank without flats.

    Parameters
    ----------
    depth : float
        Usual radial depth of a cut.
    """
    flat = ctx.held.flat_radius
    if flat is None or ctx.axis_r is not None:
        return [], []
    round_at = ctx.easy_radius(flat - _ABOUT_MM, flat - _UNDER_MM, flat - _UNDER_MM)
    return [round_at], [(round_at, ctx.held.radius, SHARE * depth)]
