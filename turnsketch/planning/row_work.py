"""What every row of one finishing operation shares."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, SectionInfo
from turnsketch.planning.context import Context
from turnsketch.planning.keep import Keep, keep_region
from turnsketch.planning.rough_depth import greatest_depth
from turnsketch.planning.route import Mover
from turnsketch.planning.rows import Row
from turnsketch.shop.tool_shape import ToolShape

__all__ = [
    "DEEP",
    "LAST_MM",
    "NOTHING_MM",
    "SAMPLES",
    "SHORT_MM",
    "SHOULDER_MM",
    "RowWork",
    "even_points",
    "part_of",
]

NOTHING_MM = 0.002
"""A row whose cut is thinner than this on the average is left out: the surface is there already."""

LAST_MM = 0.3
"""What the cuts before leave for the last one, in X on radius."""

SHORT_MM = 0.05
"""A cut before the last one along a cylinder stops so far before the shoulder at least."""

DEEP = 3.3
"""Metal that stands higher than so many cuts over a surface is not for finishing: it waits until a
roughing tool has been there."""

SHOULDER_MM = 1.0
"""Length in front of a shoulder that does not count for how high metal stands over a taper."""

SAMPLES = 48
"""Stretches into which a taper or arc is divided to see where metal stands over it."""


@dataclass(frozen=True)
class RowWork:
    """One tool finishing in one setup, and what must stand."""

    ctx: Context
    operation: Operation
    shape: ToolShape
    mover: Mover
    outline: Outline
    solid: BaseGeometry
    """What must stand: part, neck and bar."""
    where: str

    @classmethod
    def of(
        cls,
        ctx: Context,
        operation: Operation,
        shape: ToolShape,
        keep: Keep,
        outline: Outline,
        where: str,
    ) -> RowWork:
        """Return what the rows of one finishing operation share."""
        solid = keep_region(keep.elements, ctx.held, CHORD_FINE)
        mover = Mover.of(ctx, shape, CHORD_FINE)
        return cls(ctx, operation, shape, mover, outline, solid, where)

    def greatest_depth(self) -> float:
        """Return the depth that tool, setting and lathe allow in one cut, on radius."""
        return greatest_depth(self.ctx, self.operation, self.shape, self.where)

    def section_of(self, row: Row) -> SectionInfo | None:
        """Return the section that a row makes; None for a face."""
        if row.source is None:
            return None
        number = self.outline.elements[row.source].section
        return None if number is None else self.ctx.sections.get(number)

    def label(self, row: Row, section: SectionInfo | None) -> str:
        """Return how a row's surface is called."""
        if section is not None:
            return section.label
        return "shoulder" if row.direction == "face" else "neck"


def even_points(element: Element) -> list[Point]:
    """Return points along an element, close enough for judging what stands over it."""
    return [element.at(i / SAMPLES) for i in range(SAMPLES + 1)]


def part_of(element: Element, first: float, last: float) -> Element:
    """Return the stretch of an element between two shares of its length."""
    if isinstance(element, Line):
        return Line(element.at(first), element.at(last))
    return Arc(element.at(first), element.at(last), element.centre, element.turn)
