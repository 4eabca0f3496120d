"""On which radii roughing cuts stand: shoulders with their allowance, and low stairs between."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.geometry.elements import Arc
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline
from turnsketch.planning.context import Context
from turnsketch.planning.flats import levels_above_flats
from turnsketch.planning.levels import levels
from turnsketch.planning.stepped import stepped_sections

__all__ = ["rough_levels", "shoulder_radii"]

_STAIR_MM = 1.2
"""Levels over a surface that is made in steps by hand stand no further apart: what the levels leave
is fed through by the cross slide, place by place."""

_ALIKE_MM = 0.2
"""A crest so near to another level, or to the blank, has none of its own."""

_CHORD_MM = 0.01


def rough_levels(
    ctx: Context, operation: Operation, outline: Outline, depth: float, allowance: float
) -> list[float]:
    """Return the radii of an operation's levels, from the blank inward."""
    finer, floors = (
        list(_low_stairs(ctx, outline, allowance)),
        shoulder_radii(ctx, outline, allowance),
    )
    beside = [*floors, ctx.held.radius]
    if operation.depth is None:
        round_at, light = levels_above_flats(ctx, depth)
        floors, finer = [*floors, *round_at], [*finer, *light]
    floors += [r for _, r, _ in finer if all(abs(r - other) > _ALIKE_MM for other in beside)]
    return levels(ctx.held.radius, floors, depth, ctx.easy_radius, finer)


def shoulder_radii(ctx: Context, outline: Outline, allowance: float) -> list[float]:
    """Return the radii on which a level must stand, allowance included, on easy figures."""
    radii: set[float] = set()
    for element in outline.elements:
        shape = element.shape
        if element.role == "cylinder":
            radii.add(shape.start.r)
        elif element.role in ("taper", "arc"):
            radii.update((shape.start.r, shape.end.r))
            if isinstance(shape, Arc):
                radii.add(_lowest(shape))
    extra = 0.1 if ctx.units == "mm" else 0.127
    return [
        ctx.easy_radius(r + allowance, r + allowance + extra, r + allowance) for r in sorted(radii)
    ]


def _low_stairs(
    ctx: Context, outline: Outline, allowance: float
) -> Iterator[tuple[float, float, float]]:
    """Yield between which radii levels stand close, so that surfaces made in steps have low stairs.

    The upper one is the crest's, with its allowance.
    """
    stepped = stepped_sections(ctx)
    for element in outline.elements:
        if element.section in stepped and element.role in ("arc", "taper"):
            radii = [p.r for p in element.shape.chords(_CHORD_MM)]
            crest = max(radii) + allowance
            yield min(radii), ctx.easy_radius(crest, crest + 0.1, crest), _STAIR_MM


def _lowest(arc: Arc) -> float:
    """Return the smallest r on an arc."""
    return min(point.r for point in arc.chords(_CHORD_MM))
