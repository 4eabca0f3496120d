"""How much a roughing cut takes and leaves: its depth, the power it may use, the allowances."""

from __future__ import annotations

import math

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from turnsketch.cutting.force import greatest_depth_mm
from turnsketch.cutting.speed import STEP_OVER
from turnsketch.cutting.surface import surface_speed
from turnsketch.job import Operation
from turnsketch.planning.context import Context, setting_mm
from turnsketch.shop.records import Material
from turnsketch.shop.tool_shape import ToolShape

__all__ = [
    "X_ALLOWANCE_MM",
    "Z_ALLOWANCE_MM",
    "depth_met",
    "depth_taken",
    "greatest_depth",
    "shallow_end",
]

X_ALLOWANCE_MM = 0.3
"""Left on radius for the finish (0.6 on diameter; 0.4 to 0.8 is common practice)."""

Z_ALLOWANCE_MM = 0.2
"""Left on shoulders for the finish (common practice)."""

_LEAST_DEPTH_MM = 0.3
"""However weak the lathe, no roughing cut is planned thinner than this."""

_SAME_MM = 0.01

_FACED_MM = 0.5
"""Metal before a shoulder no longer than this along the axis is faced with the cut: it is no depth.
An allowance and what rounding leaves stand there."""

_FINE_MM = 0.01
_STEP_MM = 0.1

_CORNER_MM = 4.0
"""As far from a cut's ends corners may stand, at most: a nose of 3 mm and an allowance."""


def greatest_depth(ctx: Context, operation: Operation, shape: ToolShape, where: str) -> float:
    """Return the radial depth that setting, tool, trainee's limit and the lathe's power allow.

    What the user sets is honoured against the power (a finding says when it is too much).
    """
    tool = shape.tool
    depth = setting_mm(operation.depth, tool.greatest_depth_mm, ctx.units, f"{where}.depth")
    limits = [depth]
    if ctx.shop.limits.greatest_depth_mm is not None:
        limits.append(ctx.shop.limits.greatest_depth_mm)
    if operation.depth is None and ctx.material is not None:
        limits.append(_power_depth(ctx, operation, shape, ctx.material, where))
    return min(limits)


def _power_depth(
    ctx: Context, operation: Operation, shape: ToolShape, material: Material, where: str
) -> float:
    """Return the depth that takes all the lathe's power, a gear step over the wanted speed."""
    tool = shape.tool
    feed = setting_mm(operation.feed, tool.rough_feed_mm, ctx.units, f"{where}.feed")
    speed = operation.surface_speed or surface_speed(material, tool.material, "rough")
    angle = math.radians(tool.edge_angle_deg) if tool.kind == "turning" else math.pi / 2
    depth = greatest_depth_mm(material, ctx.lathe, feed, angle, STEP_OVER * speed)
    return max(_LEAST_DEPTH_MM, math.floor(depth * 20) / 20)


def depth_taken(metal: BaseGeometry, r: float, begin: float, end: float) -> float:
    """Return how far metal stands above `r` between two z values: the depth of the cut."""
    low, high = min(begin, end), max(begin, end)
    # Shoulders and what a round nose left beside them do not count as the depth.
    margin = min(_CORNER_MM, (high - low) / 4)
    low, high = low + margin, high - margin
    strip = shapely.clip_by_rect(metal, low, r, high, r + 1e3)
    return 0.0 if strip.is_empty else float(strip.bounds[3] - r)


def shallow_end(
    metal: BaseGeometry,
    r: float,
    begin: float,
    end: float,
    depth: float,
    faced: float = _FACED_MM,
) -> float:
    """Return how far a cut at `r` goes before metal stands deeper over it than the tool takes.

    So a bar does not run into the cone that a drill's point left.

    Parameters
    ----------
    metal : polygonal geometry
        What stands before it; it lies above `r` where the cut takes it.
    begin, end : float
        z of the cut's ends.
    depth : float
        What the tool takes in one cut, on radius.
    faced : float
        Metal before a shoulder that is no longer than this along the axis does not count.
    """
    deep = _long_slices(metal, r + depth + _SAME_MM, min(begin, end), max(begin, end), faced)
    if not deep:
        return end
    return max(z for _, z in deep) if end < begin else min(z for z, _ in deep)


def depth_met(taken: BaseGeometry, r: float, faced: float = _FACED_MM) -> float:
    """Return the greatest depth of what a cut at `r` takes, wherever along it that is met.

    What is shorter along the axis than a facing cut is thick, `faced`, does not count.
    """
    if taken.is_empty:
        return 0.0
    low, _, high, top = taken.bounds

    def stands(depth: float) -> bool:
        return bool(_long_slices(taken, r + depth, low, high, faced))

    good = float(top) - r
    while good > _FINE_MM and not stands(good - _FINE_MM):
        good -= _STEP_MM
    good = max(good, 0.0)
    bad = good + _STEP_MM
    while bad - good > _FINE_MM:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if stands(middle) else (good, middle)
    return good


def _long_slices(
    shape: BaseGeometry, r: float, low: float, high: float, least: float
) -> list[tuple[float, float]]:
    """Return the z intervals, longer than `least`, in which the line at `r` runs in `shape`."""
    if high - low <= least:
        return []
    parts = shapely.get_parts(shape.intersection(LineString([(low, r), (high, r)])))
    spans = [p.bounds for p in parts if p.geom_type == "LineString" and not p.is_empty]
    return [(b[0], b[2]) for b in spans if b[2] - b[0] > least]
