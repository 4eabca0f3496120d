"""What the passes of one roughing operation share, and how steeply its tool may go into metal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Point
from turnsketch.planning.context import Context
from turnsketch.planning.route import Mover
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["RoughWork", "greatest_slant"]

_BEHIND_DEG = 2.0
"""A tool sinks at so much less than its trailing edge's angle at least: the edge must not rub."""

_LEAST_DEG = 10.0
"""A flatter way in is none: it is longer than most valleys."""


def greatest_slant(tool: Tool) -> float:
    """Return the steepest slant on which a tool may sink into metal, radians from the axis.

    Its record says how steep; the trailing edge, less a margin, is the end of it. 0: it does not.
    """
    angle = tool.plunge_angle_deg
    if tool.kind == "turning":
        angle = min(angle, tool.end_edge_angle_deg - _BEHIND_DEG)
    return math.radians(angle) if angle >= _LEAST_DEG else 0.0


@dataclass(frozen=True)
class RoughWork:
    """What the passes of one roughing operation share."""

    ctx: Context
    shape: ToolShape
    mover: Mover
    allowed: BaseGeometry
    """Where the tool's reference may be."""
    roomy: BaseGeometry
    """The allowed positions with their edge, so that sliding along it counts as inside."""
    cuttable: BaseGeometry
    """Where the reference meets metal."""
    plunges: bool
    """The tool may go straight in."""
    slant: float
    """Steepest way in on a slant, radians from the axis; 0: none."""
    valleys_only: bool
    """Levels that are open to the front are left alone."""
    depth: float
    """What the tool takes in one cut, on radius."""
    step: float
    """+1 when the tool cuts away from the chuck (left hand), else -1."""

    def holder_clears(self, path: Sequence[Point], metal: BaseGeometry) -> bool:
        """Return whether the holder keeps clear of what a way into `metal` leaves beside it."""
        return self.mover.holder_free(path, metal.difference(self.mover.removed(path)))
