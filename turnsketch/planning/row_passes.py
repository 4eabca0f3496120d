"""From a row of the finishing path to passes: entry, cut, withdrawal, measure stop.

Tapers and arcs that stand further off than the tool takes in one cut are approached in several,
each the same path shifted outward in X (common practice for a taper by the top slide).
"""

from __future__ import annotations

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
from turnsketch.planning.measure import measure_stop
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
            return self._stepped(row, state)
        if row.direction not in ("taper", "arc"):
            return self._cut(row, state, means, None, last=True)
        trimmed = self._trimmed(row, state.remaining)
        if trimmed is None:
            return [], state
        made: list[DraftPass] = []
        for shift in self._shifts(trimmed, state.remaining):
            outer = replace(
                trimmed, elements=tuple(moved(e, Point(0.0, shift)) for e in trimmed.elements)
            )
            found, state = self._cut(outer, state, means, taper, last=shift == 0.0)
            made += found
        return made, state

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
            speed_diameter=2 * max(ends),
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
        return replace(row, elements=(_part_of(element, first, last),))

    def _shifts(self, row: Row, metal: BaseGeometry) -> list[float]:
        """Return how far outward in X each cut along a taper or arc stands, the last one 0."""
        greatest = self.shape.tool.greatest_depth_mm
        path = row.elements[0].chords(0.05)

        def misses(shift: float) -> bool:
            return self.mover.free([Point(p.z, p.r + shift) for p in path], metal)

        if misses(greatest):
            return [0.0]
        height = greatest
        while not misses(height) and height < self.ctx.held.radius:
            height += 0.1
        # A cut may be a little deeper than the setting where that saves one.
        steps = even_steps(height, _LAST_MM, 1.08 * greatest)
        easy = dict.fromkeys(self._easy_shift(s) for s in steps)
        return [*(s for s in easy if self._shift_is_legal(path, s)), 0.0]

    def _easy_shift(self, shift: float) -> float:
        """Return `shift` as a whole half millimetre (0.010 in) on the diameter."""
        unit = 0.127 if self.ctx.units == "inch" else 0.25
        return max(unit, round(shift / unit) * unit)

    def _shift_is_legal(self, path: list[Point], shift: float) -> bool:
        return self.mover.free([Point(p.z, p.r + shift) for p in path], self.solid)

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
        return self._entry_from_above(start, state)

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

    def _stepped(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return one pass that goes down the row's steps, each fed in X at a fixed Z."""
        made = step_moves(
            self.ctx, self.operation, self.shape, self.mover, row.elements, state, self.where
        )
        if made is None:
            return [], state
        moves, places, table, metal, depth = made
        metal = clean(metal)
        if state.remaining.area - metal.area < _NOTHING_MM * row.elements[0].length:
            return [], state
        section = self._section(row)
        draft = DraftPass(
            tool=self.shape.tool.number,
            start=state.position,
            moves=moves,
            surface=self._label(row, section),
            section=section.number if section else None,
            direction="steps",
            depth=depth,
            speed_diameter=2 * max(p.r for p in places),
            last_on_surface=True,
            means="steps",
            steps=table,
            step_places=places,
        )
        return [draft], State(metal, draft.end, self.shape.tool.number)


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
