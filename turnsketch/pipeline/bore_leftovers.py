"""Why metal stays in a bore: the nose, the bar's reach, its head, or the drill's point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import msgspec

from turnsketch.geometry.elements import Point
from turnsketch.part.outline_records import ResolvedBore
from turnsketch.part.turned import turned_point
from turnsketch.pipeline.bottom_leftovers import after_drills, at_the_bottom
from turnsketch.plan_records import LeftOver
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.shop.records import Tool
from turnsketch.units import from_mm

__all__ = ["bore_at", "told_in_bore"]

_TOUCH = 1e-3
_BORERS = ("bore", "finish bore")
_SPREAD = 1.5
"""What a nose leaves in a corner is not higher than so many noses."""

_Cause = tuple[str, str, str, float | None]


@dataclass(frozen=True)
class _Seen:
    """A bore, the setup that makes it, and a place in that setup's part frame."""

    bore: ResolvedBore
    planned: Planned
    place: Point


def bore_at(works: Sequence[Planned], place: Point) -> _Seen | None:
    """Return the bore in which a place of the last setup's part frame lies; None outside.

    Where setups from both ends see it, one that works in it tells it, from the nearer end.
    """
    last, found = works[-1].ctx, []
    for planned in works[::-1]:
        bore, here = planned.ctx.part.bore, place
        if planned.ctx.setup.turned != last.setup.turned:
            here = turned_point(place, last.part.total_length)
        if bore is not None and _inside(bore, here):
            found.append(_Seen(bore, planned, here))
    return min(found, key=_distance, default=None)


def _distance(seen: _Seen) -> tuple[bool, bool, float]:
    """Return who tells a place best: who works in the bore, then from the nearer end."""
    return not _tools(seen.planned), _at_far_mouth(seen, 0.0), -seen.place.z


def told_in_bore(left: LeftOver, seen: _Seen) -> LeftOver:
    """Return a left-over of a bore with its cause, in words, and the remedy."""
    cause, reason, remedy, fillet = _cause(left, seen)
    return msgspec.structs.replace(
        left, cause=cause, reason=reason, remedy=remedy, fillet_mm=fillet
    )


def _inside(bore: ResolvedBore, place: Point) -> bool:
    """Return whether a place lies in a bore's void or on its wall."""
    for element in bore.aim.elements[1:]:
        low, high = sorted((element.shape.start.z, element.shape.end.z))
        widest = max(element.shape.start.r, element.shape.end.r)
        if low - _TOUCH <= place.z <= high + _TOUCH and place.r <= widest + _TOUCH:
            return True
    return False


def _tools(planned: Planned) -> list[Tool]:
    numbers = [s.operation.tool for s in planned.steps if s.operation.kind in _BORERS and s.passes]
    return [planned.ctx.shapes[n].tool for n in dict.fromkeys(numbers) if n is not None]


def _cause(left: LeftOver, seen: _Seen) -> _Cause:
    ctx = seen.planned.ctx
    if _at_far_mouth(seen, left.z[1] - left.z[0]):
        remedy = "break it from the other end: turn the part around, or by hand with a scraper"
        return "far mouth", "tools do not get at the corner of the bore's far mouth", remedy, None
    if _is_cusp(left, seen):
        remedy = "smooth them with a scraper to the gauge, the spindle stopped"
        return "cusp", "cusps of the step table", remedy, None
    tools = _tools(seen.planned)
    if not tools:
        return after_drills(seen.bore, seen.planned, bottom=_at_bottom(seen))
    finest = min(tools, key=lambda t: t.nose_radius_mm)
    nose = finest.nose_radius_mm
    if left.height_mm <= _SPREAD * nose and not _at_bottom(seen, 2 * nose):
        return _nose(ctx, finest)
    longest = max(tools, key=lambda t: t.length_mm)
    # What is faced off before boring does not stand in the bar's way.
    front = max(0.0, float(seen.planned.steps[-1].remaining.bounds[2]))
    if -seen.place.z > longest.length_mm - front - 1.0:
        shown = f"{from_mm(longest.length_mm, ctx.units):.4g}"
        reason = f"T{longest.number} ({longest.name}) reaches only {shown} into the bore"
        return "reach", reason, "a longer bar, or bore it from the other end", None
    if _at_bottom(seen):
        deep = left.height_mm > nose
        return at_the_bottom(seen.bore, seen.place, finest.number) if deep else _nose(ctx, finest)
    reason = "the bar's head or shank would touch the wall"
    return "holder", reason, "a slimmer bar, or a wider drill before it", None


def _is_cusp(left: LeftOver, seen: _Seen) -> bool:
    """Return whether it is no higher than the cusps of a step table there."""
    tables = (
        (draft, draft.steps.cusp)
        for step in seen.planned.steps
        if step.operation.kind in _BORERS
        for draft in step.passes
        if draft.steps is not None and draft.step_places and draft.last_on_surface
    )
    for draft, cusp in tables:
        room = seen.planned.ctx.shapes[draft.tool].nose_radius * _SPREAD
        low, high = min(p.z for p in draft.step_places), max(p.z for p in draft.step_places)
        if low - room <= seen.place.z <= high + room and left.height_mm <= 2 * cusp + _TOUCH:
            return True
    return False


def _at_far_mouth(seen: _Seen, length: float) -> bool:
    """Return whether what is `length` long lies in the corner at a through bore's far end."""
    far = seen.bore.far_mouth
    if far is None or length > _SPREAD * far.size:
        return False
    return seen.place.z < -seen.bore.depth + far.size + _TOUCH


def _at_bottom(seen: _Seen, room: float = 3.0) -> bool:
    """Return whether the place lies at the bottom of a blind bore."""
    return not seen.bore.through and seen.place.z < -seen.bore.depth + room


def _nose(ctx: Context, tool: Tool) -> _Cause:
    shown = f"{from_mm(tool.nose_radius_mm, ctx.units):.3g}"
    reason = f"the nose of T{tool.number} (R{shown}) stays in the inside corner"
    allowed = ctx.part.inside_corner_mm
    if allowed is not None and tool.nose_radius_mm <= allowed + 1e-9:
        return "nose", reason, "nothing to do: the print allows it", tool.nose_radius_mm
    remedy = "a bar with a smaller nose, or ask whether the print allows it to stay"
    return "nose", reason, remedy, tool.nose_radius_mm
