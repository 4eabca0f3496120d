"""Where the finishing tools may be, and which places they cover from there."""

from __future__ import annotations

import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point, mirrored_in_z, reversed_chain
from turnsketch.geometry.minkowski import component_at
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.space import Space, allowed_space
from turnsketch.shop.tool_pieces import Piece
from turnsketch.shop.tool_shape import ToolShape

__all__ = [
    "SMALLER",
    "covers",
    "finishing_tools",
    "free_places",
    "on_the_edge",
    "turning_tools",
    "what_stands",
]

SMALLER = 0.03
"""Share of the nose radius by which a tool must cover a place to reach it: the deepest place of a
left-over lies on the very edge that the nose drew."""


def what_stands(planned: Planned) -> BaseGeometry:
    """Return what must stand in a setup."""
    held = planned.ctx.held
    keep = keep_of(planned.outline, held, planned.overrun)
    return keep_region(keep.elements, held, CHORD_ROUGH)


def _seen_from(
    last: Context, ctx: Context, shape: ToolShape, space: Space
) -> tuple[ToolShape, Space]:
    """Return a tool and its space as they stand in the last setup's part frame."""
    if ctx.setup.turned == last.setup.turned:
        return shape, space
    length = ctx.part.total_length

    def turn(region: BaseGeometry) -> BaseGeometry:
        return shapely.transform(region, lambda xy: xy * (-1.0, 1.0) - (length, 0.0))

    pieces = tuple(
        Piece(p.name, p.cuts, reversed_chain(tuple(mirrored_in_z(e) for e in p.outline)))
        for p in shape.pieces
    )
    safe = Point(-length - space.safe.z, space.safe.r)
    return ToolShape(shape.tool, pieces), Space(turn(space.allowed), turn(space.pockets), safe)


def finishing_tools(planned: Planned, last: Context) -> list[tuple[ToolShape, Space]]:
    """Return the tools that finish in a setup, else those that rough, and where they may be."""
    kinds = {s.operation.kind for s in planned.steps}
    return _tools_of(planned, last, ("finish",) if "finish" in kinds else ("rough",))


def turning_tools(planned: Planned, last: Context) -> list[tuple[ToolShape, Space]]:
    """Return the tools that rough or finish in a setup, and where they may be."""
    return _tools_of(planned, last, ("rough", "finish"))


def _tools_of(
    planned: Planned, last: Context, kinds: tuple[str, ...]
) -> list[tuple[ToolShape, Space]]:
    ctx, solid = planned.ctx, what_stands(planned)
    numbers = [s.operation.tool for s in planned.steps if s.operation.kind in kinds]
    shapes = [ctx.shapes[n] for n in dict.fromkeys(numbers) if n is not None]
    return [_seen_from(last, ctx, s, allowed_space(ctx, s, solid, -s.nose_radius)) for s in shapes]


def free_places(ctx: Context, blocked: list[BaseGeometry]) -> BaseGeometry:
    """Return the positions outside `blocked` that are joined with the place where tools begin."""
    window = box(ctx.held.back - 50.0, -5.0, ctx.held.raw_front + 60.0, ctx.clear_r + 60.0)
    free: BaseGeometry = window
    for shape in blocked:
        free = free.difference(shape)
    return component_at(free, Point(ctx.held.raw_front + 20.0, ctx.clear_r + 20.0))


def on_the_edge(shape: ToolShape, allowed: BaseGeometry, place: Point) -> bool:
    """Return whether the tool's reach ends just at `place`: its nose drew what stands there."""
    return covers(shape, allowed, place, 0.02) and not covers(shape, allowed, place)


def covers(
    shape: ToolShape, allowed: BaseGeometry, place: Point, more: float | None = None
) -> bool:
    """Return whether a cutting piece at some allowed position covers `place`.

    Parameters
    ----------
    more : float, optional
        How much larger the tool counts; default: a little smaller than it is.
    """
    grow = -SMALLER * max(shape.nose_radius, 0.1) if more is None else more
    if allowed.is_empty:
        return False
    for piece in shape.cutting:
        turned = Polygon([(place.z - p.z, place.r - p.r) for p in piece.ring(CHORD_ROUGH)])
        if turned.buffer(grow).intersects(allowed):
            return True
    return False
