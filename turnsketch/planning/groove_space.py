"""Where the reference of a grooving tool may be while it makes one groove.

As everywhere the answer is the edge of the no-go region. A blade may be exactly as wide as the
groove: then the way in has no width, so the part is taken a hair smaller (`FIT_MM`, well within
what the replay lets pass) and the places that are found are moved back by as much.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE, CHORD_ROUGH
from turnsketch.geometry.elements import Element, Point
from turnsketch.geometry.minkowski import component_at, no_go
from turnsketch.part.outline_records import Outline, ResolvedGroove
from turnsketch.planning.context import Context
from turnsketch.planning.groove_runs import Reach, groove_runs, upright_or_level
from turnsketch.planning.keep import Keep, keep_of, keep_region
from turnsketch.planning.space import (
    holder_blocked,
    no_go_within,
    section_near_axis,
    slice_at,
    upright_slice,
)
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["FIT_MM", "GrooveSpace", "groove_metal", "groove_space"]

FIT_MM: Final = 5e-5
_JUST_ABOVE: Final = 1e-6
_ENOUGH: Final = 0.75
"""A tool that comes down less than this share of the depth does not make the groove."""

_HURRIED = ("turning", "round", "threading")
"""Tools that have room on their way down, until they are down."""

_HURRY_MM = 0.04


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
    allowed: BaseGeometry
    """Where the reference may be."""

    def level(self, r: float) -> tuple[float, float] | None:
        """Return the least and the greatest z at a height over the bottom; None: no room."""
        middle = (self.enter_low + self.enter_high) / 2
        spans = [s for s in slice_at(self.allowed, r) if s[0] <= middle <= s[1]]
        return (spans[0][0] + FIT_MM, spans[0][1] - FIT_MM) if spans else None


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
    if not _comes_down(shape, solid, metal):
        return None
    reach = Reach.of(ctx, shape, metal)
    allowed, above, blocked = _allowed(ctx, shape, solid, reach)
    shallow = metal.buffer(-10 * FIT_MM, join_style="mitre")
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
    slanting = any(not upright_or_level(e) for e in groove.elements)
    runs = groove_runs(shape, keep, grooved, reach, above, blocked) if slanting else ((), ())
    return GrooveSpace(keep, solid, bottom, low, high, *enter, *runs, allowed)


def _comes_down(shape: ToolShape, solid: BaseGeometry, metal: BaseGeometry) -> bool:
    """Return whether a nosed tool can stand far enough down in a groove, looked at in a hurry.

    A tool that is smaller all round is tried at places close together: what it does not get into,
    the tool itself does not.
    """
    back, deepest, front, surface = metal.bounds
    level = surface - _ENOUGH * (surface - deepest)
    if shape.tool.kind not in _HURRIED:
        return True
    count = math.ceil((front - back + 2 * shape.end_width) / _HURRY_MM)
    places = [back - shape.end_width + _HURRY_MM * i for i in range(count + 1)]
    shifts = np.array([(z, level) for z in places])[:, None, :]
    met = np.zeros(len(places), dtype=bool)
    shapely.prepare(solid)
    for piece in shape.cutting:
        small = Polygon(piece.ring(CHORD_ROUGH)).buffer(-_HURRY_MM, join_style="mitre")
        if isinstance(small, Polygon) and not small.is_empty:
            ring = shapely.get_coordinates(small.exterior)[:-1]
            met |= shapely.intersects(solid, shapely.polygons(ring + shifts))
    return not bool(met.all())


def _bottom(ctx: Context, groove: ResolvedGroove, deepest: float) -> float:
    """Return r of the bottom as it is aimed at, where the section shows it so."""
    aimed = groove.diameter.aim / 2
    if ctx.axis_r is not None:
        aimed = ctx.axis_r - aimed
    return aimed if abs(aimed - deepest) < 1e-3 else deepest


def _allowed(
    ctx: Context, shape: ToolShape, solid: BaseGeometry, reach: Reach
) -> tuple[BaseGeometry, Point, BaseGeometry]:
    """Return the reference positions that are reached from above the groove, and from where.

    Beside them stands what the holder forbids.
    """
    slim = reach.near(solid).buffer(-FIT_MM, join_style="mitre")
    near = section_near_axis(ctx, slim, -shape.nose_radius)
    within = reach.window
    cutting = [no_go_within(near, piece.ring(CHORD_FINE), within) for piece in shape.cutting]
    holder = holder_blocked(ctx, shape, near, within)
    free = box(*within).difference(shapely.union_all([*cutting, holder]))
    back, _, front, top = within
    above = Point(front, top)
    for share in (0.5, 0.25, 0.75, 0.0, 1.0):
        above = Point(back + 0.1 + share * (front - back - 0.2), top - 0.1)
        allowed = component_at(free, above)
        if not allowed.is_empty:
            return allowed, above, holder
    return Polygon(), above, holder


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
