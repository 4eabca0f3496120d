"""From a row of the finishing path to passes: entry, cut, withdrawal, measure stop.

Tapers and arcs that stand further off than the tool takes in one cut are approached in several,
each the same path moved off the surface (common practice for a taper by the top slide).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Arc, Element, Line, Point, moved
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, SectionInfo
from turnsketch.plan_records import PathSize, TaperSetting
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, DraftPass, cut, cut_along, position
from turnsketch.planning.keep import Keep, keep_region
from turnsketch.planning.levels import even_steps
from turnsketch.planning.means import Means, arc_means, taper_way
from turnsketch.planning.measure import measure_stop, wants_two_cuts
from turnsketch.planning.rough import depth_taken
from turnsketch.planning.route import Mover, path_points
from turnsketch.planning.rows import Row, element_kind, half_angle
from turnsketch.planning.steps_pass import step_moves
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["RowMaker"]

_NOTHING_MM = 0.002
"""A row whose cut is thinner than this on the average is left out: the surface is there already."""

_LAST_MM = 0.3
"""What the cuts before leave for the last one along a taper or an arc, in X on radius."""

_WORTH_MM = 0.05
"""The same for a cut before the last one: what is thinner is left to the next."""

_DEEP = 3.3
"""Metal that stands higher than so many cuts over a taper or an arc is not for finishing: it waits
until a roughing tool has been there."""

_FLAT = 0.35
"""Sine of the slope up to which a surface counts as along (or across) the axis."""

_THROUGH_MM = 10.0
"""A level row is begun from the front, through what stands there, if it starts no deeper."""

_SHOULDER_MM = 1.0
"""Length in front of a shoulder that does not count for how high metal stands over a taper."""

_SAMPLES = 48
_Entry = tuple[tuple[Point, ...], list[DraftMove]]


@dataclass(frozen=True)
class RowMaker:
    """Turns rows into passes for one tool."""

    ctx: Context
    operation: Operation
    shape: ToolShape
    mover: Mover
    outline: Outline
    solid: BaseGeometry
    """What must stand: part, neck and bar."""
    where: str

    @classmethod
    def of(
        cls,
        ctx: Context,
        operation: Operation,
        shape: ToolShape,
        keep: Keep,
        outline: Outline,
        where: str,
    ) -> RowMaker:
        """Return the maker for one finishing operation."""
        solid = keep_region(keep.elements, ctx.held, CHORD_ROUGH)
        return cls(ctx, operation, shape, Mover.of(ctx, shape), outline, solid, where)

    def passes(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return the passes for one row (none when it would cut nothing) and what remains."""
        means, taper = self._means(row)
        if means == "steps":
            return self._stepped_row(row, state)
        if row.direction not in ("taper", "arc"):
            return self._turned(row, state, means)
        trimmed = self._trimmed(row, state.remaining)
        if trimmed is None:
            return [], state
        made: list[DraftPass] = []
        away = self._away(trimmed)
        for shift in self._shifts(trimmed, away, state.remaining):
            shifted = tuple(moved(e, away.times(shift)) for e in trimmed.elements)
            outer = replace(trimmed, elements=shifted)
            found, state = self._cut(outer, state, means, taper, last=shift == 0.0)
            made += found
        return made, state

    def _turned(self, row: Row, state: State, means: Means) -> tuple[list[DraftPass], State]:
        """Return the last cut of a cylinder or face; fine tolerances get two equal ones."""
        made: list[DraftPass] = []
        if row.direction == "turn" and wants_two_cuts(self._section(row)):
            first = self._first_of_two(row, state)
            if first is not None:
                made, state = [first[0]], first[1]
        last, state = self._cut(row, state, means, None, last=True)
        return made + last, state

    def _first_of_two(self, row: Row, state: State) -> tuple[DraftPass, State] | None:
        """Return the first of two equal last cuts; the tool goes back along Z alone.

        None when half of what stands is thinner than the tool takes, or there is no way back.
        """
        level = next(e for e in row.elements if element_kind(e) == "turn")
        depth = depth_taken(state.remaining, level.start.r, level.start.z, level.end.z)
        radius = self.ctx.easy_radius(level.start.r + 0.47 * depth, level.start.r + 0.53 * depth)
        if min(radius - level.start.r, depth / 2) < self.shape.tool.thinnest_cut_mm - 0.011:
            return None
        stop = level.end.z if row.elements[-1] is level else self.ctx.rough_z(level.end.z + 0.05)
        line = Line(Point(level.start.z, radius), Point(stop, radius))
        entry = self._entry(Row((line,), "turn", row.source), state)
        if entry is None or entry[1]:
            return None
        way = entry[0]
        home = Point(self.ctx.measure_z, radius)
        path = [way[-1] if way else state.position, line.end]
        metal = clean(state.remaining.difference(self.mover.removed(path)))
        if not self.mover.holder_free(path, metal) or not self.mover.free([line.end, home], metal):
            return None
        moves = [*(position(p) for p in way), cut(line.end, z_mode="keep metal"), position(home)]
        section = self._section(row)
        made = DraftPass(
            tool=self.shape.tool.number,
            start=state.position,
            moves=tuple(moves),
            surface=self._label(row, section),
            section=section.number if section else None,
            direction="turn",
            depth=depth_taken(state.remaining, radius, level.start.z, stop),
            speed_diameter=2 * (level.start.r + depth),
            power_until=stop + self.ctx.shop.clearances.power_until,
            keep_x=True,
            notes=("first of two equal cuts",),
        )
        return made, State(metal, home, self.shape.tool.number)

    def _cut(
        self, row: Row, state: State, means: Means, taper: TaperSetting | None, *, last: bool
    ) -> tuple[list[DraftPass], State]:
        """Return the one pass that follows `row`, if it takes anything and hits nothing."""
        entry = self._entry(row, state)
        if entry is None:
            return [], state
        way, cuts = entry
        here = way[-1] if way else state.position
        cuts = cuts + [cut_along(element) for element in self._run_out(row)]
        path = path_points(here, cuts)
        metal = clean(state.remaining.difference(self.mover.removed(path)))
        taken = state.remaining.area - metal.area
        length = sum(element.length for element in row.elements)
        if taken < (_NOTHING_MM if last else _WORTH_MM) * length:
            return [], state
        if not self.mover.holder_free(path, metal) or not self.mover.clear_of_obstacles(path):
            return [], state
        back = self._way_back(cuts[-1].move.to, metal, element_kind(row.elements[-1]) == "out")
        if back is None:
            return [], state
        moves = [position(p) for p in way] + cuts + [position(p) for p in back]
        made = self._draft(row, state, tuple(moves), (means, taper), taken / length, last=last)
        return [made], State(metal, made.end, self.shape.tool.number)

    def _draft(
        self,
        row: Row,
        state: State,
        moves: tuple[DraftMove, ...],
        way: tuple[Means, TaperSetting | None],
        mean_depth: float,
        *,
        last: bool,
    ) -> DraftPass:
        means, taper = way
        section = self._section(row)
        begin, end = row.elements[0].start, row.elements[-1].end
        ends = [p.r for e in row.elements for p in (e.start, e.end)]
        turned = row.direction == "turn" and section is not None and section.kind == "cylinder"
        level = row.direction == "turn"
        depth = depth_taken(state.remaining, min(ends), begin.z, end.z) if level else mean_depth
        return DraftPass(
            tool=self.shape.tool.number,
            start=state.position,
            moves=moves,
            surface=self._label(row, section),
            section=section.number if section else None,
            direction=row.direction,
            depth=depth,
            speed_diameter=2 * (min(ends) + depth) if level else 2 * max(ends),
            power_until=end.z + self.ctx.shop.clearances.power_until if turned else None,
            last_on_surface=last,
            size=_size(section) if turned else None,
            measure=measure_stop(self.ctx, section, state.remaining) if turned else None,
            taper=taper,
            means=means,
        )

    def _label(self, row: Row, section: SectionInfo | None) -> str:
        if section is not None:
            return section.label
        return "shoulder" if row.direction == "face" else "neck"

    def _section(self, row: Row) -> SectionInfo | None:
        if row.source is None:
            return None
        number = self.outline.elements[row.source].section
        return next((s for s in self.ctx.part.sections if s.number == number), None)

    def _means(self, row: Row) -> tuple[Means, TaperSetting | None]:
        """Return how the row is moved, and the setting for a taper."""
        if row.direction == "arc":
            return arc_means(self.ctx.lathe, self.operation), None
        angle = half_angle(row)
        if angle is None:
            return "wheels", None
        element = row.elements[0]
        length = abs(element.end.z - element.start.z) + self.ctx.shop.clearances.approach
        return taper_way(self.ctx.lathe, angle, length, self.operation)

    def _trimmed(self, row: Row, metal: BaseGeometry) -> Row | None:
        """Return the taper or arc cut down to where metal stands; None when none does."""
        element = row.elements[0]
        shares = [i / _SAMPLES for i in range(_SAMPLES + 1)]
        busy = [s for s in shares if not self.mover.free([element.at(s)], metal)]
        if not busy:
            return None
        # Half a millimetre more at each end, so that the cut blends into what is finished there.
        more = max(1 / _SAMPLES, 0.5 / element.length)
        first, last = max(0.0, busy[0] - more), min(1.0, busy[-1] + more)
        rest = row.elements[1:] if last == 1.0 else ()
        return replace(row, elements=(_part_of(element, first, last), *rest))

    def _away(self, row: Row) -> Point:
        """Return the way off a taper or arc: in X, in Z, or as much in both, by its slope."""
        element = row.elements[0]
        way = element.end.minus(element.start).times(1 / element.start.distance(element.end))
        out = Point(way.r, -way.z)
        if self.shape.tool.hand == "left":
            out = out.times(-1.0)
        if abs(out.z) < _FLAT:
            return Point(0.0, 1.0)
        side = math.copysign(1.0, out.z)
        return Point(side, 0.0) if abs(out.r) < _FLAT else Point(side, 1.0)

    def _shifts(self, row: Row, away: Point, metal: BaseGeometry) -> list[float]:
        """Return how far off each cut along a taper or arc stands, the last one 0."""
        greatest = self.shape.tool.greatest_depth_mm
        path = _even_points(row.elements[0])
        if len(row.elements) > 1:
            # The shoulder behind it stands high over the end, and is faced with the same cut.
            end = row.elements[0].end
            path = [p for p in path if p.distance(end) > _SHOULDER_MM] or path[:1]

        def free(shift: float, solid: BaseGeometry) -> bool:
            return self.mover.free([p.plus(away.times(shift)) for p in path], solid)

        if free(greatest, metal):
            return [0.0]
        height = greatest
        while not free(height, metal):
            height += 0.1
            if height > _DEEP * greatest:
                return []
        # A cut may be a little deeper than the setting where that saves one.
        steps = even_steps(height, _LAST_MM, 1.08 * greatest)
        easy = dict.fromkeys(self._easy_shift(s) for s in steps)
        return [*(s for s in easy if free(s, self.solid)), 0.0]

    def _easy_shift(self, shift: float) -> float:
        """Return `shift` as a whole half millimetre (0.010 in) on the diameter."""
        unit = 0.127 if self.ctx.units == "inch" else 0.25
        return max(unit, round(shift / unit) * unit)

    def _run_out(self, row: Row) -> tuple[Element, ...]:
        """Return the row's elements, a shoulder faced out beyond its corner into the air."""
        last = row.elements[-1]
        if element_kind(last) == "out":
            out = self.ctx.out_radius(last.end.r)
            return (*row.elements[:-1], Line(last.start, Point(last.end.z, out)))
        return row.elements

    def _entry(self, row: Row, state: State) -> _Entry | None:
        """Return the way to the row's first cut and the cuts that lead onto its start."""
        first = row.elements[0]
        start, direction = first.start, first.start_direction
        room = self.ctx.shop.clearances.approach
        if direction.r > 0.7 and start.r <= self.shape.nose_radius:
            # An arc that begins on the axis: come from the front, not from beyond the axis.
            front = Point(max(start.z + room, self.ctx.return_z), start.r)
            if self.mover.free([front, Point(start.z + 0.005, start.r)], state.remaining):
                way = self.mover.route(state.position, front, state.remaining)
                if way is not None:
                    return way, [cut(start, "aim")]
        reach = self.ctx.return_z - start.z
        level = element_kind(first) == "turn" and 0 < reach < 4 * room
        for distance in (reach if level else room, room, 0.5):
            ahead = start.minus(direction.times(distance))
            if self.mover.free([ahead, start.minus(direction.times(0.005))], state.remaining):
                way = self.mover.route(state.position, ahead, state.remaining)
                if way is not None:
                    lead = [] if isinstance(first, Line) else [cut(start, "aim")]
                    return way, lead
        return self._entry_through(row, state) or self._entry_from_above(start, state)

    def _entry_through(self, row: Row, state: State) -> _Entry | None:
        """Return the way to the front of a level row that may cut what stands before its start."""
        start = row.elements[0].start
        front = Point(self.ctx.return_z, start.r)
        reach = front.z - start.z
        near = 0 < reach <= _THROUGH_MM
        if element_kind(row.elements[0]) != "turn" or not near:
            return None
        if not self.mover.free([front, start], self.solid):
            return None
        way = self.mover.route(state.position, front, state.remaining)
        return None if way is None else (way, [])

    def _entry_from_above(self, start: Point, state: State) -> _Entry | None:
        """Return a way down onto `start`: in the air as far as it goes, the rest a cut in X."""
        radius = start.r
        while radius <= self.ctx.clear_r + 1e-9:
            top = Point(start.z, radius)
            if self.mover.free([top, Point(start.z, self.ctx.clear_r)], state.remaining):
                way = self.mover.route(state.position, top, state.remaining)
                if way is not None:
                    return way, [cut(start, "aim")] if radius > start.r else []
            radius += 0.25
        return None

    def _way_back(self, here: Point, metal: BaseGeometry, faced: bool) -> tuple[Point, ...] | None:
        """Return the withdrawal; a shoulder faced out into the air needs no further way out."""
        ctx = self.ctx
        for out in (*((here.r,) if faced else ()), ctx.out_radius(here.r), ctx.clear_r):
            way = (Point(here.z, max(out, here.r)), Point(ctx.return_z, max(out, here.r)))
            if self.mover.free([here, *way], metal):
                return way if way[0] != here else way[1:]
        return self.mover.route(here, Point(ctx.return_z, ctx.clear_r), metal)

    def _stepped_row(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return the shoulder behind the steps, faced first to make room, then the steps."""
        made: list[DraftPass] = []
        if len(row.elements) > 1:
            shoulder = Row(row.elements[1:], "face", row.source)
            made, state = self._cut(shoulder, state, "wheels", None, last=True)
        steps, state = self._stepped(replace(row, elements=row.elements[:1]), state)
        return made + steps, state

    def _stepped(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return one pass that goes down the row's steps, each fed in X at a fixed Z."""
        made = step_moves(
            self.ctx, self.operation, self.shape, self.mover, row.elements, state, self.where
        )
        if made is None:
            return [], state
        moves, places, table, metal, depth = made
        metal = clean(metal)
        mean = (state.remaining.area - metal.area) / row.elements[0].length
        if mean < _NOTHING_MM:
            return [], state
        section = self._section(row)
        draft = DraftPass(
            tool=self.shape.tool.number,
            start=state.position,
            moves=moves,
            surface=self._label(row, section),
            section=section.number if section else None,
            direction="steps",
            depth=max(depth, mean),
            speed_diameter=2 * max(p.r for p in places),
            last_on_surface=True,
            means="steps",
            steps=table,
            step_places=places,
        )
        return [draft], State(metal, draft.end, self.shape.tool.number)


def _even_points(element: Element) -> list[Point]:
    """Return points along an element, close enough for judging what stands over it."""
    return [element.at(i / _SAMPLES) for i in range(_SAMPLES + 1)]


def _size(section: SectionInfo | None) -> PathSize | None:
    if section is None or section.diameter is None:
        return None
    size = section.diameter
    return PathSize(size.aim, size.lower, size.upper)


def _part_of(element: Element, first: float, last: float) -> Element:
    """Return the stretch of an element between two shares of its length."""
    if isinstance(element, Line):
        return Line(element.at(first), element.at(last))
    return Arc(element.at(first), element.at(last), element.centre, element.turn)
