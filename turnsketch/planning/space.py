"""Where a tool's reference point may be while it works on a keep.

Planning happens in the space of readings: the set of reference points at which no piece of the
tool meets the keep, cutting pieces stay clear of jaws and centre, and holders stay clear of all.
Only the component that holds the safe point counts: a pocket without a way in is unreached.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import component_at, full_section, no_go
from turnsketch.planning.context import Context
from turnsketch.shop.tool_shape import Piece, ToolShape

__all__ = [
    "Box",
    "Interval",
    "Space",
    "allowed_space",
    "cuttable",
    "holder_blocked",
    "no_go_within",
    "safe_point",
    "section_near_axis",
    "slice_at",
    "wide_ring",
]

Box = tuple[float, float, float, float]
"""Least z and r, greatest z and r."""

Interval = tuple[float, float]

_MARGIN_MM = 1.0
"""What is left out of an obstacle begins so far from where a piece can meet it."""


@dataclass(frozen=True)
class Space:
    """Allowed positions of one tool for one keep."""

    allowed: BaseGeometry
    """The component that holds the safe point."""
    pockets: BaseGeometry
    """Allowed positions without a way in."""
    safe: Point


def safe_point(ctx: Context) -> Point:
    """Return a place in front of and above everything."""
    return Point(ctx.held.raw_front + 20.0, max(ctx.clear_r, ctx.over_centre_r) + 20.0)


def allowed_space(ctx: Context, shape: ToolShape, keep: BaseGeometry, lowest: float) -> Space:
    """Return the allowed reference positions of `shape`.

    Parameters
    ----------
    keep : polygonal geometry
        Half section of what must still stand after the operation.
    lowest : float
        Smallest r of the reference that matters (negative: beyond the axis).
    """
    near = section_near_axis(ctx, keep, lowest)
    blocked = [no_go(near, piece.ring(CHORD_ROUGH)) for piece in shape.cutting]
    blocked.append(holder_blocked(ctx, shape, near))
    safe = safe_point(ctx)
    window = box(ctx.held.back - 50.0, lowest, safe.z + 30.0, safe.r + 30.0)
    free = window.difference(shapely.union_all(blocked))
    allowed = component_at(free, safe)
    return Space(allowed, free.difference(allowed), safe)


def holder_blocked(
    ctx: Context, shape: ToolShape, near: BaseGeometry, within: Box | None = None
) -> BaseGeometry:
    """Return the reference positions that holder, jaws and centre forbid.

    Parameters
    ----------
    near : polygonal geometry
        What must still stand, from `section_near_axis`; holders keep their clearance to it.
    within : tuple of float, optional
        Least z and r, greatest z and r of the positions that are asked for: what no piece can
        meet from there is left out.
    """
    clear = ctx.shop.clearances
    rings = [wide_ring(piece, clear.holder_to_metal) for piece in shape.passive]
    blocked = [no_go_within(near, ring, within) for ring in rings]
    for pieces, distance in (
        (shape.cutting, clear.cut_to_jaws),
        (shape.passive, clear.holder_to_jaws),
    ):
        obstacles = ctx.held.blocked(distance)
        blocked += [no_go_within(obstacles, p.ring(CHORD_ROUGH), within) for p in pieces]
    return shapely.union_all(blocked)


def no_go_within(obstacle: BaseGeometry, ring: Sequence[Point], within: Box | None) -> BaseGeometry:
    """Return the positions at which a piece overlaps an obstacle; true inside `within` alone."""
    if within is None:
        return no_go(obstacle, ring)
    low, bottom, high, top = within
    zs, rs = [p.z for p in ring], [p.r for p in ring]
    reached = shapely.clip_by_rect(
        obstacle,
        low + min(zs) - _MARGIN_MM,
        bottom + min(rs) - _MARGIN_MM,
        high + max(zs) + _MARGIN_MM,
        top + max(rs) + _MARGIN_MM,
    )
    return Polygon() if reached.is_empty else no_go(reached, ring)


def wide_ring(piece: Piece, room: float) -> list[Point]:
    """Return the corners of a piece grown by `room` all round."""
    shape = Polygon(piece.ring(CHORD_ROUGH)).buffer(room, join_style="mitre")
    return [Point(z, r) for z, r in shapely.get_coordinates(shape.exterior)[:-1].tolist()]


def section_near_axis(ctx: Context, half: BaseGeometry, lowest: float) -> BaseGeometry:
    """Return `half` with as much of its mirror as a tool at r >= `lowest` can meet.

    In a bore that is the wall on the other side.
    """
    if half.is_empty:
        return half
    if ctx.axis_r is not None:
        twice = 2 * ctx.axis_r
        other = shapely.transform(half, lambda xy: xy * (1.0, -1.0) + (0.0, twice))
        return shapely.union_all([half, other])
    low, _, high, top = half.bounds
    deep = max(0.0, -lowest) + 1.0
    return full_section(half).intersection(box(low - 1.0, -min(deep, top), high + 1.0, top + 1.0))


def cuttable(shape: ToolShape, metal: BaseGeometry) -> BaseGeometry:
    """Return the positions at which a cutting piece meets `metal`."""
    return shapely.union_all([no_go(metal, piece.ring(CHORD_ROUGH)) for piece in shape.cutting])


def slice_at(shape: BaseGeometry, r: float, low: float = -1e5, high: float = 1e5) -> list[Interval]:
    """Return the z intervals in which the line at `r` runs inside `shape`, front first."""
    if high - low < 1e-9:
        return []
    line = LineString([(low, r), (high, r)])
    found = shape.intersection(line)
    parts = shapely.get_parts(found)
    spans = [part.bounds for part in parts if part.geom_type == "LineString" and not part.is_empty]
    return sorted(((b[0], b[2]) for b in spans), reverse=True)


def upright_slice(shape: BaseGeometry, z: float) -> list[Interval]:
    """Return the r intervals in which the line at `z` runs inside `shape`, outside first."""
    line = LineString([(z, -1e4), (z, 1e4)])
    parts = shapely.get_parts(shape.intersection(line))
    spans = [part.bounds for part in parts if part.geom_type == "LineString" and not part.is_empty]
    return sorted(((b[1], b[3]) for b in spans), reverse=True)
