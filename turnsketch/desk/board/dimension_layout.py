"""Where the dimensions go on the board, in pixels; no Qt, so that it can be tested by itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from turnsketch.desk.board.dimension_list import BoardDimension
from turnsketch.desk.board.lanes import Span, Tag, lay_spans, lay_tags, row_count
from turnsketch.desk.board.lens import Lens

__all__ = ["Box", "Layout", "PlacedLength", "PlacedTag", "lay_out"]

_EDGE = 12.0
"""Between a tag and what ends its row, pixels."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels."""

    left: float
    top: float
    width: float
    height: float

    def holds(self, x: float, y: float, margin: float = 0.0) -> bool:
        """Whether a pixel lies inside, or within `margin` of it."""
        across = self.left - margin <= x <= self.left + self.width + margin
        return across and self.top - margin <= y <= self.top + self.height + margin


@dataclass(frozen=True, slots=True)
class PlacedLength:
    """A length: its line, its end lines, its text."""

    dimension: BoardDimension
    low: float
    high: float
    y: float
    from_low: float
    from_high: float
    """Where the end lines begin (y)."""
    box: Box
    outside: bool


@dataclass(frozen=True, slots=True)
class PlacedTag:
    """A text with a leader: the way runs from the part to the text."""

    dimension: BoardDimension
    way: tuple[tuple[float, float], ...]
    box: Box


@dataclass(frozen=True, slots=True)
class Layout:
    """All dimensions, placed."""

    lengths: tuple[PlacedLength, ...] = ()
    tags: tuple[PlacedTag, ...] = ()

    @property
    def placed(self) -> tuple[PlacedTag | PlacedLength, ...]:
        """All of them; what lies on top first."""
        found: list[PlacedTag | PlacedLength] = [*self.tags, *self.lengths]
        return tuple(found)

    def at(self, x: float, y: float) -> BoardDimension | None:
        """Return the dimension whose text lies under a pixel."""
        for placed in self.placed:
            if placed.box.holds(x, y, 3.0):
                return placed.dimension
        return None

    def box_of(self, key: tuple[int | None, str]) -> Box | None:
        """Return where the text of a dimension stands."""
        for placed in self.placed:
            if placed.dimension.key == key:
                return placed.box
        return None


def lay_out(
    dimensions: Sequence[BoardDimension],
    lens: Lens,
    room: Box,
    greatest_r: tuple[float, float],
    jaw_face: float | None,
    width: Callable[[str], float],
    height: float,
) -> Layout:
    """Return the places of all dimensions.

    Parameters
    ----------
    dimensions : sequence of BoardDimension
        What to place.
    lens : Lens
        The board's view.
    room : Box
        Inside of the drawing frame; tags keep to its width.
    greatest_r : tuple of float
        Radius beyond which tags may stand, and beyond which lengths may stand, mm.
    jaw_face : float or None
        Where the jaws end (z, mm); tags stand to the right of it where there is room for them.
    width : callable
        How wide a text runs, pixels.
    height : float
        Height of a line of text, pixels.
    """
    spans = [d for d in dimensions if d.kind == "length"]
    tags = [d for d in dimensions if d.kind == "tag"]
    return Layout(
        _lengths(spans, lens, room, greatest_r[1], width, height),
        _tags(
            tags, lens, _tag_room(tags, lens, room, jaw_face, width), greatest_r[0], width, height
        ),
    )


def _lengths(
    dimensions: Sequence[BoardDimension],
    lens: Lens,
    room: Box,
    beyond_r: float,
    width: Callable[[str], float],
    height: float,
) -> tuple[PlacedLength, ...]:
    """Place lengths on the side of the turned body, lane by lane outward."""
    ends = [sorted((lens.x(d.start.z), lens.x(d.end.z))) for d in dimensions]
    laid = lay_spans(
        [
            Span(low, high, width(d.shown) + 6.0)
            for (low, high), d in zip(ends, dimensions, strict=True)
        ],
        room=(room.left + 4.0, room.left + room.width - 4.0),
    )
    outward = -lens.up
    first = lens.y(-beyond_r) + outward * (height + 12.0)
    placed = []
    for dimension, (low, high), where in zip(dimensions, ends, laid, strict=True):
        y = first + outward * where.lane * (height + 10.0)
        nearer, farther = dimension.start, dimension.end
        if lens.x(nearer.z) > lens.x(farther.z):
            nearer, farther = farther, nearer
        box = Box(where.text_low, y - height / 2, width(dimension.shown) + 6.0, height)
        placed.append(
            PlacedLength(
                dimension,
                low,
                high,
                y,
                lens.y(-nearer.r) + outward * 3.0,
                lens.y(-farther.r) + outward * 3.0,
                box,
                where.outside,
            )
        )
    return tuple(placed)


def _tag_room(
    tags: Sequence[BoardDimension],
    lens: Lens,
    room: Box,
    jaw_face: float | None,
    width: Callable[[str], float],
) -> tuple[float, float]:
    """Return the stretch for tags: right of the jaws, unless that takes more than two rows."""
    low, high = room.left + _EDGE, room.left + room.width - _EDGE
    if jaw_face is None:
        return low, high
    right = lens.x(jaw_face) + _EDGE
    widths = [width(tag.shown) + 6.0 for tag in tags]
    if low < right < high and row_count(widths, high - right) <= 2:
        return right, high
    return low, high


def _tags(
    dimensions: Sequence[BoardDimension],
    lens: Lens,
    room: tuple[float, float],
    beyond_r: float,
    width: Callable[[str], float],
    height: float,
) -> tuple[PlacedTag, ...]:
    """Place tags on the side of the half section, row by row outward."""
    laid = lay_tags(
        [Tag(lens.x(d.start.z), width(d.shown) + 6.0) for d in dimensions],
        *room,
    )
    outward = lens.up
    first = lens.y(beyond_r) + outward * (height + 10.0)
    placed = []
    for dimension, where in zip(dimensions, laid, strict=True):
        y = first + outward * where.row * (height + 8.0)
        way = [(lens.x(dimension.start.z), lens.y(dimension.start.r))]
        for row, x in enumerate(where.way):
            at = first + outward * row * (height + 8.0)
            if row < where.row:
                way += [(x, at - outward * height / 2), (x, at + outward * height / 2)]
            else:
                way.append((x, at - outward * (height / 2 + 1.0)))
        box = Box(where.left, y - height / 2, width(dimension.shown) + 6.0, height)
        placed.append(PlacedTag(dimension, tuple(way), box))
    return tuple(placed)
