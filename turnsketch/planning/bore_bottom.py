"""A flat bottom of a blind bore: the cone that a drill's point left is faced away in thin layers.

A bar that ran on along the axis would meet the cone deeper and deeper. So the levels along the
axis end where it begins, and the rest is faced from the middle, where the point left air, outward
to the wall. Each layer is open all round before the next: the bar's own end must have room beside
the axis (common practice).

Told in the bore's own frame (`turnsketch.planning.inside_out`): the axis is up.
"""

from __future__ import annotations

from collections.abc import Callable

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import MIN_LENGTH, TOUCH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.part.outline_records import Outline
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftPass, cut, position
from turnsketch.planning.levels import even_steps
from turnsketch.planning.rough_ways import way_out
from turnsketch.planning.rough_work import RoughWork
from turnsketch.planning.space import slice_at, upright_slice

__all__ = ["faced_bottom", "has_flat_bottom"]

_LAYERS_MM = (0.75, 0.5, 0.3)
"""The bar's end stands about 1 mm behind its edge: a thicker layer lets it touch the bottom."""

_PROBES = (0.02, 0.1, 0.3, 0.5, 0.7, 0.9)
"""Where, between axis and wall, it is looked for how high the cone stands."""

_WORTH_MM = 0.3
"""A cone that stands no higher over the bottom's allowance is left to the finishing cut."""

_PLUNGE_MM = 1.0
"""A layer is fed straight in over no more metal beside the cone than this."""

_AIR_MM = 0.1
_EASY_MM = 0.3
_FINE_MM = 0.01


def has_flat_bottom(outline: Outline, overrun: float) -> bool:
    """Return whether a bore, told in its own frame, ends at a flat bottom."""
    return overrun == 0.0 and outline.elements[-1].role == "face"


def faced_bottom(work: RoughWork, state: State, allowance: float) -> tuple[list[DraftPass], State]:
    """Return the facing passes of a blind bore's flat bottom, and what remains.

    Parameters
    ----------
    allowance : float
        What stays at the bottom for the finish, along the axis.
    """
    ctx = work.ctx
    floor = -ctx.part.total_length + allowance
    top = _cone_top(work, state.remaining, floor)
    if work.step > 0 or top is None or top - floor < _WORTH_MM:
        return [], state
    passes: list[DraftPass] = []
    before = top
    while before - floor > MIN_LENGTH:
        found = None
        for thick in _LAYERS_MM:
            z = next(iter(even_steps(before, floor, min(work.depth, thick))))
            found = found or _layer(work, state, max(floor, ctx.rough_z_back(z)), before)
        if found is None:
            break
        passes.append(found[0])
        state, before = found[1], found[2]
    return passes, state


def _cone_top(work: RoughWork, metal: BaseGeometry, floor: float) -> float | None:
    """Return how high metal stands over the bottom between axis and wall; None: nothing does."""
    wall = _reach(work, floor + TOUCH)
    if wall is None or work.ctx.axis_r is None:
        return None
    low, axis = wall[0], work.ctx.axis_r
    radii = [low + share * (axis - low) for share in _PROBES]
    spans = [span for r in radii for span in slice_at(metal, r, floor, 0.0)]
    return max((end for _, end in spans), default=None)


def _reach(work: RoughWork, z: float) -> tuple[float, float] | None:
    """Return from where to where across the tool may stand at `z`, the wall first."""
    return next(iter(upright_slice(work.allowed, z)), None)


def _layer(
    work: RoughWork, state: State, z: float, before: float
) -> tuple[DraftPass, State, float] | None:
    """Return the facing pass at `z`, what remains, and `z`; None: the bar does not get there."""
    ctx, mover = work.ctx, work.mover
    reach = _reach(work, z + TOUCH)
    if reach is None:
        return None
    wall = reach[0]
    above = before + ctx.shop.clearances.approach
    begin = _begin(work, state.remaining, (above, z), reach)
    if begin is None or begin - wall < MIN_LENGTH:
        return None
    start, top = Point(z, begin), Point(above, begin)
    in_air = mover.free([top, start], state.remaining)
    way = mover.route(state.position, top, state.remaining)
    if way is None:
        return None
    end = Point(z, ctx.easy_radius(wall, wall + _AIR_MM, wall))
    metal = clean(state.remaining.difference(mover.removed([top, start, end])))
    if state.remaining.area - metal.area < MIN_LENGTH * _FINE_MM:
        return None
    left = way_out(work, end, end.r, metal, closed=False)
    if left is None or not mover.holder_free([top, start, end], metal):
        return None
    faced, back, metal = left
    section = max(ctx.part.sections, key=lambda s: -s.back.z)
    made = DraftPass(
        tool=work.shape.tool.number,
        start=state.position,
        moves=(
            *(position(p) for p in way),
            position(start) if in_air else cut(start),
            cut(end, "keep metal", "keep metal"),
            *faced,
            *(position(p) for p in back),
        ),
        surface=section.label,
        section=section.number,
        direction="face",
        depth=min(before - z, work.depth),
        speed_diameter=2 * begin,
        power_until=end.r + ctx.shop.clearances.power_until,
        notes=("faces the bottom from the middle outward",),
    )
    return made, State(metal, made.end, work.shape.tool.number), z


def _begin(
    work: RoughWork, metal: BaseGeometry, ends: tuple[float, float], reach: tuple[float, float]
) -> float | None:
    """Return at which r a layer begins: in the cone's air, no nearer to the axis than it must.

    Where the bar does not get so near to the axis it feeds straight in, if the cone's side is near.
    """
    above, z = ends
    wall, inner = reach[0] + _AIR_MM, min(reach[1], work.ctx.axis_r or reach[1])

    def way(r: float) -> list[Point]:
        return [Point(above, r), Point(z, r)]

    near = _edge(lambda r: work.mover.holder_free(way(r), metal), wall, inner)
    if near is None:
        return None
    if not work.mover.free(way(near), metal):
        beside = (high - max(low, near) for low, high in upright_slice(metal, z) if high > near)
        return near if sum(beside) <= max(work.depth, _PLUNGE_MM) else None
    solid = _edge(lambda r: not work.mover.free(way(r), metal), wall, near)
    air = wall if solid is None else min(near, solid + _FINE_MM)
    return work.ctx.easy_radius(air, min(near, air + _EASY_MM), air)


def _edge(holds: Callable[[float], bool], low: float, high: float) -> float | None:
    """Return the greatest r up to `high` at which a condition holds that holds at `low`."""
    if not holds(low):
        return None
    if holds(high):
        return high
    while high - low > _FINE_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
