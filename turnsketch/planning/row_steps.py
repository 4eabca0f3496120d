"""Rows that are cut in steps with two handwheels: coarse ones first, then the step table.

Roughing along Z leaves stairs as high as its levels. A step that had to take such a stair at once
would press the tool off, so the surface is first brought within half a millimetre by a coarse
table along the same path, lifted a little (common practice: rough to within 0.5).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import GOUGE
from turnsketch.geometry.elements import Arc, Element, Line, Point, moved, reversed_chain
from turnsketch.geometry.minkowski import clean
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.keep import part_area
from turnsketch.planning.row_cut import cut_row
from turnsketch.planning.row_work import DEEP, NOTHING_MM, RowWork, part_of
from turnsketch.planning.rows import Row
from turnsketch.planning.steps_pass import cusp_limit, step_moves
from turnsketch.units import to_mm

__all__ = ["COARSE_LEFT_MM", "COARSE_MM", "stepped_row"]

COARSE_MM = 0.5
"""What the last step table meets is nowhere thicker, normal to the surface (common practice)."""

COARSE_LEFT_MM = 0.1
"""How much of that the coarse steps leave everywhere; the rest is their cusps."""

_SAME_MM = 0.011
"""A step deeper than the setting by less than this is as deep as the setting."""

_BLEND_MM = 0.5
"""A last table goes on so far past where metal stands."""

_MOST_TABLES = 3
"""So many coarse tables at most are made one over the other."""

_BESIDE_MM = 0.1
"""Metal counts as standing over the tool's lowest point so far to both sides of it."""

_LOOK_MM = 0.25
"""So close together places along a row are asked whether metal stands over them."""


def stepped_row(work: RowWork, row: Row, state: State) -> tuple[list[DraftPass], State]:
    """Return the shoulder behind the steps, faced first to make room, then the steps."""
    made: list[DraftPass] = []
    if len(row.elements) > 1:
        shoulder = Row(row.elements[1:], "face", row.source)
        made, state = cut_row(work, shoulder, state, "wheels", None, last=True)
    steps, state = _stepped(work, replace(row, elements=row.elements[:1]), state)
    return made + steps, state


def _stepped(work: RowWork, row: Row, state: State) -> tuple[list[DraftPass], State]:
    """Return the coarse tables, if they are needed, and the last one.

    None where nothing stands higher than the cusps that may stay: another tool was there.
    """
    cusp = cusp_limit(work.ctx, work.operation, work.where)
    element = row.elements[0]
    met = work.mover.stands(_places(element), state.remaining, 1.02 * cusp)
    stretch = _stretch(element, met, _BLEND_MM)
    if stretch is None or _too_high(work, stretch, state.remaining):
        return [], state
    coarse, after = _coarse(work, row, stretch, state, cusp)
    last = _table(work, row, stretch, after, cusp, last=True)
    return ([], state) if last is None else ([*coarse, last[0]], last[1])


def _too_high(work: RowWork, element: Element, metal: BaseGeometry) -> bool:
    """Return whether metal stands so high over a row that a roughing tool has yet to come."""
    tool = work.shape.tool
    lowest = {"left": 1.0, "centre": 0.0, "right": -1.0}[tool.reference] * work.shape.nose_radius
    limit = DEEP * work.greatest_depth()

    def above(place: Point) -> float:
        z = place.z + lowest
        strip = shapely.clip_by_rect(metal, z - _BESIDE_MM, place.r, z + _BESIDE_MM, 1e4)
        return 0.0 if strip.is_empty else float(strip.bounds[3] - place.r)

    return any(above(place) > limit for place in _places(element))


def _coarse(
    work: RowWork, row: Row, element: Element, state: State, cusp: float
) -> tuple[list[DraftPass], State]:
    """Return the coarse tables over the stretch where more stands than the last one should meet.

    As many as it takes for no step to be deeper than the tool is used for, outer ones first. None
    where the last table is as coarse itself, or the lifted path has no room.
    """
    if cusp >= COARSE_MM - COARSE_LEFT_MM:
        return [], state
    thick = too_thick(work, element, state.remaining)
    met = [] if thick.is_empty else work.mover.busy(_places(element), thick)
    stretch = _stretch(element, met, 0.0)
    lifted = None if stretch is None else _lifted(work, stretch)
    if lifted is None:
        return [], state
    height = _height(work, lifted, state.remaining)
    most = work.greatest_depth() + _SAME_MM
    made: tuple[list[DraftPass], State] = ([], state)
    for count in range(1, _MOST_TABLES + 1):
        lifts = [height * index / count for index in range(count - 1, -1, -1)]
        made = _coarse_tables(work, row, lifted, lifts, state)
        if all(one.depth <= most for one in made[0]):
            break
    return made


