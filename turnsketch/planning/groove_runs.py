"""The exact path of a grooving tool along slants and rounds of one groove.

Only the stretch of the outline that the tool can meet while it is in the groove is looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import NoStartError
from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.contact_path import ContactPath, contact_path
from turnsketch.geometry.corner_close import closed_at_corners
from turnsketch.geometry.elements import Element, Line, Point
from turnsketch.part.outline_records import Outline
from turnsketch.planning.context import Context
from turnsketch.planning.keep import Keep
from turnsketch.planning.space import Box, wide_ring
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["Reach", "Runs", "groove_runs", "upright_or_level"]

Runs = tuple[tuple[Element, ...], ...]

_LEVEL = 1e-7
_BESIDE_MM = 2.0
"""The tool's reference goes so much farther than its width to both sides of a groove."""

_BELOW_MM = 1.0


@dataclass(frozen=True)
class Reach:
    """Where a tool's reference is looked for around a groove, and what it meets from there."""

    window: Box
    low: float
    high: float
    """Least and greatest z of what any piece of the tool can meet."""
    cut_low: float
    cut_high: float
    """The same for its cutting pieces."""

    @classmethod
    def of(cls, ctx: Context, shape: ToolShape, metal: BaseGeometry) -> Reach:
        """Return the reach of a tool around the metal in a groove."""
        back, bottom, front, _ = metal.bounds
        cutting = [p.z for piece in shape.cutting for p in piece.ring(CHORD_FINE)]
        rings = [wide_ring(p, ctx.shop.clearances.holder_to_metal) for p in shape.passive]
        every = [*cutting, *(p.z for ring in rings for p in ring)]
        wide = shape.end_width + _BESIDE_MM
        top = ctx.clear_r + (1.0 if ctx.axis_r is None else 0.0) + 0.1
        low, high = back - wide, front + wide
        window = low, bottom - _BELOW_MM, high, top
        room = _BELOW_MM
        return cls(
            window,
            low + min(every) - room,
            high + max(every) + room,
            low + min(cutting) - room,
            high + max(cutting) + room,
        )

    def near(self, body: BaseGeometry) -> BaseGeometry:
        """Return what of a body any piece of the tool can meet."""
        return shapely.clip_by_rect(body, self.low, -1e4, self.high, 1e4)


def groove_runs(
    shape: ToolShape,
    keep: Keep,
    grooved: Outline,
    reach: Reach,
    above: Point,
    blocked: BaseGeometry,
) -> tuple[Runs, Runs]:
    """Return the runs of the path along a groove's slants and rounds: flanks, overhangs.

    Parameters
    ----------
    above : Point
        A place of the reference over the groove, in the air.
    blocked : polygonal geometry
        Where its holder keeps the reference from being.
    """
    try:
        path, first = _path(shape, keep, reach, above, blocked)
    except NoStartError:
        return (), ()
    making = ("nose", "corner")
    flanks: list[list[Element]] = []
    overhangs: list[list[Element]] = []
    last: Point | None = None
    for element in path.elements:
        source = None if element.source is None else keep.sources[first + element.source]
        made = source is not None and grooved.elements[source].role == "groove"
        if not made or element.contact not in making or upright_or_level(element.shape):
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


def _path(
    shape: ToolShape, keep: Keep, reach: Reach, above: Point, blocked: BaseGeometry
) -> tuple[ContactPath, int]:
    """Return the path along what the tool's edges can meet, and the index where that begins."""
    first, last = _stretch(keep, reach)
    elements = keep.elements[first : last + 1]
    path = contact_path(
        elements,
        keep.joins[first:last],
        [piece.outline for piece in shape.cutting],
        above,
        blocked=blocked,
        closing=[Point(elements[-1].end.z, 0.0), Point(elements[0].start.z, 0.0)],
    )
    return closed_at_corners(path), first


def _stretch(keep: Keep, reach: Reach) -> tuple[int, int]:
    """Return the first and the last element that a cutting piece can meet."""
    met = [
        index
        for index, element in enumerate(keep.elements)
        if min(element.start.z, element.end.z) <= reach.cut_high
        and max(element.start.z, element.end.z) >= reach.cut_low
    ]
    return met[0], met[-1]


def _sides(run: Sequence[Element]) -> list[tuple[Element, ...]]:
    """Return the falling and the rising part of a run, those that there are."""
    falling = tuple(e for e in run if e.end.r < e.start.r)
    rising = tuple(e for e in run if e.end.r >= e.start.r)
    return [side for side in (falling, rising) if side]


def upright_or_level(shape: Element) -> bool:
    """Return whether one wheel alone follows an element."""
    if not isinstance(shape, Line):
        return False
    return abs(shape.start.r - shape.end.r) < _LEVEL or abs(shape.start.z - shape.end.z) < _LEVEL
