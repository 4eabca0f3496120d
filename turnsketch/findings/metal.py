"""How thick the metal is that a pass takes, seen in the replay: millimetres, setup's frame.

The depth that the planner writes into a pass is what it meant to take; here it is measured on the
metal that really stood, for the exact moves or for the moves as read.
"""

from __future__ import annotations

import math

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.findings.view import PlanView
from turnsketch.geometry.elements import Point
from turnsketch.part.centre_holes import centre_hole
from turnsketch.plan_records import Move, Pass, Ring
from turnsketch.units import to_mm

__all__ = [
    "bottom_of",
    "cut_diameter",
    "level_moves",
    "mean_depth",
    "metal_before",
    "region",
    "taken_as_read",
    "top_of",
]

_MARGIN = 1.0
"""Shoulders at a cut's ends stand above it and do not count as its depth."""

_LEVEL = 1e-6


def region(rings: tuple[Ring, ...]) -> BaseGeometry:
    """Return the region of rings: shells counterclockwise, holes clockwise."""
    shells: list[Polygon] = []
    holes: list[Polygon] = []
    for ring in rings:
        shape = Polygon([(p.z, p.r) for p in ring])
        (shells if shape.exterior.is_ccw else holes).append(shape)
    return shapely.difference(shapely.union_all(shells), shapely.union_all(holes))


def metal_before(view: PlanView, number: int, *, as_read: bool = False) -> BaseGeometry:
    """Return the metal that stands before a pass."""
    replay = view.as_read if as_read else view.exact
    before = [p for p in replay.setups[view.index].passes if p.number < number]
    return region(before[-1].remaining if before else view.setup.blank)


def top_of(metal: BaseGeometry, low: float, high: float) -> float:
    """Return the greatest r of metal between two z values; 0 when there is none."""
    strip = shapely.clip_by_rect(metal, low, 0.0, high, 1e4)
    return 0.0 if strip.is_empty else float(strip.bounds[3])


def bottom_of(metal: BaseGeometry, low: float, high: float) -> float:
    """Return the smallest r of metal between two z values: the hole's; 0 on solid metal."""
    strip = shapely.clip_by_rect(metal, low, 0.0, high, 1e4)
    return 0.0 if strip.is_empty else float(strip.bounds[1])


def level_moves(made: Pass) -> list[tuple[int, float, float, float]]:
    """Return the cuts at constant r: index of the move, lowest z, highest z, r."""
    found: list[tuple[int, float, float, float]] = []
    here = made.start
    for index, move in enumerate(made.moves):
        if _is_level(here.r, move):
            found.append((index, min(here.z, move.to.z), max(here.z, move.to.z), move.to.r))
        here = move.to
    return found


def _is_level(r: float, move: Move) -> bool:
    return move.kind == "cut" and move.centre is None and abs(move.to.r - r) < _LEVEL


def taken_as_read(view: PlanView, made: Pass) -> float | None:
    """Return how thick the cut is when the moves stand at their readings; None when unknown.

    Turning: the radial depth half-way along the cut. Tapers and arcs: the mean thickness, the
    volume taken over the surface that the cut leaves.
    """
    if made.direction in ("taper", "arc"):
        return mean_depth(view, made)
    levels = level_moves(made)
    if made.direction != "turn" or not levels:
        return None
    index, low, high, _ = max(levels, key=lambda cut: cut[2] - cut[1])
    metal = metal_before(view, made.number, as_read=True)
    _, _, front, _ = metal.bounds
    middle = (low + min(high, front)) / 2
    width = min(_MARGIN, (high - low) / 4)
    r = to_mm(made.readings[index].x, view.job.units) / 2
    ends = (middle - width / 2, middle + width / 2)
    return r - bottom_of(metal, *ends) if made.inside else top_of(metal, *ends) - r


def mean_depth(view: PlanView, made: Pass) -> float | None:
    """Return the volume that a pass takes over the surface that its cuts sweep."""
    taken = next(
        p.removed_mm3 for p in view.as_read.setups[view.index].passes if p.number == made.number
    )
    here, surface = made.start, 0.0
    for move in made.moves:
        if move.kind == "cut":
            way = _way(here.distance(move.to), move, here.distance(move.centre or here))
            surface += 2 * math.pi * (here.r + move.to.r) / 2 * way
        here = move.to
    return taken / surface if surface > 0 else None


def _way(chord: float, move: Move, radius: float) -> float:
    """Return the length of a move; an arc of less than half a turn is meant."""
    if move.centre is None or radius <= 0:
        return chord
    return 2 * radius * math.asin(min(1.0, chord / (2 * radius)))


def cut_diameter(view: PlanView, made: Pass) -> float:
    """Return the diameter before the cut, of which a spindle speed is reckoned; millimetres.

    A shoulder that is faced out behind a level cut does not count: it takes little. In a bore it is
    the diameter that the cut makes, and a tool in the tailstock has its own.
    """
    levels = level_moves(made)
    if made.direction == "drill":
        return _drilled_diameter(view, made)
    if made.inside:
        return 2 * max((abs(m.to.r) for m in made.moves if m.kind == "cut"), default=0.0)
    if made.thread is not None:
        return made.thread.blank_mm
    if made.direction == "turn" and levels:
        top = min(r for *_, r in levels) + made.depth
    else:
        ends = [move.to for move in made.moves if move.kind == "cut"]
        top = max((p.r for p in [*_cut_starts(made), *ends]), default=0.0)
    return min(2 * top, view.blank_diameter)


def _drilled_diameter(view: PlanView, made: Pass) -> float:
    """Return the greatest diameter that a tool in the tailstock cuts."""
    tool = view.tool(made.tool)
    if tool.kind == "centre drill":
        return centre_hole(tool.centre_size_mm).countersink
    if tool.kind == "countersink" and made.quill is not None:
        tip = view.zero - made.quill.tip_z
        rim = 2 * tip * math.tan(math.radians(tool.point_angle_deg / 2))
        return min(tool.diameter_mm, max(rim, 0.1))
    return tool.diameter_mm or view.blank_diameter


def _cut_starts(made: Pass) -> list[Point]:
    here = made.start
    found: list[Point] = []
    for move in made.moves:
        if move.kind == "cut":
            found.append(here)
        here = move.to
    return found
