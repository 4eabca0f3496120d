"""One thread and what cuts it: diameters, infeed, where the tool goes back."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from shapely.geometry.base import BaseGeometry

from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedThread, SectionInfo
from turnsketch.part.thread_record import Thread
from turnsketch.planning.context import Context
from turnsketch.planning.route import Mover
from turnsketch.shop.records import Lathe, Tool
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["FLANK_FEED_DEG", "Work", "flank_feed"]

FLANK_FEED_DEG: Final = 29.5
"""Angle of the top slide from the cross slide's direction: half a degree less than the flank's,
so that the trailing flank is shaved smooth (common practice)."""

_FLANK_FROM_MM: Final = 1.5
"""Coarser threads are fed along the flank: one edge cuts, and the chip has room (common
practice)."""

_BORE_OUT_MM: Final = (0.3, 0.8)


@dataclass(frozen=True)
class Work:
    """One thread and what cuts it."""

    ctx: Context
    operation: Operation
    where: str
    shape: ToolShape
    mover: Mover
    place: ResolvedThread
    thread: Thread
    info: SectionInfo
    solid: BaseGeometry
    """What must stand, but for the threaded surface itself."""
    behind: float = 0.0
    """In a through bore whose end is threaded: so far behind the part the thread may run on, in
    what is parted off."""

    @property
    def tool(self) -> Tool:
        """The threading tool."""
        return self.shape.tool

    @property
    def inside(self) -> bool:
        """Whether it stands in a bore."""
        return self.ctx.axis_r is not None

    def r_of(self, diameter: float) -> float:
        """Return the frame's r of a true diameter."""
        return diameter / 2 if self.ctx.axis_r is None else self.ctx.axis_r - diameter / 2

    @property
    def blank(self) -> float:
        """True diameter before threading."""
        return 2 * abs((self.ctx.axis_r or 0.0) - self.info.front.r)

    @property
    def full_x(self) -> float:
        """True diameter at which this tool's tip stands at full depth."""
        return self.thread.full_depth(self.tool.nose_radius_mm)

    @property
    def flank(self) -> bool:
        """Whether the top slide feeds in along the flank."""
        if self.operation.infeed is not None:
            return self.operation.infeed == "flank" and self.ctx.lathe.top_slide is not None
        return flank_feed(self.ctx.lathe, self.thread)

    @property
    def slide_angle(self) -> float | None:
        """Angle of the top slide from the cross slide's direction, radians; None: straight in."""
        return math.radians(FLANK_FEED_DEG) if self.flank else None

    @property
    def out_r(self) -> float:
        """Return the radius, in the frame, at which the tool goes back."""
        surface = self.info.front.r
        if not self.inside:
            return self.ctx.out_radius(surface)
        least, most = _BORE_OUT_MM
        return self.ctx.easy_radius(surface + least, surface + most)


def flank_feed(lathe: Lathe, thread: Thread) -> bool:
    """Return whether a thread is fed along the flank unless the job says otherwise.

    Right-hand outside threads of more than 1.5 mm pitch are, on a lathe whose top slide swivels
    (common practice).
    """
    plain = not thread.inside and not thread.left_hand
    return plain and lathe.top_slide is not None and thread.pitch > _FLANK_FROM_MM + 1e-9
