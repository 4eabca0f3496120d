"""Room on paper: the scale that fits a figure, and a list that gathers items with margins."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import (
    Anchor,
    Arrow,
    Box,
    DisplayList,
    Fill,
    Item,
    Label,
    Role,
    Stroke,
    text_width_mm,
)

__all__ = ["Figure", "Margins"]


@dataclass(frozen=True, slots=True)
class Margins:
    """Paper millimetres kept around what is drawn, for labels and dimensions."""

    left: float = 1.0
    right: float = 1.0
    top: float = 1.0
    bottom: float = 1.0


@dataclass
class Figure:
    """A picture being built: model box fitted into a width and a height on paper."""

    model: Box
    width_mm: float
    height_mm: float
    margins: Margins
    items: list[Item] = field(default_factory=list)

    @property
    def scale(self) -> float:
        """Millimetres of paper for one of the model: the largest that fits."""
        across = self.width_mm - self.margins.left - self.margins.right
        up = self.height_mm - self.margins.top - self.margins.bottom
        return min(across / max(self.model.width, 1e-9), up / max(self.model.height, 1e-9))

    def paper(self, millimetres: float) -> float:
        """Return paper millimetres in the model's."""
        return millimetres / self.scale

    def add(self, *items: Item) -> None:
        """Put items on top."""
        self.items.extend(items)

    def fill(self, rings: Iterable[tuple[Point, ...]], role: Role, level: float = 0.0) -> None:
        """Fill the area between `rings`; nothing when there are none."""
        kept = tuple(ring for ring in rings if len(ring) >= 3)
        if kept:
            self.add(Fill(kept, role, level))

    def line(self, role: Role, *points: Point) -> None:
        """Draw a polyline."""
        self.add(Stroke(points, role))

    def write(
        self,
        at: Point,
        text: str,
        *,
        role: Role = "text",
        anchor: Anchor = "middle",
        offset: tuple[float, float] = (0.0, 0.0),
        size: float = 3.2,
        bold: bool = False,
        backed: bool = False,
    ) -> None:
        """Write a line of text; `offset` in paper millimetres."""
        self.add(Label(at, text, role, size, anchor, Point(*offset), bold, backed))

    def dimension(
        self, z1: float, z2: float, at_r: float, text: str, from_r: float, *, after: bool = False
    ) -> None:
        """Draw a length between two places along the axis, at height `at_r`, with end lines.

        The end lines come from `from_r`. The text stands in the middle of the line, or beside it
        (left, or right with `after`) when there is no room between the arrow heads.
        """
        low, high = min(z1, z2), max(z1, z2)
        beyond = self.paper(1.2) * (1 if at_r > from_r else -1)
        for z in (low, high):
            self.line("narrow", Point(z, from_r), Point(z, at_r + beyond))
        self.add(Arrow(Point(low, at_r), Point(high, at_r), "narrow", both=True))
        if text_width_mm(text, 3.2) + 7 < (high - low) * self.scale:
            self.write(Point((low + high) / 2, at_r), text, backed=True)
        elif after:
            self.write(Point(high, at_r), text, anchor="start", offset=(3.2, 0.0))
        else:
            self.write(Point(low, at_r), text, anchor="end", offset=(-3.2, 0.0))

    def finished(self, title: str = "") -> DisplayList:
        """Return the picture; its box is the fitted model with the margins."""
        m = self.margins
        low = Point(self.model.low.z - self.paper(m.left), self.model.low.r - self.paper(m.bottom))
        high = Point(self.model.high.z + self.paper(m.right), self.model.high.r + self.paper(m.top))
        return DisplayList(tuple(self.items), self.scale, Box(low, high), title)
