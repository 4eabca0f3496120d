"""From a row of the finishing path to passes: entry, cut, withdrawal, measure stop.

Tapers and arcs that stand further off than the tool takes in one cut are approached in several,
each the same path moved off the surface (common practice for a taper by the top slide).
"""

from __future__ import annotations

import bisect
import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Arc, Element, Line, Point, moved
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, SectionInfo
from turnsketch.plan_records import PathSize, TaperSetting
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftMove, DraftPass, cut, cut_along, position
from turnsketch.planning.keep import Keep, keep_region, part_area
from turnsketch.planning.levels import levels
from turnsketch.planning.means import Means, arc_means, taper_way
from turnsketch.planning.measure import measure_stop, wants_two_cuts
from turnsketch.planning.rough import Z_ALLOWANCE_MM, depth_taken, greatest_depth
from turnsketch.planning.route import Mover, path_points
from turnsketch.planning.rows import Row, element_kind, half_angle
from turnsketch.planning.steps_pass import cusp_limit, step_moves
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import to_mm

__all__ = ["RowMaker"]

_NOTHING_MM = 0.002
"""A row whose cut is thinner than this on the average is left out: the surface is there already."""

_LAST_MM = 0.3
"""What the cuts before leave for the last one, in X on radius."""

_WORTH_MM = 0.05
"""The same for a cut before the last one: what is thinner is left to the next."""

_SAME_MM = 0.011
"""A cut deeper than the setting by less than this (an easy figure of X) is not split."""

_SHORT_MM = 0.05
"""A cut before the last one along a cylinder stops so far before the shoulder at least."""

_DEEP = 3.3
"""Metal that stands higher than so many cuts over a surface is not for finishing: it waits until a
roughing tool has been there."""

_USUAL_MM, _DEEPEST_MM = 1.0, 10.0
"""How thick cuts along tapers and arcs are: metal farther off is not asked for its distance."""

