"""The passes that make one groove with one tool, in the order in which a lathe hand cuts them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Element, Point, moved
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedGroove
from turnsketch.plan_records import PathSize, StepTable
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.groove_space import GrooveSpace
from turnsketch.planning.route import Mover
from turnsketch.planning.steps_pass import cusp_limit
from turnsketch.readings.moves import Rounder
from turnsketch.readings.steps import StepTool, step_table
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["GrooveMaker"]

_LEAVE_MM = 0.1
"""Left on walls and bottom by the plunges before (common practice: 0.1 to 0.2)."""

_ROUGHED_MM = 0.6
"""A groove that is wider than the tool by less is made from wall to wall without plunges first."""

_OVERLAP = 0.85
"""Plunges stand so many blade widths apart: the ridge between them goes with the next."""

_PAST_MM = 0.05
"""A cut along the bottom stops so far before the allowance on the other wall."""

_OFF_MM = 0.3
"""So far a blade goes off a wall along the bottom before it comes out."""

_ONE_PLACE = 0.02
"""Walls that stand no farther apart than the tool is wide and this are made by one plunge."""

_FULL_PLUNGE = 90.0
_TIP_MM = 0.1
"""Half the width of a nose's lowest place, over which the depth of a plunge is measured."""

_NOTHING_MM2 = 1e-4
"""A step that takes no more area than this is left out."""

_DRAWN_BLADES = ("parting", "inside grooving")


class _NoWayError(Exception):
    """The tool cannot make the groove from where it stands."""


