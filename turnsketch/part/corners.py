"""A chamfer or a round on the corner between two elements, in closed form.

A round is an arc whose centre lies where the two neighbours, moved sideways by its radius, meet;
its ends are the feet of that centre, so it is tangent to both. A chamfer is a line of known way
``v``; it begins where its front neighbour meets its back neighbour moved by ``-v``. Both hold for
lines and arcs alike. Chamfers follow the convention of prints: axial leg x angle to the axis.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Arc, Element, Line, Point, moved
from turnsketch.geometry.intersect import crossings, foot, fraction_at, offset, turn_between
from turnsketch.part.outline_records import CornerSpec

__all__ = ["SMOOTH_TURN", "CornerCut", "cut_corner", "greatest_size"]

SMOOTH_TURN = 1e-9
"""Two directions that differ by no more than this angle (radians) run on without a kink."""


@dataclass(frozen=True, slots=True)
class CornerCut:
    """A chamfer or round, and how much of its neighbours it takes."""

    shape: Element
    from_before: float
    """Length that the element before it loses at its end."""
    from_after: float
    """Length that the element after it loses at its start."""


def cut_corner(
    before: Element, after: Element, spec: CornerSpec, size: float | None = None
) -> CornerCut | None:
    """Return the chamfer or round of `spec` between two elements that meet in a sharp corner.

    Parameters
    ----------
    before, after : Line or Arc
        Whole elements, `after` begins where `before` ends.
    spec : CornerSpec
        Kind, size and angle.
    size : float, optional
        Size in place of the one in `spec`, in mm.

    Returns
    -------
    CornerCut or None
        None when there is no corner, when nothing of this kind fits between the neighbours, or
        when it would take more than a whole neighbour.
    """
    turn = turn_between(before.end_direction, after.start_direction)
    if abs(turn) <= SMOOTH_TURN or math.pi - abs(turn) <= SMOOTH_TURN:
        return None
    wanted = spec.size if size is None else size
    if wanted <= 0.0:
        return None
    if spec.kind == "round":
        shapes = _rounds(before, after, wanted, turn)
    else:
        shapes = _chamfers(before, after, wanted, spec.angle, turn)
    cuts = [cut for shape in shapes if (cut := _measured(before, after, shape)) is not None]
    return min(cuts, key=lambda cut: cut.from_before + cut.from_after, default=None)


def greatest_size(
    before: Element, after: Element, spec: CornerSpec, room_before: float, room_after: float
) -> tuple[float, CornerCut | None]:
    """Return the greatest size, up to that of `spec`, that takes no more than the room given.

    Parameters
    ----------
    room_before, room_after : float
        Lengths of the two neighbours that the corner may take, in mm.

    Returns
    -------
    tuple of float and CornerCut or None
        The size in mm (0 when nothing fits) and what it takes. Found by halving, to 1e-9 mm.
    """
    least, most = 0.0, spec.size
    best: CornerCut | None = None
    for _ in range(60):
        middle = (least + most) / 2.0
        cut = cut_corner(before, after, spec, middle)
        if cut and cut.from_before <= room_before and cut.from_after <= room_after:
            least, best = middle, cut
        else:
            most = middle
        if most - least < 1e-9:
            break
    return least, best


def _rounds(before: Element, after: Element, radius: float, turn: float) -> list[Element]:
    """Return the arcs of `radius` that touch both carriers on the inner side of the turn."""
    side = math.copysign(radius, turn)
    moved_before, moved_after = offset(before, side), offset(after, side)
    if moved_before is None or moved_after is None:
        return []
    return [
        Arc(foot(before, centre), foot(after, centre), centre, "ccw" if turn > 0.0 else "cw")
        for centre in crossings(moved_before, moved_after)
    ]


def _chamfers(
    before: Element, after: Element, leg: float, angle: float, turn: float
) -> list[Element]:
    """Return the lines of axial length `leg` at `angle` to the axis between both carriers."""
    way = _chamfer_way(before.end_direction, leg, angle, turn)
    if way is None:
        return []
    return [
        Line(start, start.plus(way)) for start in crossings(before, moved(after, way.times(-1.0)))
    ]


def _chamfer_way(arriving: Point, leg: float, angle: float, turn: float) -> Point | None:
    """Return the vector along a chamfer: of the four slopes, the one amid both neighbours."""
    rise = leg * math.tan(angle)
    best: tuple[float, Point] | None = None
    for way in (Point(sz * leg, sr * rise) for sz in (-1.0, 1.0) for sr in (-1.0, 1.0)):
        share = turn_between(arriving, way) / turn
        if not SMOOTH_TURN < share < 1.0 - SMOOTH_TURN:
            continue
        if best is None or abs(share - 0.5) < best[0]:
            best = (abs(share - 0.5), way)
    return None if best is None else best[1]


def _measured(before: Element, after: Element, shape: Element) -> CornerCut | None:
    """Return `shape` with what it takes of both neighbours; None when it lies beyond them."""
    from_before = (1.0 - fraction_at(before, shape.start)) * before.length
    from_after = fraction_at(after, shape.end) * after.length
    if not 0.0 < from_before <= before.length + EXACT:
        return None
    if not 0.0 < from_after <= after.length + EXACT:
        return None
    if isinstance(shape, Arc) and abs(shape.sweep) > math.pi + SMOOTH_TURN:
        return None
    return CornerCut(shape, from_before, from_after)
