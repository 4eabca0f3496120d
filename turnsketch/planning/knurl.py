"""Knurls: wheels pressed into a cylinder and fed along it. Nothing is cut.

The moves lie on the surface of the blank: wheels that touch it take nothing and gouge nothing. How
deep they press is told in words, by the look of the points, as their force springs the work.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.job import Operation
from turnsketch.part.knurl_places import knurl_of
from turnsketch.part.knurls import Knurl
from turnsketch.part.outline_records import ResolvedKnurl
from turnsketch.plan_records import KnurlSetting
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.route import Mover
from turnsketch.planning.stage import made_here
from turnsketch.shop.knurl_shapes import tool_knurl
from turnsketch.shop.records import Tool

__all__ = ["SHOULDER_MM", "knurls_here", "plan_knurl", "pressed_depth"]

SHOULDER_MM: Final = 0.5
"""Wheels keep so much from a shoulder, so that they do not climb it (common practice)."""

_SAME: Final = 1e-6


def knurls_here(ctx: Context, operation: Operation | None = None) -> tuple[ResolvedKnurl, ...]:
    """Return the knurls that this setup makes, front first.

    Parameters
    ----------
    operation : Operation, optional
        Its sections, when it names some, are the only ones.
    """
    wanted = None if operation is None else operation.sections
    found = [
        k
        for k in ctx.part.knurls
        if made_here(ctx, (k.front_z + k.back_z) / 2) and (wanted is None or k.section in wanted)
    ]
    return tuple(sorted(found, key=lambda k: -k.front_z))


def pressed_depth(knurl: Knurl) -> float:
    """Return how deep the wheels' points go under the blank's surface, mm on radius.

    The height of the profile, t / 2 cot(angle / 2), less what the surface grows.
    """
    height = knurl.pitch / 2 / math.tan(math.radians(knurl.angle_deg) / 2)
    return max(height - knurl.growth / 2, 0.0)


def plan_knurl(
    ctx: Context, operation: Operation, state: State, where: str
) -> tuple[list[DraftPass], State]:
    """Return two passes for each knurl that the wheels fit: there, and back without taking off.

    No pass where the tool has other wheels, metal stands over the blank's size, or the wheels do
    not get between the shoulders.
    """
    shape = ctx.shape(operation.tool, where)
    passes: list[DraftPass] = []
    if shape.tool.kind != "knurl":
        return passes, state
    mover = Mover.of(ctx, shape, CHORD_FINE)
    for place in knurls_here(ctx, operation):
        if tool_knurl(shape.tool).designation != place.text:
            continue
        made = _passes(ctx, shape.tool, mover, place, state)
        if made:
            passes += made
            state = State(state.remaining, made[-1].end, shape.tool.number)
    return passes, state


def _passes(
    ctx: Context, tool: Tool, mover: Mover, place: ResolvedKnurl, state: State
) -> list[DraftPass]:
    r = ctx.sections[place.section].front.r
    span = _span(ctx, tool, mover, place, state)
    if span is None:
        return []
    first, last = (Point(z, r) for z in span)
    above = Point(first.z, ctx.out_radius(r))
    way = mover.route(state.position, above, state.remaining)
    if way is None or not mover.holder_free([above, first, last], state.remaining):
        return []
    lead, home = [position(p) for p in way], [position(above), *_home(ctx, mover, above, state)]
    if abs(last.z - first.z) < _SAME:
        alone = [*lead, cut(first, "keep metal"), *home]
        return [_draft(tool, place, state.position, alone, first=True, last=True)]
    there = [*lead, position(first), cut(last, "keep metal")]
    begun = _draft(tool, place, state.position, there, first=True, last=False)
    by_hand = last.z + ctx.shop.clearances.power_until
    begun = replace(begun, power_until=by_hand if by_hand < first.z else None)
    back = [cut(first, "keep metal"), *home]
    return [begun, _draft(tool, place, begun.end, back, first=False, last=True)]


def _home(ctx: Context, mover: Mover, above: Point, state: State) -> list[DraftMove]:
    """Return the way back in front of the work, where it is free along Z."""
    home = Point(ctx.return_z, above.r)
    free = abs(home.z - above.z) > _SAME and mover.free([above, home], state.remaining)
    return [position(home)] if free else []


def _span(
    ctx: Context, tool: Tool, mover: Mover, place: ResolvedKnurl, state: State
) -> tuple[float, float] | None:
    """Return where the reference begins and ends; None where the wheels do not get in.

    They begin with half their width on the work, or behind a higher shoulder in front; they end
    level with the section, or short of a shoulder. Wheels wider than the section press in one
    place, over an end without a shoulder.
    """
    r, wide = ctx.sections[place.section].front.r, tool.width_mm
    left = {"left": 0.0, "centre": -0.5, "right": -1.0}[tool.reference] * wide

    def free(z: float) -> bool:
        return mover.free([Point(z, ctx.clear_r), Point(z, r)], state.remaining)

    begin, end = place.front_z - left, place.back_z - left
    firsts = [ctx.rough_z(begin - wide / 2), ctx.rough_z_back(begin - SHOULDER_MM - wide)]
    lasts = [ctx.rough_z(end), ctx.rough_z(end + SHOULDER_MM)]
    first = next((z for z in firsts if free(z)), None)
    last = next((z for z in lasts if free(z)), None)
    if first is None or last is None:
        return None
    if last > first:
        if firsts[0] != first and lasts[0] != last:
            return None
        first = last = last if firsts[0] == first else first
    way = [Point(first, r), Point(last, r)]
    return (first, last) if mover.free(way, state.remaining) else None


def _draft(
    tool: Tool,
    place: ResolvedKnurl,
    start: Point,
    moves: list[DraftMove],
    *,
    first: bool,
    last: bool,
) -> DraftPass:
    return DraftPass(
        tool=tool.number,
        start=start,
        moves=tuple(moves),
        surface=f"knurl {place.text}",
        direction="plunge" if first and last else "turn",
        depth=0.0,
        speed_diameter=place.over.nominal,
        section=place.section,
        notes=("the figure is the touch: press in as K says",) if first else ("wheels stay in",),
        knurl=KnurlSetting(
            text=place.text,
            blank_mm=place.blank.aim,
            pressed_x_mm=place.blank.aim - 2 * pressed_depth(knurl_of(place)),
            lower_mm=place.over.lower,
            upper_mm=place.over.upper,
            first=first,
            last=last,
        ),
    )
