"""Metal that stays because the tailstock centre keeps the tools from coming in at the front."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import Polygon
from shapely.affinity import translate

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.tailstock import CENTRE_NAMES
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["kept_out_by_centre"]

_ABOVE_MM = 0.3
"""A tool comes in so far above what is to be turned: with its allowance on."""

_TURNED = ("rough", "finish")


def kept_out_by_centre(works: Sequence[Planned], last: Context, place: Point) -> tuple[int, ...]:
    """Return the turning tools that a centre keeps from coming in over a place, by number.

    Parameters
    ----------
    place : Point
        On what stays, told in the part frame of `last`, the last setup.
    """
    found: set[int] = set()
    for planned in works:
        ctx = planned.ctx
        if ctx.setup.turned != last.setup.turned or not ctx.held.centre_in:
            continue
        ahead = Point(ctx.return_z, place.r + _ABOVE_MM)
        numbers = {s.operation.tool for s in planned.steps if s.operation.kind in _TURNED}
        found |= {n for n in numbers if n is not None and _meets(ctx, ctx.shapes[n], ahead)}
    return tuple(sorted(found))


def _meets(ctx: Context, shape: ToolShape, at: Point) -> bool:
    """Return whether a tool at a place comes nearer to the centre than its clearance."""
    clear = ctx.shop.clearances
    rings = [o.ring for o in ctx.held.obstacles if o.name in CENTRE_NAMES]
    centre = [Polygon([(p.z, p.r) for p in ring]) for ring in rings]
    for piece in shape.pieces:
        room = clear.cut_to_jaws if piece.cuts else clear.holder_to_jaws
        ring = [(p.z, p.r) for p in piece.ring(CHORD_ROUGH)]
        placed = translate(Polygon(ring), at.z, at.r)
        if any(placed.distance(obstacle) < room - 1e-6 for obstacle in centre):
            return True
    return False