def _coarse_tables(
    work: RowWork, row: Row, lifted: Element, lifts: Sequence[float], state: State
) -> tuple[list[DraftPass], State]:
    """Return a coarse table for each lift in X, each where metal stands over its path."""
    made: list[DraftPass] = []
    for lift in lifts:
        path = moved(lifted, Point(0.0, lift))
        met = work.mover.busy(_places(path), state.remaining)
        where = _stretch(path, met, 0.0) if lift else path
        found = None if where is None else _coarse_table(work, row, where, state)
        if found is not None:
            made, state = [*made, found[0]], found[1]
    return made, state


def _coarse_table(
    work: RowWork, row: Row, element: Element, state: State
) -> tuple[DraftPass, State] | None:
    return _table(work, row, element, state, COARSE_MM - COARSE_LEFT_MM, last=False)


def _height(work: RowWork, element: Element, metal: BaseGeometry) -> float:
    """Return how far in X the tool must be lifted off an element to meet no metal."""
    places, height = _places(element), 0.0
    while not work.mover.free([p.plus(Point(0.0, height)) for p in places], metal):
        height += _LOOK_MM
    return height


def too_thick(work: RowWork, element: Element, metal: BaseGeometry) -> BaseGeometry:
    """Return what the tool meets along an element that stands farther off the part than 0.5."""
    met = metal.intersection(work.mover.removed(_places(element)))
    return met.difference(work.solid.buffer(COARSE_MM + GOUGE))


def _stretch(element: Element, met: Sequence[bool], more: float) -> Element | None:
    """Return the stretch of an element along which metal is met at its places; None: nowhere.

    One place and `more` millimetres longer at each end, so that it blends into what is there.
    """
    found = [i for i, here in enumerate(met) if here]
    if not found:
        return None
    count = len(met) - 1
    ends = (found[0] - 1) / count, (found[-1] + 1) / count
    share = more / element.length
    return part_of(element, max(0.0, ends[0] - share), min(1.0, ends[1] + share))


def _places(element: Element) -> list[Point]:
    count = max(1, math.ceil(element.length / _LOOK_MM))
    return [element.at(i / count) for i in range(count + 1)]


def _lifted(work: RowWork, element: Element) -> Element | None:
    """Return an element of the path moved off the surface, or up in X where a wall is beside it."""
    left = work.shape.tool.hand == "left"
    forward = element.reverse() if left else element
    for lifted in (_beside(forward, COARSE_LEFT_MM), moved(forward, Point(0.0, COARSE_LEFT_MM))):
        if lifted is not None and work.mover.free(_places(lifted), work.solid):
            return lifted.reverse() if left else lifted
    return None


def _beside(element: Element, distance: float) -> Element | None:
    """Return the element at a distance on its right: outward; None in a hollow too small for it."""
    if isinstance(element, Line):
        way = element.start_direction
        return moved(element, Point(way.r * distance, -way.z * distance))
    radius = element.radius + (distance if element.turn == "ccw" else -distance)
    if radius <= distance:
        return None
    centre, share = element.centre, radius / element.radius
    start, end = (centre.plus(p.minus(centre).times(share)) for p in (element.start, element.end))
    return Arc(start, end, centre, element.turn)


def _table(
    work: RowWork, row: Row, element: Element, state: State, cusp: float, *, last: bool
) -> tuple[DraftPass, State] | None:
    """Return one pass that goes down a step table, each step fed in X at a fixed Z."""
    path: Sequence[Element] = (element,)
    made = step_moves(
        work.ctx,
        work.shape,
        work.mover,
        reversed_chain(path) if work.shape.tool.hand == "left" else path,
        state,
        cusp,
        free_front=_free_in_front(work, element),
    )
    if made is None:
        return None
    metal = clean(made.metal)
    taken = part_area(work.ctx.part, state.remaining) - part_area(work.ctx.part, metal)
    mean = taken / element.length
    if mean < NOTHING_MM:
        return None
    section = work.section_of(row)
    draft = DraftPass(
        tool=work.shape.tool.number,
        start=state.position,
        moves=made.moves,
        surface=work.label(row, section),
        section=section.number if section else None,
        direction="steps",
        depth=max(made.deepest, mean),
        speed_diameter=2 * made.widest,
        last_on_surface=last,
        means="steps",
        steps=made.table,
        step_places=made.places,
        notes=() if last else ("coarse steps: the last table follows",),
    )
    return draft, State(metal, draft.end, work.shape.tool.number)


def _free_in_front(work: RowWork, element: Element) -> bool:
    """Return whether a step may be rounded past the front end without touching the part."""
    front = max(element.start, element.end)
    step = to_mm(work.ctx.z_step, work.ctx.units)
    return work.mover.free([Point(front.z + step, front.r)], work.solid)
