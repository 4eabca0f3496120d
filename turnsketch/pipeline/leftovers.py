"""Why metal stays: for each left-over that the replay saw, its cause and what would reach it.

A point is covered by a tool somewhere exactly when the tool turned through 180 degrees about that
point meets the allowed positions; the same question with fewer restraints tells which restraint
is to blame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import msgspec
import numpy as np
import shapely
from shapely import Polygon, box
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.records import LeftRegion, Replay
from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point, mirrored_in_z, reversed_chain
from turnsketch.geometry.minkowski import component_at, no_go
from turnsketch.pipeline.bore_leftovers import bore_at, told_in_bore
from turnsketch.pipeline.groove_left import groove_at, groove_cause, groove_makers
from turnsketch.pipeline.left_split import cusps_apart
from turnsketch.plan_records import Finished, LeftOver
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.space import Space, allowed_space
from turnsketch.planning.steady import STEADY
from turnsketch.shop.tool_pieces import Piece
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import from_mm

__all__ = ["explained"]

_NEAR_JAWS_MM = 60.0
"""Metal further than this from the jaws is not kept by them."""

_PLACES = 24
"""So many places of a left-over are tried before it is said that a pass could have gone there."""

_MUCH = 0.2
"""Share of those places that must be out of reach for that to be the reason."""

_SURE = ("cusp", "extra length", "jaws")
"""Causes that hold in a groove, too."""

_BEYOND_MM = 0.5
"""What stays so near behind a setup's end is a corner of what it makes."""

_SAME = 1e-3
_INSIDE = 0.03
"""Share of the nose radius by which a tool must cover a place to reach it: the deepest place of a
left-over lies on the very edge that the nose drew."""


def explained(works: Sequence[Planned], replayed: Replay) -> Finished:
    """Return the finished part with a reason and a remedy on every left-over.

    Parameters
    ----------
    works : sequence of Planned
        All setups in order; places stand in the last one's frame.
    """
    finished = replayed.finished
    if not replayed.left_over:
        return finished
    judge = _Judge.of(works)
    pairs = zip(finished.left_over, replayed.left_over, strict=True)
    told = tuple(
        _explained(works, judge, *piece)
        for left, region in pairs
        for piece in judge.apart(left, region)
    )
    return msgspec.structs.replace(finished, left_over=told)


def _explained(
    works: Sequence[Planned], judge: _Judge, left: LeftOver, region: LeftRegion
) -> LeftOver:
    place = Point(region.place.z - judge.ctx.zero, region.place.r)
    if _nobody_makes(works, judge.ctx, sum(left.z) / 2 - judge.ctx.zero):
        return msgspec.structs.replace(
            left,
            cause="no setup",
            reason="no setup makes it: each ends in front of it",
            remedy="name its section in a setup that reaches it, or add a setup for it",
        )
    seen = None if groove_at(judge.ctx.part, place) else bore_at(works, place)
    told = judge.explain(left, region) if seen is None else told_in_bore(left, seen)
    if told.cause == "jaws" and any(o.name == STEADY for o in judge.ctx.held.obstacles):
        return msgspec.structs.replace(
            told,
            reason="the steady rest (or the jaws) is in the way",
            remedy="make it in a setup without the steady rest, or move it",
        )
    return told


def _nobody_makes(works: Sequence[Planned], last: Context, z: float) -> bool:
    """Return whether every setup ends in front of a place, told in the last one's part frame."""
    for planned in works:
        ctx = planned.ctx
        here = z if ctx.setup.turned == last.setup.turned else -ctx.part.total_length - z
        if ctx.limit_z is None or here > ctx.limit_z - _BEYOND_MM:
            return False
    return True


