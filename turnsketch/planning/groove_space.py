"""Where the reference of a grooving tool may be while it makes one groove.

As everywhere the answer is the edge of the no-go region. A blade may be exactly as wide as the
groove: then the way in has no width, so the part is taken a hair smaller (`FIT_MM`, well within
what the replay lets pass) and the places that are found are moved back by as much.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Element, Line, Point
from turnsketch.geometry.minkowski import component_at, no_go
from turnsketch.part.outline_records import Outline, ResolvedGroove
from turnsketch.planning.context import Context
from turnsketch.planning.finish import finish_path
from turnsketch.planning.keep import Keep, keep_of, keep_region
from turnsketch.planning.space import (
    holder_blocked,
    section_near_axis,
    slice_at,
    upright_slice,
)
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["FIT_MM", "GrooveSpace", "groove_metal", "groove_space"]

FIT_MM: Final = 5e-5
_JUST_ABOVE: Final = 1e-6
_LEVEL: Final = 1e-7
_ENOUGH: Final = 0.75
"""A tool that comes down less than this share of the depth does not make the groove."""


@dataclass(frozen=True)
class GrooveSpace:
    """Places of one tool's reference in one groove, part frame."""

    keep: Keep
    solid: BaseGeometry
    """What must stand, with the groove in it."""
    bottom: float
    """Lowest r."""
    low: float
    high: float
    """Least and greatest z on the bottom: the back and the front wall."""
    enter_low: float
    enter_high: float
    """The same as far as the tool comes straight down on it."""
    flanks: tuple[tuple[Element, ...], ...]
    """Runs of the path along slants and rounds, front to back: falling ones and rising ones."""
    overhangs: tuple[tuple[Element, ...], ...]
    """Runs of the path that the tool reaches from the bottom alone, upward."""


def groove_metal(ctx: Context, outline: Outline, grooved: Outline, overrun: float) -> BaseGeometry:
    """Return the metal between the outline without and with its groove."""
    whole = keep_region(keep_of(outline, ctx.held, overrun).elements, ctx.held, CHORD_FINE)
    cut = keep_region(keep_of(grooved, ctx.held, overrun).elements, ctx.held, CHORD_FINE)
    return whole.difference(cut)


def groove_space(
    ctx: Context,
    shape: ToolShape,
    groove: ResolvedGroove,
    grooved: Outline,
    metal: BaseGeometry,
    overrun: float,
) -> GrooveSpace | None:
    """Return where a tool may be in a groove; None when it does not come down into it.

    Parameters
    ----------
    grooved : Outline
        What must stand, the groove cut.
    metal : polygonal geometry
        What lies in the groove, from `groove_metal`.
    """
    keep = keep_of(grooved, ctx.held, overrun)
    solid = keep_region(keep.elements, ctx.held, CHORD_FINE)
    allowed = _allowed(ctx, shape, solid, metal)
    shallow = metal.buffer(-10 * FIT_MM)
    busy = shapely.union_all([no_go(shallow, p.ring(CHORD_FINE)) for p in shape.cutting])
    pocket = allowed.intersection(busy)
    if pocket.is_empty:
        return None
    _, deepest, _, surface = metal.bounds
    raw = float(pocket.bounds[1])
    if surface - raw < _ENOUGH * (surface - deepest):
        return None
    bottom = raw + FIT_MM
    aimed = _bottom(ctx, groove, deepest)
    if abs(bottom - aimed) < 4 * FIT_MM:
        bottom = aimed
    low, high = _along_bottom(pocket, allowed, raw)
    enter = _from_above(allowed, raw, low, high)
    if enter is None:
        return None
    slanting = any(not _upright_or_level(e) for e in groove.elements)
    flanks, overhangs = _runs(ctx, shape, keep, grooved) if slanting else ((), ())
    return GrooveSpace(keep, solid, bottom, low, high, *enter, flanks, overhangs)


def _bottom(ctx: Context, groove: ResolvedGroove, deepest: float) -> float:
    """Return r of the bottom as it is aimed at, where the section shows it so."""
    aimed = groove.diameter.aim / 2
    if ctx.axis_r is not None:
        aimed = ctx.axis_r - aimed
    return aimed if abs(aimed - deepest) < 1e-3 else deepest


