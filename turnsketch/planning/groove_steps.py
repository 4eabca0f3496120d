"""Slants and rounds of a groove in steps, each fed in X at its own Z, from the surface down."""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Element, Point, moved
from turnsketch.geometry.minkowski import clean
from turnsketch.plan_records import StepTable
from turnsketch.planning.draft import DraftMove, cut, position
from turnsketch.planning.groove_work import Cuts, GrooveWork, NoWayError
from turnsketch.planning.steps_pass import cusp_limit
from turnsketch.readings.moves import Rounder
from turnsketch.readings.steps import StepTool, step_table

__all__ = ["stepped_flank"]

_NOTHING_MM2 = 1e-4
"""A step that takes no more area than this is left out."""


def stepped_flank(work: GrooveWork, run: Sequence[Element]) -> None:
    """Cut a slant or a round in steps, from the surface down."""
    rising = run[0].end.r >= run[0].start.r
    points = _step_places(work, run)
    if points is None:
        raise NoWayError
    places, table = points
    ordered = places[::-1] if rising else places
    needed, depth = _cutting(work, ordered)
    if not needed:
        return
    moves: list[DraftMove] = []
    for place in needed:
        moves += [position(Point(place.z, work.out)), cut(place, "keep metal")]
        moves.append(position(Point(place.z, work.out)))
    rows = dict(zip(places, table.rows, strict=True))
    table = msgspec.structs.replace(table, rows=tuple(rows[place] for place in needed))
    work.add(Cuts(moves[1:], needed[0], True, depth, steps=table, places=tuple(needed)))


def _step_places(
    work: GrooveWork, run: Sequence[Element]
) -> tuple[tuple[Point, ...], StepTable] | None:
    ctx, tool = work.ctx, work.shape.tool
    stepping = StepTool(
        work.shape.nose_radius,
        "left" if tool.hand == "left" else "right",
        math.radians(tool.end_edge_angle_deg),
    )
    shifted = [moved(element, Point(ctx.zero, 0.0)) for element in run]
    limit = cusp_limit(ctx, work.operation, work.where)
    rounder = Rounder.of(ctx.lathe.readout, ctx.units)
    try:
        made = step_table(shifted, stepping, limit, rounder, free_front=False)
    except InputError:
        return None
    return tuple(Point(p.z - ctx.zero, p.r) for p in made.read), made.table


def _cutting(work: GrooveWork, places: Sequence[Point]) -> tuple[list[Point], float]:
    """Return the steps that cut anything, and how deep the deepest of them cuts.

    A slant's path may rise over the way from step to step: there it is out of the groove.
    """
    metal, deepest, found = work.state.remaining, 0.0, list[Point]()
    for place in (p for p in places if p.r < work.out):
        swept = work.mover.removed([Point(place.z, work.out), place])
        taken = metal.intersection(swept)
        if taken.area < _NOTHING_MM2:
            continue
        found.append(place)
        deepest = max(deepest, work.metal_over(place.z, place.r, metal) - place.r, _thick(taken))
        metal = metal.difference(swept)
    return found, deepest


def _thick(taken: BaseGeometry) -> float:
    """Return how thick a step's chip is, also where nothing stands under the tool's end."""
    chip = clean(taken)
    if chip.is_empty:
        return 0.0
    return 2 * float(shapely.maximum_inscribed_circle(chip, 0.05).length)
