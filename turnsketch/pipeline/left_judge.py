"""What keeps the tools of a plan from a place: nose, edges, shank, jaws, or no pass at all.

A point is covered by a tool somewhere exactly when the tool turned through 180 degrees about that
point meets the allowed positions; the same question with fewer restraints tells which restraint
is to blame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import msgspec
import numpy as np
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.records import LeftRegion
from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import no_go, polygons
from turnsketch.pipeline.centre_in_way import kept_out_by_centre
from turnsketch.pipeline.groove_left import groove_at, groove_cause, groove_makers
from turnsketch.pipeline.left_split import cusps_apart
from turnsketch.pipeline.shank_reach import Shanks, room_for_shank
from turnsketch.pipeline.tool_reach import (
    SMALLER,
    covers,
    finishing_tools,
    free_places,
    on_the_edge,
    turning_tools,
    what_stands,
)
from turnsketch.plan_records import LeftOver
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.space import Space, allowed_space
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import from_mm

__all__ = ["Judge"]

_NEAR_JAWS_MM = 60.0
"""Metal further than this from the jaws is not kept by them."""

_PLACES = 24
"""So many places of a left-over are tried before it is said that a pass could have gone there."""

_MUCH = 0.2
"""Share of those places that must be out of reach for that to be the reason."""

_SURE = ("cusp", "extra length", "jaws")
"""Causes that hold in a groove, too."""

_DEEP_MM = 1.0
"""Less than that is no matter of a shank."""

_THICK = 0.25
"""Where a left-over is thick: so much of its height inside it."""

_SAME = 1e-3


@dataclass(frozen=True)
class Judge:
    """Asks what keeps the finishing tools out of a place."""

    ctx: Context
    solid: BaseGeometry
    finishers: tuple[tuple[ToolShape, Space], ...]
    steps: tuple[tuple[float, float, float], ...]
    """Step tables: lowest z, highest z, cusp."""
    makers: Mapping[str, ToolShape]
    """The tool that makes each groove, by its label."""
    works: tuple[Planned, ...]

    @classmethod
    def of(cls, works: Sequence[Planned]) -> Judge:
        """Return the judge of all setups in order; places stand in the last one's part frame."""
        last = works[-1]
        steps = tuple(
            (*_stretch(planned.ctx, last.ctx, [p.z for p in d.step_places]), d.steps.cusp)
            for planned in works
            for d in planned.passes
            if d.steps is not None and d.step_places and d.last_on_surface
        )
        finishers = tuple(pair for planned in works for pair in finishing_tools(planned, last.ctx))
        return cls(
            last.ctx, what_stands(last), finishers, steps, groove_makers(works), tuple(works)
        )

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

    @cached_property
    def turning(self) -> list[tuple[ToolShape, Space]]:
        """The turning tools of all setups, each with where it may be."""
        return [pair for work in self.works for pair in turning_tools(work, self.ctx)]

    @cached_property
    def shanks(self) -> Shanks:
        """Where the plan's tools may be beside what they leave."""
        return self._with()

    def explain(self, left: LeftOver, region: LeftRegion) -> LeftOver:
        """Return `left` with its cause in words, and the remedy."""
        place = Point(region.place.z - self.ctx.zero, region.place.r)
        cause, reason, remedy, fillet = self._cause(left, place)
        groove = groove_at(self.ctx.part, place) if cause not in _SURE else None
        if groove is not None:
            allowed = self.ctx.part.inside_corner_mm
            size = left.height_mm, left.z[1] - left.z[0]
            told = groove_cause(groove, self.makers, size, allowed, self.ctx.units)
            cause, reason, remedy, fillet = told or (cause, reason, remedy, fillet)
        hidden = self._out_of_reach(region) if cause == "not planned" else None
        if hidden is not None:
            cause, reason, remedy, fillet = self._cause(left, hidden)
        elif cause == "not planned" and (kept := kept_out_by_centre(*self._seen(region))):
            cause, reason, remedy, fillet = self._centre(kept)
        elif cause == "not planned":
            under = self._under_shanks(left, region)
            if under is not None:
                cause, reason, remedy, fillet = self._beside_shank(left, under)
        return msgspec.structs.replace(
            left, cause=cause, reason=reason, remedy=remedy, fillet_mm=fillet
        )

    def _seen(self, region: LeftRegion) -> tuple[Sequence[Planned], Context, Point]:
        """Return the works, and the lowest place of a left-over."""
        shell = [Point(p.z - self.ctx.zero, p.r) for p in region.rings[0]]
        return self.works, self.ctx, min(shell, key=lambda p: p.r)

    def _centre(self, kept: Sequence[int]) -> tuple[str, str, str, float | None]:
        names = " and ".join(f"T{n}" for n in kept)
        reason = f"the tailstock centre keeps {names} from coming in at the front end"
        remedy = "take a half centre or a slimmer point, or turn it in a setup without the centre"
        return "centre", reason, remedy, None

    def _out_of_reach(self, region: LeftRegion) -> Point | None:
        """Return a place inside a left-over that no finishing tool covers, if much of it is so.

        Its highest place may well be in reach while its foot is not; but a foot that a nose keeps
        is not why a whole bar stands.
        """
        nose = max((shape.nose_radius for shape, _ in self.finishers), default=0.0)
        places = self._inside(region, 2 * SMALLER * max(nose, 0.1))
        hidden = [
            place
            for place in places
            if not any(covers(shape, space.allowed, place) for shape, space in self.finishers)
        ]
        return hidden[0] if len(hidden) > _MUCH * len(places) else None

    def _under_shanks(self, left: LeftOver, region: LeftRegion) -> Point | None:
        """Return a place where a left-over is thick and shanks keep the tools from much of it."""
        if left.height_mm < _DEEP_MM:
            return None
        places = self._inside(region, left.height_mm * _THICK)
        hidden = [place for place in places if not self.shanks.cover(place)]
        return min(hidden, key=lambda p: p.r) if len(hidden) > _MUCH * len(places) else None

    def _inside(self, region: LeftRegion, depth: float) -> list[Point]:
        """Return places spread evenly along a left-over, `depth` inside it."""
        shell = Polygon([(p.z - self.ctx.zero, p.r) for p in region.rings[0]])
        rings = [piece.exterior for piece in polygons(shell.buffer(-depth))]
        apart = max(sum(ring.length for ring in rings) / _PLACES, 1e-3)
        spots = [
            ring.interpolate(apart * (i + 0.5))
            for ring in rings
            for i in range(int(ring.length / apart + 0.5))
        ]
        return [Point(spot.x, spot.y) for spot in spots]

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
            if fillet and on_the_edge(shape, space.allowed, place):
                return self._nose(shape, place)
        if any(covers(shape, space.allowed, place) for shape, space in self.finishers):
            return (
                "not planned",
                "no pass of the plan goes there, though its tool could",
                "look at the findings of the finishing operations, or add one for this section",
                None,
            )
        if any(covers(shape, space.pockets, place) for shape, space in self.finishers):
            return "no way in", "the tool fits there but has no way in", self._other(place), None
        shape = min((s for s, _ in self.finishers), key=lambda s: s.nose_radius)
        if self._nose_alone(shape, place):
            if left.height_mm >= _DEEP_MM and self._edges_alone(place):
                return self._shank(place)
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

    def _edges_alone(self, place: Point) -> bool:
        """Return whether a finishing tool would get there if it had no shank."""
        for shape, _ in self.finishers:
            blocked = [no_go(self.solid, piece.ring(CHORD_ROUGH)) for piece in shape.cutting]
            if covers(shape, free_places(self.ctx, blocked), place):
                return True
        return False

    def _beside_shank(self, left: LeftOver, place: Point) -> tuple[str, str, str, float | None]:
        """Return why no tool gets to `place`, which lies under a shank or behind the jaws."""
        near = any(covers(shape, space.allowed, place) for shape, space in self.finishers)
        return self._shank(place) if near else self._cause(left, place)

    def _shank(self, place: Point) -> tuple[str, str, str, float | None]:
        names = " and ".join(f"T{n}" for n in sorted({s.tool.number for s, _ in self.finishers}))
        reason = f"the shank of {names} would touch a wall, or metal beside it that no edge takes"
        other = self._other(place, beside=True)
        needed = room_for_shank(self.ctx, self.solid, place)
        remedy = f"{other}: {needed} would" if other.startswith("no tool") else other
        return "shank", reason, remedy, None

    def _other(self, place: Point, number: int | None = None, *, beside: bool = False) -> str:
        """Return which tool of the shop file reaches `place`, other than one that does not.

        `beside`: its shank clears what it and the plan's tools leave, too.
        """
        used = {s.tool.number for s, _ in self.finishers} if number is None else {number}
        for other, shape in sorted(self.ctx.shapes.items()):
            if other in used or shape.tool.kind not in ("turning", "round"):
                continue
            space = allowed_space(self.ctx, shape, self.solid, -shape.nose_radius)
            if not covers(shape, space.allowed, place):
                continue
            if beside and not self._with((shape, space)).cover(place):
                continue
            return f"T{other} ({shape.tool.name}) reaches it"
        asked = "" if beside else ": ask whether the print allows it to stay"
        return f"no tool of the shop file reaches it{asked}"

    def _with(self, *more: tuple[ToolShape, Space]) -> Shanks:
        """Return where the plan's tools and others may be beside what they all leave."""
        return Shanks.of(self.ctx, self.solid, (*self.turning, *more))

    def _behind_jaws(self, place: Point) -> bool:
        """Return whether a tool would get there if only the jaws were not."""
        if place.z > self.ctx.held.jaw_face + _NEAR_JAWS_MM:
            return False
        if any(covers(shape, space.allowed, place) for shape, space in self.finishers):
            return False
        for shape, _ in self.finishers:
            blocked = [no_go(self.solid, piece.ring(CHORD_ROUGH)) for piece in shape.pieces]
            if covers(shape, free_places(self.ctx, blocked), place):
                return True
        return False

    def _nose_alone(self, shape: ToolShape, place: Point) -> bool:
        """Return whether a disc of the nose's radius could stand over `place`."""
        radius = max(shape.nose_radius, 0.01)
        angles = np.linspace(0.0, 2 * np.pi, 90, endpoint=False)
        disc = [Point(radius * float(np.cos(a)), radius * float(np.sin(a))) for a in angles]
        free = free_places(self.ctx, [no_go(self.solid, disc)])
        turned = Polygon([(place.z - p.z, place.r - p.r) for p in disc])
        return bool(turned.buffer(-SMALLER * radius).intersects(free))


def _stretch(ctx: Context, last: Context, places: Sequence[float]) -> tuple[float, float]:
    """Return the least and the greatest of some z, told in the last setup's part frame."""
    if ctx.setup.turned != last.setup.turned:
        places = [-ctx.part.total_length - z for z in places]
    return min(places), max(places)