def _allowed(
    ctx: Context, shape: ToolShape, solid: BaseGeometry, metal: BaseGeometry
) -> BaseGeometry:
    """Return the reference positions that are reached from above the groove."""
    slim = solid.buffer(-FIT_MM, join_style="mitre")
    near = section_near_axis(ctx, slim, -shape.nose_radius)
    blocked = [no_go(near, piece.ring(CHORD_FINE)) for piece in shape.cutting]
    blocked.append(holder_blocked(ctx, shape, near))
    back, bottom, front, _ = metal.bounds
    wide = max(b - a for a, b in (_z_range(p.ring(CHORD_FINE)) for p in shape.cutting)) + 2.0
    high = ctx.clear_r + (1.0 if ctx.axis_r is None else 0.0)
    window = box(back - wide, bottom - 1.0, front + wide, high + 0.1)
    free = window.difference(shapely.union_all(blocked))
    for share in (0.5, 0.25, 0.75, 0.0, 1.0):
        above = Point(back - wide + 0.1 + share * (front - back + 2 * wide - 0.2), high)
        allowed = component_at(free, above)
        if not allowed.is_empty:
            return allowed
    return Polygon()


def _z_range(ring: Sequence[Point]) -> tuple[float, float]:
    return min(p.z for p in ring), max(p.z for p in ring)


def _along_bottom(pocket: BaseGeometry, allowed: BaseGeometry, raw: float) -> tuple[float, float]:
    """Return the least and the greatest z of the reference on the bottom."""
    on_it = [p for p in shapely.get_coordinates(pocket).tolist() if p[1] < raw + _JUST_ABOVE]
    at = on_it[0][0]
    spans = slice_at(allowed, raw + _JUST_ABOVE, at - 1e3, at + 1e3)
    holding = [s for s in spans if s[0] - 1e-3 <= at <= s[1] + 1e-3]
    low, high = holding[0] if holding else (at, at)
    if high - low <= 4 * FIT_MM:
        return (low + high) / 2, (low + high) / 2
    return low + FIT_MM, high - FIT_MM


def _from_above(
    allowed: BaseGeometry, raw: float, low: float, high: float
) -> tuple[float, float] | None:
    """Return the stretch of the bottom onto which the tool comes straight down; None: nowhere."""

    def open_at(z: float) -> bool:
        spans = upright_slice(allowed, z)
        return bool(spans) and spans[0][0] <= raw + 4 * FIT_MM

    if low == high:
        return (low, high) if open_at(low) else None
    inner = [low + (high - low) * share for share in (0.5, 0.25, 0.75, 0.1, 0.9, 0.0, 1.0)]
    seed = next((z for z in inner if open_at(z)), None)
    if seed is None:
        return None
    return _edge(open_at, seed, low), _edge(open_at, seed, high)


def _edge(open_at: Callable[[float], bool], good: float, bad: float) -> float:
    if open_at(bad):
        return bad
    while abs(good - bad) > 1e-4:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if open_at(middle) else (good, middle)
    return good


def _runs(
    ctx: Context, shape: ToolShape, keep: Keep, grooved: Outline
) -> tuple[tuple[tuple[Element, ...], ...], tuple[tuple[Element, ...], ...]]:
    """Return the runs of the exact path along slants and rounds of grooves: flanks, overhangs."""
    try:
        path = finish_path(ctx, shape, keep)
    except InputError:
        return (), ()
    making = ("nose", "corner")
    flanks: list[list[Element]] = []
    overhangs: list[list[Element]] = []
    last: Point | None = None
    for element in path.elements:
        source = None if element.source is None else keep.sources[element.source]
        made = source is not None and grooved.elements[source].role == "groove"
        if not made or element.contact not in making or _upright_or_level(element.shape):
            continue
        hangs = element.shape.end.z > element.shape.start.z + _LEVEL
        runs = overhangs if hangs else flanks
        goes_on = last is not None and last.distance(element.shape.start) < 1e-6
        if goes_on and runs and runs[-1][-1].end.distance(element.shape.start) < 1e-6:
            runs[-1].append(element.shape)
        else:
            runs.append([element.shape])
        last = element.shape.end
    sides = [side for run in flanks for side in _sides(run)]
    return tuple(sides), tuple(tuple(run) for run in overhangs)


def _sides(run: Sequence[Element]) -> list[tuple[Element, ...]]:
    """Return the falling and the rising part of a run, those that there are."""
    falling = tuple(e for e in run if e.end.r < e.start.r)
    rising = tuple(e for e in run if e.end.r >= e.start.r)
    return [side for side in (falling, rising) if side]


def _upright_or_level(shape: Element) -> bool:
    if not isinstance(shape, Line):
        return False
    return abs(shape.start.r - shape.end.r) < _LEVEL or abs(shape.start.z - shape.end.z) < _LEVEL
