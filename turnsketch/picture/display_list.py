"""One display list for paper, plot and screen: strokes, fills, labels and arrows with roles.

Points are `(z, r)` of the setup in millimetres, z to the right and r up (a figure that shows the
lathe as one stands before it turns r over before it comes here). Everything that belongs to the
paper and not to the part (heights of letters, offsets of labels, arrow heads) is in millimetres of
paper and says so. `DisplayList.scale` says how many millimetres of paper one millimetre takes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, Protocol

from turnsketch.geometry.elements import Point

__all__ = [
    "Anchor",
    "Arrow",
    "Box",
    "DisplayList",
    "Fill",
    "Item",
    "Label",
    "Painter",
    "Role",
    "Spot",
    "Stroke",
    "paint",
    "text_width_mm",
]

Role = Literal[
    "outline",
    "edge",
    "narrow",
    "axis",
    "blank",
    "hatch",
    "part",
    "shade",
    "layer",
    "jaws",
    "tool",
    "holder",
    "path",
    "chosen",
    "danger",
    "text",
    "faint",
    "paper",
]
"""What a thing is; a painter gives it line, colour and dash (see `turnsketch.picture.style`)."""

Anchor = Literal["start", "middle", "end"]


_NOWHERE = Point(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline."""

    points: tuple[Point, ...]
    role: Role
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Fill:
    """An area between rings, even-odd."""

    rings: tuple[tuple[Point, ...], ...]
    role: Role
    level: float = 0.0
    """Place of a layer or a shade between its lightest (0) and its darkest (1) tint."""


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text, centred in height on its place."""

    at: Point
    text: str
    role: Role = "text"
    size_mm: float = 3.2
    """Height of the type on paper (its em, so 3.2 mm is 9 point)."""
    anchor: Anchor = "middle"
    offset_mm: Point = _NOWHERE
    """Paper millimetres, right and up."""
    bold: bool = False
    backed: bool = False
    """Paper is put under it, so that lines do not run through the letters."""


@dataclass(frozen=True, slots=True)
class Arrow:
    """A straight line with an arrow head at its end, or at both ends."""

    start: Point
    end: Point
    role: Role = "narrow"
    both: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A small disc that marks a place."""

    at: Point
    role: Role = "chosen"
    size_mm: float = 1.6
    """Diameter on paper."""


Item = Stroke | Fill | Label | Arrow | Spot


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in the picture's own millimetres."""

    low: Point
    high: Point

    @property
    def width(self) -> float:
        """Extent along z."""
        return self.high.z - self.low.z

    @property
    def height(self) -> float:
        """Extent along r."""
        return self.high.r - self.low.r


@dataclass(frozen=True, slots=True)
class DisplayList:
    """A picture: its items from back to front, and its scale."""

    items: tuple[Item, ...]
    scale: float
    """Millimetres of paper for one millimetre of the picture."""
    box: Box
    """What the picture takes, labels included, in its own millimetres."""
    title: str = ""

    @property
    def width_mm(self) -> float:
        """Width on paper."""
        return self.box.width * self.scale

    @property
    def height_mm(self) -> float:
        """Height on paper."""
        return self.box.height * self.scale

    def texts(self) -> tuple[str, ...]:
        """Return every text of the picture, in order."""
        return tuple(item.text for item in self.items if isinstance(item, Label))


class Painter(Protocol):
    """What takes a picture: a PDF page, a plot, a screen, or a recorder in tests."""

    def stroke(self, item: Stroke) -> None:
        """Draw a polyline."""

    def fill(self, item: Fill) -> None:
        """Fill an area."""

    def label(self, item: Label) -> None:
        """Write a line of text."""

    def arrow(self, item: Arrow) -> None:
        """Draw an arrow."""

    def spot(self, item: Spot) -> None:
        """Draw a small disc."""


def paint(items: Iterable[Item], painter: Painter) -> None:
    """Give every item to `painter`, from back to front."""
    for item in items:
        if isinstance(item, Stroke):
            painter.stroke(item)
        elif isinstance(item, Fill):
            painter.fill(item)
        elif isinstance(item, Label):
            painter.label(item)
        elif isinstance(item, Arrow):
            painter.arrow(item)
        else:
            painter.spot(item)


_NARROW = frozenset(" .,:;'|!iljIft()[]")


def text_width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Return about how wide `text` runs on paper in the project's typeface, a little generous.

    Exact widths belong to the painters; this is for finding room (digits are 0.636 em wide in
    DejaVu Sans, which was measured once; bold runs a tenth wider).
    """
    em = sum(0.40 if c in _NARROW else 0.86 if c in "MWmw×−±" else 0.66 for c in text)
    return em * size_mm * (1.1 if bold else 1.0)