_DOWN_MM = 0.25
"""On its way down onto a surface the tool is let down in the air in whole steps of this."""

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
        solid = keep_region(keep.elements, ctx.held, CHORD_FINE)
        mover = Mover.of(ctx, shape, CHORD_FINE)
        return cls(ctx, operation, shape, mover, outline, solid, where)

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
        shifts = self._shifts(trimmed, away, state.remaining)
        for before, shift in zip([math.inf, *shifts], shifts, strict=False):
            shifted = tuple(moved(e, away.times(shift)) for e in trimmed.elements)
            outer = replace(trimmed, elements=shifted)
            found, state = self._cut(outer, state, means, taper, last=shift == 0.0)
            # On a short row the mean counts what the nose takes beside it as well.
            most = min(self._greatest_depth(), before - shift)
            made += [replace(one, depth=min(one.depth, most)) for one in found]
        return made, state

    def _turned(self, row: Row, state: State, means: Means) -> tuple[list[DraftPass], State]:
        """Return the last cut of a cylinder or face; fine tolerances get two equal ones.

        What stands higher than the tool takes in one cut is taken before, level by level.
        """
        lowered = self._lowered(row, state, means)
        if lowered is None:
            return [], state
        made, state, most = lowered
        if row.direction == "turn" and wants_two_cuts(self._section(row)):
            first = self._first_of_two(row, state)
            if first is not None:
                made, state = [*made, first[0]], first[1]
        last, state = self._cut(row, state, means, None, last=True)
        return made + [replace(one, depth=min(one.depth, most)) for one in last], state

    def _lowered(
        self, row: Row, state: State, means: Means
    ) -> tuple[list[DraftPass], State, float] | None:
        """Return the cuts before the last one along a cylinder, and what they leave for it.

        None when one of them cannot be made: then the next would be too deep.
        """
        radii = self._levels(row, state)
        if radii is None:
            return None
        made: list[DraftPass] = []
        above = math.inf
        for radius in radii:
            lifted = self._at_level(row, radius, _SHORT_MM + Z_ALLOWANCE_MM)
            if lifted is None:
                continue
            found, state = self._cut(lifted, state, means, None, last=False)
            if not found:
                return None
            # What a cut before could not take beside its ends is a corner, not a depth.
            most = above - radius
            made += [replace(one, depth=min(one.depth, most)) for one in found]
            above = radius
        return made, state, above - row.lowest

    def _levels(self, row: Row, state: State) -> list[float] | None:
        """Return the radii of the cuts before the last one along a cylinder; None: too many."""
        level = next((e for e in row.elements if element_kind(e) == "turn"), None)
        if level is None:
            return []
        greatest = self._greatest_depth()
        lifted = self._at_level(row, level.start.r, _SHORT_MM + Z_ALLOWANCE_MM)
        spans = [level, *(lifted.elements if lifted is not None else ())]
        height = max(depth_taken(state.remaining, level.start.r, s.start.z, s.end.z) for s in spans)
        if height <= greatest + _SAME_MM:
            return []
        if height > _DEEP * greatest and level.length > _SHORT_MM + Z_ALLOWANCE_MM:
            return None
        floor = level.start.r + min(_LAST_MM, greatest)
        return levels(level.start.r + height, [floor], greatest, self.ctx.easy_radius)

    def _greatest_depth(self) -> float:
        return greatest_depth(self.ctx, self.operation, self.shape, self.where)

    def _at_level(self, row: Row, radius: float, short: float) -> Row | None:
        """Return the cylinder of a row at another radius, `short` of the shoulder behind it.

        None where nothing of a very short one is left.
        """
        level = next(e for e in row.elements if element_kind(e) == "turn")
        stop = level.end.z
        if row.elements[-1] is not level:
            back = level.end.z > level.start.z
            stop = self.ctx.rough_z_back(stop - short) if back else self.ctx.rough_z(stop + short)
        if (stop - level.start.z) * (level.end.z - level.start.z) <= 0:
            return None
        line = Line(Point(level.start.z, radius), Point(stop, radius))
        return replace(row, elements=(line,))

    def _first_of_two(self, row: Row, state: State) -> tuple[DraftPass, State] | None:
        """Return the first of two equal last cuts; the tool goes back along Z alone.

        None when half of what stands is thinner than the tool takes, or there is no way back.
        """
        level = next(e for e in row.elements if element_kind(e) == "turn")
        depth = depth_taken(state.remaining, level.start.r, level.start.z, level.end.z)
        radius = self.ctx.easy_radius(level.start.r + 0.47 * depth, level.start.r + 0.53 * depth)
        if min(radius - level.start.r, depth / 2) < self.shape.tool.thinnest_cut_mm - 0.011:
            return None
        lifted = self._at_level(row, radius, _SHORT_MM)
        if lifted is None:
            return None
        line = lifted.elements[0]
        stop = line.end.z
        entry = self._entry(lifted, state)
        if entry is None or entry[1]:
            return None
        way = entry[0]
        path = [way[-1] if way else state.position, line.end]
        metal = clean(state.remaining.difference(self.mover.removed(path)))
        back = self._way_to_measure(lifted, line.end, metal)
        if back is None or not self.mover.holder_free(path, metal):
            return None
        moves = [*(position(p) for p in way), cut(line.end, z_mode="keep metal")]
        moves += [position(p) for p in back]
        section = self._section(row)
        made = DraftPass(
            tool=self.shape.tool.number,
            start=state.position,
            moves=tuple(moves),
            surface=self._label(row, section),
            section=section.number if section else None,
            direction="turn",
            depth=depth_taken(state.remaining, radius, level.start.z, stop),
            speed_diameter=2 * max(p.r for e in row.elements for p in (e.start, e.end)),
            power_until=stop + self.ctx.shop.clearances.power_until,
            keep_x=len(back) == 1,
            notes=("first of two equal cuts",),
        )
        return made, State(metal, back[-1], self.shape.tool.number)

    def _way_to_measure(
        self, row: Row, here: Point, metal: BaseGeometry
    ) -> tuple[Point, ...] | None:
        """Return the way back along Z alone; where a centre stands in it, out in X first."""
        home = Point(self.ctx.measure_z, here.r)
        if self.mover.free([here, home], metal):
            return (home,)
        return self._way_back(row, here, metal) if self.ctx.held.centre_in else None

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
        path = path_points(here, cuts, CHORD_FINE)
        swept = self.mover.removed(path)
        metal = clean(state.remaining.difference(swept))
        taken = part_area(self.ctx.part, state.remaining) - part_area(self.ctx.part, metal)
        length = sum(element.length for element in row.elements)
        shifted = not last and row.direction != "turn"
        if taken < (_WORTH_MM if shifted else _NOTHING_MM) * length:
            return [], state
        if not self.mover.holder_free(path, metal) or not self.mover.clear_of_obstacles(path):
            return [], state
        back = self._way_back(row, cuts[-1].move.to, metal)
        if back is None:
            return [], state
        moves = [position(p) for p in way] + cuts + [position(p) for p in back]
        thick = _thickness(state.remaining, swept, metal, row)
        made = self._draft(row, state, tuple(moves), (means, taper), thick, last=last)
        return [made], State(metal, made.end, self.shape.tool.number)

    def _draft(
        self,
        row: Row,
        state: State,
        moves: tuple[DraftMove, ...],
        way: tuple[Means, TaperSetting | None],
        thick: float,
        *,
        last: bool,
    ) -> DraftPass:
        means, taper = way
        section = self._section(row)
        begin, end = row.elements[0].start, row.elements[-1].end
        ends = [p.r for e in row.elements for p in (e.start, e.end)]
        turned = row.direction == "turn" and section is not None and section.kind == "cylinder"
        run = sum(e.length for e in row.elements if element_kind(e) == "turn")
        # A cylinder shorter than this is the foot of a shoulder, which is faced.
        level = row.direction == "turn" and run > _SHORT_MM + Z_ALLOWANCE_MM
        depth = depth_taken(state.remaining, min(ends), begin.z, end.z) if level else thick
        return DraftPass(
            tool=self.shape.tool.number,
            start=state.position,
            moves=moves,
            surface=self._label(row, section),
            section=section.number if section else None,
            direction=row.direction,
            depth=depth,
            speed_diameter=2 * max(*ends, min(ends) + depth),
            power_until=end.z + self.ctx.shop.clearances.power_until if turned else None,
            last_on_surface=last,
            size=_size(section) if turned and last else None,
            measure=measure_stop(self.ctx, section, state.remaining) if turned and last else None,
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
        return None if number is None else self.ctx.sections.get(number)

    def _means(self, row: Row) -> tuple[Means, TaperSetting | None]:
        """Return how the row is moved, and the setting for a taper."""
        if row.direction == "arc":
            return arc_means(self.ctx.lathe, self.operation), None
        angle = half_angle(row)
        if angle is None:
            return "wheels", None
        element = row.elements[0]
        length = abs(element.end.z - element.start.z) + self.ctx.shop.clearances.approach
        between = self.ctx.between_centres_mm
        return taper_way(self.ctx.lathe, angle, length, self.operation, between)

    def _trimmed(self, row: Row, metal: BaseGeometry) -> Row | None:
        """Return the taper or arc cut down to where metal stands; None when none does."""
        element = row.elements[0]
        shares = [i / _SAMPLES for i in range(_SAMPLES + 1)]
        met = self.mover.busy([element.at(s) for s in shares], metal)
        busy = [s for s, here in zip(shares, met, strict=True) if here]
        if not busy:
            return None
        # Half a millimetre more at each end, so that the cut blends into what is finished there.
        more = max(1 / _SAMPLES, 0.5 / element.length)
        first, last = max(0.0, busy[0] - more), min(1.0, busy[-1] + more)
        rest = row.elements[1:] if last == 1.0 else ()
        return replace(row, elements=(_part_of(element, first, last), *rest))

    def _away(self, row: Row) -> Point:
        """Return the way off a taper or arc: in X, in Z, or as much in both, by its slope."""
        out = self._outward(row)
        if abs(out.z) < _FLAT:
            return Point(0.0, 1.0)
        side = math.copysign(1.0, out.z)
        return Point(side, 0.0) if abs(out.r) < _FLAT else Point(side, 1.0)

    def _outward(self, row: Row) -> Point:
        """Return the unit vector off the surface, by the chord of a taper or arc."""
        element = row.elements[0]
        way = element.end.minus(element.start).times(1 / element.start.distance(element.end))
        out = Point(way.r, -way.z)
        return out.times(-1.0) if self.shape.tool.hand == "left" else out

    def _shifts(self, row: Row, away: Point, metal: BaseGeometry) -> list[float]:
        """Return how far off each cut along a taper or arc stands, the last one 0."""
        # A depth is measured off the surface; a shift in X and Z at once is more than it takes.
        out = self._outward(row)
        greatest = self._greatest_depth() / abs(away.z * out.z + away.r * out.r)
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
        steps = levels(height, [self._easy_shift(_LAST_MM, _LAST_MM)], greatest, self._easy_shift)
        return [*(s for s in steps if free(s, self.solid)), 0.0]

    def _easy_shift(self, low: float, high: float) -> float:
        """Return a shift in an interval that is a whole half millimetre (0.010 in) on diameter."""
        unit = 0.127 if self.ctx.units == "inch" else 0.25
        figure = math.ceil(low / unit - 1e-9) * unit
        return figure if figure <= high + 1e-9 else math.floor(high / unit + 1e-9) * unit or low

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
        count = math.floor((self.ctx.clear_r - start.r) / _DOWN_MM + 1e-9) + 1
        tops = [Point(start.z, start.r + _DOWN_MM * step) for step in range(max(0, count))]
        high = Point(start.z, self.ctx.clear_r)

        def in_the_air(top: Point) -> bool:
            return self.mover.free([top, high], state.remaining)

        for top in tops[bisect.bisect_left(tops, True, key=in_the_air) :]:
            way = self.mover.route(state.position, top, state.remaining)
            if way is not None:
                return way, [cut(start, "aim")] if top.r > start.r else []
        return None

    def _way_back(self, row: Row, here: Point, metal: BaseGeometry) -> tuple[Point, ...] | None:
        """Return the withdrawal; a shoulder faced out into the air needs no further way out.

        Where what stands at a cylinder's end leans over the tool, it goes back as it came.
        """
        ctx = self.ctx
        faced = element_kind(row.elements[-1]) == "out"
        home = Point(ctx.return_z, ctx.clear_r)
        for out in (*((here.r,) if faced else ()), ctx.out_radius(here.r), ctx.clear_r):
            way = (Point(here.z, max(out, here.r)), Point(ctx.return_z, max(out, here.r)))
            if self.mover.free([here, *way], metal):
                return way if way[0] != here else way[1:]
        found = self.mover.route(here, home, metal)
        begin = row.elements[0].start
        if found is None and element_kind(row.elements[-1]) == "turn":
            along = (Point(begin.z, here.r), Point(begin.z, ctx.clear_r), home)
            found = along if self.mover.free([here, *along], metal) else None
        return found

    def _stepped_row(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return the shoulder behind the steps, faced first to make room, then the steps."""
        made: list[DraftPass] = []
        if len(row.elements) > 1:
            shoulder = Row(row.elements[1:], "face", row.source)
            made, state = self._cut(shoulder, state, "wheels", None, last=True)
        steps, state = self._stepped(replace(row, elements=row.elements[:1]), state)
        return made + steps, state

    def _free_in_front(self, row: Row) -> bool:
        """Return whether a step may be rounded past the row's front end without touching part."""
        element = row.elements[0]
        front = max(element.start, element.end)
        step = to_mm(self.ctx.z_step, self.ctx.units)
        return self.mover.free([Point(front.z + step, front.r)], self.solid)

    def _stepped(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return one pass that goes down the row's steps, each fed in X at a fixed Z.

        None where nothing stands higher than the cusps that may stay: another tool was there.
        """
        cusp = cusp_limit(self.ctx, self.operation, self.where)
        if self.mover.clears(_even_points(row.elements[0]), state.remaining, 1.02 * cusp):
            return [], state
        made = step_moves(
            self.ctx,
            self.operation,
            self.shape,
            self.mover,
            row.elements,
            state,
            self.where,
            free_front=self._free_in_front(row),
        )
        if made is None:
            return [], state
        moves, places, table, metal, depth = made
        metal = clean(metal)
        taken = part_area(self.ctx.part, state.remaining) - part_area(self.ctx.part, metal)
        mean = taken / row.elements[0].length
        if mean < _NOTHING_MM or depth > _DEEP * self._greatest_depth():
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


def _thickness(before: BaseGeometry, swept: BaseGeometry, after: BaseGeometry, row: Row) -> float:
    """Return the greatest thickness of what a cut along a taper or arc takes, off the surface.

    A shoulder behind it is faced with the same cut and does not count.
    """
    end = row.elements[0].end
    low, bottom, high, top = swept.bounds
    corners = shapely.get_coordinates(
        shapely.clip_by_rect(before, low, bottom, high, top).intersection(swept)
    )
    if len(row.elements) > 1:
        corners = corners[np.hypot(corners[:, 0] - end.z, corners[:, 1] - end.r) > _SHOULDER_MM]
    if not len(corners):
        return 0.0
    points, found = shapely.points(corners), 0.0
    for room in (_USUAL_MM, _DEEPEST_MM):
        near = shapely.clip_by_rect(after, low - room, bottom - room, high + room, top + room)
        found = float(shapely.distance(points, near).max())
        if found < room:
            break
    return found
