"""How far a cut along the outside runs past the end of what its setup makes, over a free edge.

Where the metal behind that end is smaller already, a cut that stops at the edge leaves a lip the
height of the tool's nose.
"""

from __future__ import annotations

import shapely

from turnsketch.part.outline_records import Outline
from turnsketch.planning.context import Context
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["run_past"]

_LITTLE_MM = 0.2
"""The nose's lowest place goes so far past the edge."""

_LOWER_MM = 0.02
"""What is lower by less is the same surface, made from the other end."""

_BESIDE_MM = 1e-3


def run_past(ctx: Context, shape: ToolShape, outline: Outline) -> float:
    """Return how far behind its limit a setup's outside may be cut, mm; 0: as far as the limit.

    Parameters
    ----------
    outline : Outline
        What the setup works to, closed by a face at its limit.
    """
    if ctx.limit_z is None or ctx.axis_r is not None or ctx.held.track is not None:
        return 0.0
    ends = [e.shape.start for e in outline.elements if e.shape.start.r > e.shape.end.r]
    edge = ends[-1] if ends else None
    if edge is None or abs(edge.z - ctx.limit_z) > _BESIDE_MM or edge.r < _LOWER_MM:
        return 0.0
    room = shape.nose_radius + _LITTLE_MM
    if edge.z - room < ctx.held.jaw_face + ctx.shop.clearances.never_beyond_jaws:
        return 0.0
    strip = shapely.clip_by_rect(
        ctx.held.region, edge.z - room, edge.r - _LOWER_MM, edge.z - _BESIDE_MM, 1e4
    )
    # A nose's fillet in the corner behind the edge stands close to it, and comes off with the cut.
    return room if strip.area < _BESIDE_MM else 0.0