@dataclass
class GrooveMaker:
    """Makes passes one after the other and keeps the metal of the moment."""

    ctx: Context
    operation: Operation
    shape: ToolShape
    groove: ResolvedGroove
    space: GrooveSpace
    state: State
    mover: Mover
    where: str
    out: float
    """Radius at which the tool goes from plunge to plunge."""
    found: list[DraftPass] = field(default_factory=list)

    @classmethod
    def of(
        cls,
        ctx: Context,
        operation: Operation,
        shape: ToolShape,
        groove: ResolvedGroove,
        space: GrooveSpace,
        state: State,
        where: str,
    ) -> GrooveMaker:
        """Return the maker for one groove."""
        mover = Mover.of(ctx, shape)
        low = min(p.z for e in groove.elements for p in (e.start, e.end))
        high = max(p.z for e in groove.elements for p in (e.start, e.end))
        over = shapely.clip_by_rect(state.remaining, low + 0.01, 0.0, high - 0.01, 1e4)
        top = over.bounds[3] if not over.is_empty else groove.elements[0].start.r
        out = min(ctx.clear_r, ctx.out_radius(top))
        return cls(ctx, operation, shape, groove, space, state, mover, where, out)

    def made(self) -> tuple[list[DraftPass], State] | None:
        """Return the passes and the state after them; None when something is in the way."""
        try:
            self._rough()
            flanks = [
                run
                for run in self.space.flanks
                if run not in self._hidden() and sum(e.length for e in run) > _ONE_PLACE
            ]
            falling = [run for run in flanks if run[0].end.r < run[0].start.r]
            rising = [run for run in flanks if run not in falling]
            for run in (*falling, *(rising if self._plunges else ())):
                self._steps(run)
            self._walls_and_bottom()
            # A tool that does not plunge comes to the foot of the far flank along the bottom.
            for run in () if self._plunges else rising:
                self._steps(run)
        except _NoWayError:
            return None
        if not self.found:
            return None
        return self._withdrawn()

    def _withdrawn(self) -> tuple[list[DraftPass], State] | None:
        """Return what was made, the tool clear of the work (out of the bore) after the last pass.

        None where it cannot get there.
        """
        last = self.found[-1]
        way = [Point(last.end.z, self.ctx.clear_r)]
        if self.ctx.axis_r is not None:
            way.append(Point(self.ctx.return_z, self.ctx.clear_r))
        path = [last.end, *way]
        if not self.mover.free(path, self.state.remaining):
            return None
        moves = [position(b) for a, b in pairwise(path) if a.distance(b) > 1e-9]
        self.found[-1] = replace(last, moves=(*last.moves, *moves))
        self.state = replace(self.state, position=path[-1])
        return self.found, self.state

    # The tool

    @property
    def _flat(self) -> float:
        """Length of the tool's cutting end between its corners; 0 for a single nose."""
        tool = self.shape.tool
        if tool.kind in _DRAWN_BLADES:
            return max(0.0, tool.width_mm - 2 * tool.corner_radius_mm)
        return 0.0

    @property
    def _plunges(self) -> bool:
        return self.shape.tool.plunge_angle_deg >= _FULL_PLUNGE

    def _greatest_depth(self) -> float:
        tool = self.shape.tool
        where = f"{self.where}.depth"
        return setting_mm(self.operation.depth, tool.greatest_depth_mm, self.ctx.units, where)

    def _note(self) -> tuple[str, ...]:
        tool = self.shape.tool
        if tool.kind not in _DRAWN_BLADES:
            return ()
        side = "middle" if tool.reference == "centre" else f"{tool.reference} corner"
        return (f"reference: the blade's {side}",)

    # Cuts

    def _rough(self) -> None:
        """Make the plunges that leave a little on walls and bottom."""
        space = self.space
        span = space.high - space.low
        if not self._plunges or span < _ROUGHED_MM:
            return
        first, last = space.enter_high - _LEAVE_MM, space.enter_low + _LEAVE_MM
        step = _OVERLAP * self._flat if self._flat > 0 else 0.9 * self.shape.nose_radius
        count = max(1, math.ceil((first - last) / max(step, 0.1) - 1e-9))
        floor = space.bottom + _LEAVE_MM
        deepest = dict.fromkeys(_even(first, last, count), floor)
        for z, r in deepest.items():
            self._plunge(z, self.ctx.easy_radius(r, r + 0.05, r), last=False)

    def _walls_and_bottom(self) -> None:
        """Cut down both walls to the bottom and along it, or straight down where it just fits."""
        space = self.space
        if space.high - space.low < _ONE_PLACE:
            self._plunge((space.low + space.high) / 2, space.bottom, last=True)
            return
        if not self._plunges:
            self._along(space.high, space.low)
        elif space.high - space.low < _ROUGHED_MM:
            self._plunge(space.enter_high, space.bottom, last=True)
            off = () if self._flat >= space.high - space.low else (space.high,)
            self._plunge(space.enter_low, space.bottom, then=off, last=True)
        else:
            short = space.enter_low + _LEAVE_MM + _PAST_MM
            self._plunge(space.enter_high, space.bottom, then=(short,), last=True)
            off_wall = space.enter_low + _LEAVE_MM + _PAST_MM + _OFF_MM
            back = min(off_wall, space.enter_high)
            self._plunge(space.enter_low, space.bottom, then=(back,), last=True)
        self._under()

    def _plunge(
        self, z: float, r: float, *, then: Sequence[float] = (), last: bool = False
    ) -> None:
        """Add the plunges at `z` down to `r`, level by level; the last one goes on along Z."""
        metal_top = self._metal_over(z, r)
        if metal_top - r < 1e-4 and not then:
            return
        most = self._greatest_depth()
        levels = [r]
        while metal_top - levels[-1] > most + 1e-6:
            levels.append(self.ctx.easy_radius(levels[-1] + 0.9 * most, levels[-1] + most))
        for level in reversed(levels):
            final = level == r
            goals = [Point(z, level), *(Point(way, level) for way in then if final)]
            self._pass(goals, last=last and final, depth=min(most, metal_top - level))
            metal_top = level

    def _metal_over(self, z: float, r: float, metal: BaseGeometry | None = None) -> float:
        """Return how high metal stands over the tool's end at `z`; `r` when none does.

        What it takes beside its end does not count.
        """
        ring = [p for piece in self.shape.cutting for p in piece.ring(1e-3)]
        low, high = min(p.z for p in ring), max(p.z for p in ring)
        if self._flat == 0.0:
            middle = next(p.z for p in ring if abs(p.r) < 1e-9)
            low, high = middle - _TIP_MM, middle + _TIP_MM
        standing = self.state.remaining if metal is None else metal
        band = shapely.clip_by_rect(standing, z + low + 0.005, r + 1e-5, z + high - 0.005, self.out)
        return r if band.is_empty else float(band.bounds[3])

    def _along(self, start: float, end: float) -> None:
        """Add the cut along the bottom of a tool that does not plunge."""
        bottom = self.space.bottom
        depth = max(self._metal_over(start, bottom), self._metal_over(end, bottom)) - bottom
        # Back the way it came: the shoulder may still have its allowance.
        moves = [cut(Point(start, bottom), "aim"), cut(Point(end, bottom), "aim")]
        moves.append(position(Point(start, bottom)))
        self._add(moves, Point(start, bottom), last=True, depth=max(depth, 0.0))

    def _hidden(self) -> list[tuple[Element, ...]]:
        """Return the flanks that run on into an overhang: the tool comes to them from below."""
        space = self.space
        ends = [p for run in space.overhangs for e in run for p in (e.start, e.end)]
        return [
            run
            for run in space.flanks
            if any(p.distance(q) < 1e-6 for p in (run[0].start, run[-1].end) for q in ends)
        ]

    def _under(self) -> None:
        """Feed the tool along Z under a shoulder, from the bottom up."""
        space = self.space
        if not space.overhangs:
            return
        run = [e for part in (*self._hidden(), *space.overhangs) for e in part]
        upward = sorted(run, key=lambda e: min(e.start.r, e.end.r))
        front = upward[0].start.z > (space.low + space.high) / 2
        clear = space.enter_high if front else space.enter_low
        ends = [Point(space.high if front else space.low, space.bottom), *self._stations(upward)]
        here = Point(clear, space.bottom)
        moves = [cut(here, "aim")]
        for end in ends:
            level = Point(clear, end.r)
            if level.distance(here) > 1e-9:
                moves.append(position(level))
            if end.distance(level) > 1e-3:
                moves += [cut(end), position(level)]
            here = level
        depth = max(abs(end.z - clear) for end in ends)
        words = ("under the shoulder: X stands, feed in Z",)
        self._add(moves, Point(clear, space.bottom), last=True, depth=depth, notes=words)

    def _stations(self, run: Sequence[Element]) -> list[Point]:
        """Return places along an overhang, close enough for the cusp, upward."""
        nose = max(self.shape.nose_radius, 0.05)
        limit = min(cusp_limit(self.ctx, self.operation, self.where), nose)
        step = 2 * math.sqrt(limit * (2 * nose - limit))
        places: list[Point] = []
        for element in run:
            upward = element if element.end.r > element.start.r else element.reverse()
            count = max(1, math.ceil(upward.length / step))
            places += [upward.at(i / count) for i in range(1, count + 1)]
        return places

    def _steps(self, run: Sequence[Element]) -> None:
        """Cut a slant or a round in steps, from the surface down."""
        rising = run[0].end.r >= run[0].start.r
        points = self._step_places(run)
        if points is None:
            raise _NoWayError
        places, table = points
        ordered = places[::-1] if rising else places
        needed, depth = self._cutting(ordered)
        if not needed:
            return
        moves: list[DraftMove] = []
        for place in needed:
            moves += [position(Point(place.z, self.out)), cut(place, "keep metal")]
            moves.append(position(Point(place.z, self.out)))
        self._add(moves[1:], needed[0], last=True, depth=depth, steps=table, places=tuple(needed))

    def _step_places(self, run: Sequence[Element]) -> tuple[tuple[Point, ...], StepTable] | None:
        ctx, tool = self.ctx, self.shape.tool
        stepping = StepTool(
            self.shape.nose_radius,
            "left" if tool.hand == "left" else "right",
            math.radians(tool.end_edge_angle_deg),
        )
        shifted = [moved(element, Point(ctx.zero, 0.0)) for element in run]
        limit = cusp_limit(ctx, self.operation, self.where)
        rounder = Rounder.of(ctx.lathe.readout, ctx.units)
        try:
            made = step_table(shifted, stepping, limit, rounder, free_front=False)
        except InputError:
            return None
        return tuple(Point(p.z - ctx.zero, p.r) for p in made.read), made.table

    def _cutting(self, places: Sequence[Point]) -> tuple[list[Point], float]:
        """Return the steps that cut anything, and how deep the deepest of them cuts."""
        metal, deepest, found = self.state.remaining, 0.0, list[Point]()
        for place in places:
            swept = self.mover.removed([Point(place.z, self.out), place])
            if metal.intersection(swept).area < _NOTHING_MM2:
                continue
            found.append(place)
            deepest = max(deepest, self._metal_over(place.z, place.r, metal) - place.r)
            metal = metal.difference(swept)
        return found, deepest

    # Passes

    def _pass(self, goals: Sequence[Point], *, last: bool, depth: float) -> None:
        modes = "aim" if last else "keep metal"
        moves = [cut(goals[0], modes)]  # type: ignore[arg-type]
        moves += [cut(goal, modes) for goal in goals[1:]]  # type: ignore[arg-type]
        self._add(moves, goals[0], last=last, depth=depth)

    def _add(
        self,
        cuts: Sequence[DraftMove],
        first: Point,
        *,
        last: bool,
        depth: float,
        steps: StepTable | None = None,
        places: tuple[Point, ...] = (),
        notes: tuple[str, ...] = (),
    ) -> None:
        """Add a pass: the way over `first`, the cuts, and out again."""
        ctx, mover = self.ctx, self.mover
        top = Point(first.z, self.out)
        way = mover.route(self.state.position, top, self.state.remaining)
        if way is None:
            raise _NoWayError
        here, metal = self._cleared(top, cuts)
        end = Point(here.z, self.out)
        if not mover.free([here, end], metal):
            raise _NoWayError
        back = [] if here.distance(end) < 1e-9 else [position(end)]
        self.found.append(
            DraftPass(
                tool=self.shape.tool.number,
                start=self.state.position,
                moves=(*(position(p) for p in way), *cuts, *back),
                surface=self.groove.label,
                direction="steps" if steps is not None else "plunge",
                depth=depth,
                speed_diameter=2 * min(self.out, ctx.held.radius),
                last_on_surface=last,
                size=self._size() if last and steps is None else None,
                notes=(*self._note(), *notes),
                means="steps" if steps is not None else "wheels",
                steps=steps,
                step_places=places,
            )
        )
        self.state = State(metal, end, self.shape.tool.number)

    def _cleared(self, here: Point, cuts: Sequence[DraftMove]) -> tuple[Point, BaseGeometry]:
        """Return where the cuts end and the metal after them; no way where they do any harm."""
        mover, metal = self.mover, self.state.remaining
        for draft in cuts:
            stretch = [here, draft.move.to]
            if draft.move.kind == "position" and not mover.free(stretch, metal):
                raise _NoWayError
            if draft.move.kind == "cut":
                if not mover.free(stretch, self.space.solid):
                    raise _NoWayError
                metal = clean(metal.difference(mover.removed(stretch)))
                if not mover.holder_free(stretch, metal):
                    raise _NoWayError
            here = draft.move.to
        return here, metal

    def _size(self) -> PathSize | None:
        size, bottom = self.groove.diameter, self.space.bottom
        if self.ctx.axis_r is not None:
            bottom = self.ctx.axis_r - bottom
        if abs(2 * bottom - size.aim) > 1e-6:
            return None
        return PathSize(size.aim, size.lower, size.upper)


def _even(first: float, last: float, count: int) -> list[float]:
    return [first + (last - first) * i / count for i in range(count + 1)]