@dataclass(frozen=True)
class _Judge:
    """Asks what keeps the finishing tools out of a place."""

    ctx: Context
    solid: BaseGeometry
    finishers: tuple[tuple[ToolShape, Space], ...]
    steps: tuple[tuple[float, float, float], ...]
    """Step tables: lowest z, highest z, cusp."""
    makers: Mapping[str, ToolShape]
    """The tool that makes each groove, by its label."""

    @classmethod
    def of(cls, works: Sequence[Planned]) -> _Judge:
        last = works[-1]
        steps = tuple(
            (*_stretch(planned.ctx, last.ctx, [p.z for p in d.step_places]), d.steps.cusp)
            for planned in works
            for d in planned.passes
            if d.steps is not None and d.step_places and d.last_on_surface
        )
        finishers = tuple(pair for planned in works for pair in _finishers(planned, last.ctx))
        return cls(last.ctx, _solid(last), finishers, steps, groove_makers(works))

    def apart(self, left: LeftOver, region: LeftRegion) -> list[tuple[LeftOver, LeftRegion]]:
        """Return a left-over in pieces, the cusps of step tables apart from what is higher."""
        zero = self.ctx.zero
        tables = [(low + zero, high + zero, cusp) for low, high, cusp in self.steps]
        pieces = cusps_apart(region, translate(self.solid, zero), tables)
        if len(pieces) == 1:
            return [(left, region)]
        return [
            (
                msgspec.structs.replace(
                    left, volume_mm3=one.volume_mm3, z=one.z, height_mm=one.height_mm
                ),
                one,
            )
            for one in pieces
        ]

    def explain(self, left: LeftOver, region: LeftRegion) -> LeftOver:
        """Return `left` with its cause in words, and the remedy."""
        place = Point(region.place.z - self.ctx.zero, region.place.r)
        cause, reason, remedy, fillet = self._cause(left, place)
        groove = groove_at(self.ctx.part, place) if cause not in _SURE else None
        if groove is not None:
            allowed = self.ctx.part.inside_corner_mm
            told = groove_cause(groove, self.makers, left.height_mm, allowed, self.ctx.units)
            cause, reason, remedy, fillet = told or (cause, reason, remedy, fillet)
        hidden = self._out_of_reach(region) if cause == "not planned" else None
        if hidden is not None:
            cause, reason, remedy, fillet = self._cause(left, hidden)
        return msgspec.structs.replace(
            left, cause=cause, reason=reason, remedy=remedy, fillet_mm=fillet
        )

    def _out_of_reach(self, region: LeftRegion) -> Point | None:
        """Return a place inside a left-over that no finishing tool covers, if much of it is so.

        Its highest place may well be in reach while its foot is not; but a foot that a nose keeps
        is not why a whole bar stands.
        """
        nose = max((shape.nose_radius for shape, _ in self.finishers), default=0.0)
        shell = Polygon([(p.z - self.ctx.zero, p.r) for p in region.rings[0]])
        inner = shell.buffer(-2 * _INSIDE * max(nose, 0.1))
        corners = shapely.get_coordinates(inner)
        places = [Point(z, r) for z, r in corners[:: max(1, len(corners) // _PLACES)].tolist()]
        hidden = [
            place
            for place in places
            if not any(_covers(shape, space.allowed, place) for shape, space in self.finishers)
        ]
        return hidden[0] if len(hidden) > _MUCH * len(places) else None

    def _cause(self, left: LeftOver, place: Point) -> tuple[str, str, str, float | None]:
        if place.z > _SAME and self.ctx.extra_front > _SAME:
            reason = "the length that carries the centre hole stays in front of the finished face"
            return "extra length", reason, "face it off in another setup, the centre back", None
        reach = 3 * max((shape.nose_radius for shape, _ in self.finishers), default=0.0)
        for low, high, cusp in self.steps:
            inside = low - reach <= place.z <= high + reach
            if inside and left.height_mm <= 2 * cusp + 1e-3:
                return "cusp", "cusps of the step table", "file them off to the gauge", None
        if not self.finishers:
            return "not planned", "no operation finishes it", "add a finishing operation", None
        if self._behind_jaws(place):
            return "jaws", "the jaws are in the way", "let the blank stick out further", None
        for shape, space in self.finishers:
            fillet = left.height_mm <= shape.nose_radius
            if fillet and _on_the_edge(shape, space.allowed, place):
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
        if self._nose_alone(shape, place):
            reason = "the tool's edges and holder do not let its nose get there"
            return "edge angle", reason, self._other(place), None
        return self._nose(shape, place)

    def _nose(self, shape: ToolShape, place: Point) -> tuple[str, str, str, float | None]:
        radius = shape.nose_radius
        shown = f"{from_mm(radius, self.ctx.units):.3g}"
        reason = f"the nose of T{shape.tool.number} (R{shown}) stays in the inside corner"
        allowed = self.ctx.part.inside_corner_mm
        if allowed is not None and radius <= allowed + 1e-9:
            return "nose", reason, "nothing to do: the print allows it", radius
        return "nose", reason, self._other(place, shape.tool.number), radius

    def _other(self, place: Point, number: int | None = None) -> str:
        """Return which tool of the shop file reaches `place`, other than one that does not."""
        used = {s.tool.number for s, _ in self.finishers} if number is None else {number}
        for other, shape in sorted(self.ctx.shapes.items()):
            if other in used or shape.tool.kind not in ("turning", "round"):
                continue
            space = allowed_space(self.ctx, shape, self.solid, -shape.nose_radius)
            if _covers(shape, space.allowed, place):
                return f"T{other} ({shape.tool.name}) reaches it"
        return "no tool of the shop file reaches it: ask whether the print allows it to stay"

    def _behind_jaws(self, place: Point) -> bool:
        """Return whether a tool would get there if only the jaws were not."""
        if place.z > self.ctx.held.jaw_face + _NEAR_JAWS_MM:
            return False
        if any(_covers(shape, space.allowed, place) for shape, space in self.finishers):
            return False
        for shape, _ in self.finishers:
            blocked = [no_go(self.solid, piece.ring(CHORD_ROUGH)) for piece in shape.pieces]
            if _covers(shape, _outside(self.ctx, blocked), place):
                return True
        return False

    def _nose_alone(self, shape: ToolShape, place: Point) -> bool:
        """Return whether a disc of the nose's radius could stand over `place`."""
        radius = max(shape.nose_radius, 0.01)
        angles = np.linspace(0.0, 2 * np.pi, 90, endpoint=False)
        disc = [Point(radius * float(np.cos(a)), radius * float(np.sin(a))) for a in angles]
        free = _outside(self.ctx, [no_go(self.solid, disc)])
        turned = Polygon([(place.z - p.z, place.r - p.r) for p in disc])
        return bool(turned.buffer(-_INSIDE * radius).intersects(free))


def _solid(planned: Planned) -> BaseGeometry:
    """Return what must stand in a setup."""
    held = planned.ctx.held
    keep = keep_of(planned.outline, held, planned.overrun)
    return keep_region(keep.elements, held, CHORD_ROUGH)


def _stretch(ctx: Context, last: Context, places: Sequence[float]) -> tuple[float, float]:
    """Return the least and the greatest of some z, told in the last setup's part frame."""
    if ctx.setup.turned != last.setup.turned:
        places = [-ctx.part.total_length - z for z in places]
    return min(places), max(places)


def _seen_from(
    last: Context, ctx: Context, shape: ToolShape, space: Space
) -> tuple[ToolShape, Space]:
    """Return a tool and its space as they stand in the last setup's part frame."""
    if ctx.setup.turned == last.setup.turned:
        return shape, space
    length = ctx.part.total_length

    def turn(region: BaseGeometry) -> BaseGeometry:
        return shapely.transform(region, lambda xy: xy * (-1.0, 1.0) - (length, 0.0))

    pieces = tuple(
        Piece(p.name, p.cuts, reversed_chain(tuple(mirrored_in_z(e) for e in p.outline)))
        for p in shape.pieces
    )
    safe = Point(-length - space.safe.z, space.safe.r)
    return ToolShape(shape.tool, pieces), Space(turn(space.allowed), turn(space.pockets), safe)


def _finishers(planned: Planned, last: Context) -> list[tuple[ToolShape, Space]]:
    """Return the tools that finish in a setup, else those that rough, and where they may be."""
    ctx, solid = planned.ctx, _solid(planned)
    kinds = {s.operation.kind for s in planned.steps}
    kind = "finish" if "finish" in kinds else "rough"
    numbers = [s.operation.tool for s in planned.steps if s.operation.kind == kind]
    shapes = [ctx.shapes[n] for n in dict.fromkeys(numbers) if n is not None]
    return [_seen_from(last, ctx, s, allowed_space(ctx, s, solid, -s.nose_radius)) for s in shapes]


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
