"""Why metal stays: for each left-over that the replay saw, its cause and what would reach it.

A point is covered by a tool somewhere exactly when the tool turned through 180 degrees about that
point meets the allowed positions; the same question with fewer restraints tells which restraint
is to blame.
"""

from __future__ import annotations

from dataclasses import dataclass

import msgspec
import numpy as np
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.records import LeftRegion, Replay
from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import component_at, no_go
from turnsketch.plan_records import Finished, LeftOver
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.space import Space, allowed_space
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import from_mm

__all__ = ["explained"]

_INSIDE = 0.03
"""Share of the nose radius by which a tool must cover a place to reach it: the deepest place of a
left-over lies on the very edge that the nose drew."""


def explained(ctx: Context, planned: Planned, replayed: Replay) -> Finished:
    """Return the finished part with a reason and a remedy on every left-over."""
    finished = replayed.finished
    if not replayed.left_over:
        return finished
    judge = _Judge.of(ctx, planned)
    pairs = zip(finished.left_over, replayed.left_over, strict=True)
    told = tuple(judge.explain(left, region) for left, region in pairs)
    return msgspec.structs.replace(finished, left_over=told)


@dataclass(frozen=True)
class _Judge:
    """Asks what keeps the finishing tools out of a place."""

    ctx: Context
    solid: BaseGeometry
    finishers: tuple[tuple[ToolShape, Space], ...]
    steps: tuple[tuple[float, float, float], ...]
    """Step tables: lowest z, highest z, cusp."""

    @classmethod
    def of(cls, ctx: Context, planned: Planned) -> _Judge:
        keep = keep_of(planned.outline, ctx.held, planned.overrun)
        solid = keep_region(keep.elements, ctx.held, CHORD_ROUGH)
        numbers = [s.operation.tool for s in planned.steps if s.operation.kind == "finish"]
        numbers = numbers or [
            s.operation.tool for s in planned.steps if s.operation.kind == "rough"
        ]
        shapes = [ctx.shapes[n] for n in dict.fromkeys(numbers) if n is not None]
        steps = tuple(
            (min(p.z for p in d.step_places), max(p.z for p in d.step_places), d.steps.cusp)
            for d in planned.passes
            if d.steps is not None and d.step_places
        )
        finishers = tuple((s, allowed_space(ctx, s, solid, -s.nose_radius)) for s in shapes)
        return cls(ctx, solid, finishers, steps)

    def explain(self, left: LeftOver, region: LeftRegion) -> LeftOver:
        """Return `left` with its cause in words, and the remedy."""
        place = Point(region.place.z - self.ctx.zero, region.place.r)
        cause, reason, remedy, fillet = self._cause(left, place)
        return msgspec.structs.replace(
            left, cause=cause, reason=reason, remedy=remedy, fillet_mm=fillet
        )

    def _cause(self, left: LeftOver, place: Point) -> tuple[str, str, str, float | None]:
        reach = 3 * max((shape.nose_radius for shape, _ in self.finishers), default=0.0)
        for low, high, cusp in self.steps:
            inside = low - reach <= place.z - self.ctx.zero <= high + reach
            if inside and left.height_mm <= 2 * cusp + 1e-3:
                return "cusp", "cusps of the step table", "file them off to the gauge", None
        if not self.finishers:
            return "not planned", "no operation finishes it", "add a finishing operation", None
        for shape, space in self.finishers:
            if _on_the_edge(shape, space.allowed, place):
                return self._nose(shape, place)
        if any(_covers(shape, space.allowed, place) for shape, space in self.finishers):
            return (
                "not planned",
                "no pass of the plan goes there, though its tool could",
                "look at the findings of the finishing operations, or add one for this section",
                None,
            )
        if any(_covers(shape, space.pockets, place) for shape, space in self.finishers):
            return "no way in", "the tool fits there but has no way in", self._other(place), None
        shape = min((s for s, _ in self.finishers), key=lambda s: s.nose_radius)
        if self._free_of_jaws(shape, place):
            return "jaws", "the jaws are in the way", "let the blank stick out further", None
        if self._nose_alone(shape, place):
            reason = "the tool's edges and holder do not let its nose get there"
            return "edge angle", reason, self._other(place), None
        return self._nose(shape, place)

    def _nose(self, shape: ToolShape, place: Point) -> tuple[str, str, str, float | None]:
        radius = shape.nose_radius
        shown = f"{from_mm(radius, self.ctx.units):.3g}"
        reason = f"the nose of T{shape.tool.number} (R{shown}) stays in the inside corner"
        return "nose", reason, self._other(place, shape.tool.number), radius

    def _other(self, place: Point, number: int | None = None) -> str:
        """Return which tool of the shop file reaches `place`, other than one that does not."""
        used = {s.tool.number for s, _ in self.finishers} if number is None else {number}
        for other, shape in sorted(self.ctx.shapes.items()):
            if other in used or shape.tool.kind in ("chamfer", "form"):
                continue
            space = allowed_space(self.ctx, shape, self.solid, -shape.nose_radius)
            if _covers(shape, space.allowed, place):
                return f"T{other} ({shape.tool.name}) reaches it"
        return "no tool of the shop file reaches it: ask whether the print allows it to stay"

    def _free_of_jaws(self, shape: ToolShape, place: Point) -> bool:
        blocked = [no_go(self.solid, piece.ring(CHORD_ROUGH)) for piece in shape.pieces]
        return _covers(shape, _outside(self.ctx, blocked), place)

    def _nose_alone(self, shape: ToolShape, place: Point) -> bool:
        """Return whether a disc of the nose's radius could stand over `place`."""
        radius = max(shape.nose_radius, 0.01)
        angles = np.linspace(0.0, 2 * np.pi, 90, endpoint=False)
        disc = [Point(radius * float(np.cos(a)), radius * float(np.sin(a))) for a in angles]
        free = _outside(self.ctx, [no_go(self.solid, disc)])
        turned = Polygon([(place.z - p.z, place.r - p.r) for p in disc])
        return bool(turned.buffer(-_INSIDE * radius).intersects(free))


def _outside(ctx: Context, blocked: list[BaseGeometry]) -> BaseGeometry:
    window = box(ctx.held.back - 50.0, -5.0, ctx.held.raw_front + 60.0, ctx.clear_r + 60.0)
    free: BaseGeometry = window
    for shape in blocked:
        free = free.difference(shape)
    return component_at(free, Point(ctx.held.raw_front + 20.0, ctx.clear_r + 20.0))


def _on_the_edge(shape: ToolShape, allowed: BaseGeometry, place: Point) -> bool:
    """Return whether the tool's reach ends just at `place`: its nose drew what stands there."""
    return _covers(shape, allowed, place, 0.02) and not _covers(shape, allowed, place)


def _covers(
    shape: ToolShape, allowed: BaseGeometry, place: Point, more: float | None = None
) -> bool:
    """Return whether a cutting piece at some allowed position covers `place`.

    Parameters
    ----------
    more : float, optional
        How much larger the tool counts; default: a little smaller than it is.
    """
    grow = -_INSIDE * max(shape.nose_radius, 0.1) if more is None else more
    if allowed.is_empty:
        return False
    for piece in shape.cutting:
        turned = Polygon([(place.z - p.z, place.r - p.r) for p in piece.ring(CHORD_ROUGH)])
        if turned.buffer(grow).intersects(allowed):
            return True
    return False
