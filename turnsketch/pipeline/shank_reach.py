"""What a shank keeps a tool from, and which shank would get there.

A holder must clear the walls, and besides them the metal that none of the plan's tools ever cuts.
What that is depends on where the tools may be, and where they may be on that: the two are asked in
turn until nothing changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import component_at, no_go
from turnsketch.pipeline.tool_reach import covers
from turnsketch.planning.context import Context
from turnsketch.planning.space import Space, slice_at, wide_ring
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import from_mm

__all__ = ["Shanks", "room_for_shank"]

_ROUNDS = 6
_SLIVER_MM = 0.05
"""Metal thinner than twice this beside a holder is what a nose left: it does not count."""

_DEEPER_MM = 2.0
"""A valley that is shallower than this has nothing to do with shanks."""

Tools = Sequence[tuple[ToolShape, Space]]


@dataclass(frozen=True)
class Shanks:
    """Where each tool may be once its holder clears all that the tools together leave."""

    tools: tuple[tuple[ToolShape, BaseGeometry], ...]

    @classmethod
    def of(cls, ctx: Context, solid: BaseGeometry, tools: Tools) -> Shanks:
        """Ask for the places of `tools` in turn with what they leave of the blank.

        Parameters
        ----------
        solid : polygonal geometry
            What must stand in the setup.
        """
        metal = shapely.union_all([solid, ctx.held.region])
        allowed = [space.allowed for _, space in tools]
        for _ in range(_ROUNDS):
            pairs = zip(tools, allowed, strict=True)
            cut = shapely.union_all([_covered(shape, where) for (shape, _), where in pairs])
            stays = metal.difference(cut).buffer(-_SLIVER_MM, join_style="mitre")
            fresh = [
                component_at(where.difference(_blocked(ctx, shape, stays)), space.safe)
                for (shape, space), where in zip(tools, allowed, strict=True)
            ]
            same = all(a.area - b.area < 1e-3 for a, b in zip(allowed, fresh, strict=True))
            allowed = fresh
            if same:
                break
        return cls(tuple((shape, a) for (shape, _), a in zip(tools, allowed, strict=True)))

    def cover(self, place: Point) -> bool:
        """Return whether a tool gets to `place`."""
        return any(covers(shape, allowed, place) for shape, allowed in self.tools)


def _covered(shape: ToolShape, allowed: BaseGeometry) -> BaseGeometry:
    """Return all that a tool's edges cover from the places where it may be."""
    rings = [[Point(-p.z, -p.r) for p in piece.ring(CHORD_ROUGH)] for piece in shape.cutting]
    return shapely.union_all([no_go(allowed, ring) for ring in rings])


def _blocked(ctx: Context, shape: ToolShape, metal: BaseGeometry) -> BaseGeometry:
    room = ctx.shop.clearances.holder_to_metal
    return shapely.union_all([no_go(metal, wide_ring(p, room)) for p in shape.passive])


def room_for_shank(ctx: Context, solid: BaseGeometry, place: Point) -> str:
    """Return in words how deep a tool must reach at `place`, and how slim it must be there.

    Parameters
    ----------
    solid : polygonal geometry
        What must stand in the setup; `place` lies in a valley of it.
    """
    low, _, high, top = solid.bounds
    free = shapely.box(low - 1.0, 0.0, high + 1.0, top + 1.0).difference(solid)
    here = _span(free, place.r, place.z)
    if here is None or here[0] <= low or here[1] >= high:
        return "a tool with a slimmer shank"  # no valley: a wall on one side alone
    sides = ((low, here[0]), (here[1], high))
    walls = [shapely.clip_by_rect(solid, a, 0.0, b, top + 1.0) for a, b in sides if a < b]
    crest = min((w.bounds[3] for w in walls if not w.is_empty), default=0.0)
    floor = _lowest_top(shapely.clip_by_rect(solid, *_upright(here), top + 1.0))
    middle = _span(free, (floor + crest) / 2, place.z)
    if crest - floor < _DEEPER_MM or middle is None:
        return "a tool with a slimmer shank"
    width = middle[1] - middle[0] - 2 * ctx.shop.clearances.holder_to_metal
    places = 2 if ctx.units == "inch" else 1
    return (
        f"a tool that reaches {from_mm(crest - floor, ctx.units):.{places}f} {ctx.units} deep "
        f"with a shank no wider than {from_mm(max(0.0, width), ctx.units):.{places}f} {ctx.units} "
        "half-way down"
    )


def _span(free: BaseGeometry, r: float, z: float) -> tuple[float, float] | None:
    """Return the interval of z around `z` that is free at a radius."""
    spans = slice_at(free, r)
    return next((s for s in spans if s[0] - 1e-6 <= z <= s[1] + 1e-6), None)


def _upright(span: tuple[float, float]) -> tuple[float, float, float]:
    """Return the left, bottom and right of the strip over an interval of z."""
    return span[0] + 1e-6, 0.0, span[1] - 1e-6


def _lowest_top(solid: BaseGeometry) -> float:
    """Return the smallest radius of a half section's outside."""
    if solid.is_empty:
        return 0.0
    points = shapely.get_coordinates(solid)
    return float(min((r for _, r in points.tolist() if r > 1e-6), default=0.0))
