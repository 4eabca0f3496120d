"""Slants and rounds of a groove: in one guided move, by the top slide, or in steps.

A lathe that can follow a slope does so, from the surface down to the bottom. Without it the top
slide follows a long slant, where setting it takes less than the steps; what is left is stepped.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

import shapely

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import (
    Element,
    Line,
    Point,
    chain_chords,
    moved,
    reversed_chain,
)
from turnsketch.geometry.minkowski import clean
from turnsketch.plan_records import TaperSetting
from turnsketch.planning.draft import DraftMove, cut, cut_along
from turnsketch.planning.groove_paths import (
    ABOVE_MM,
    LONGEST_MM,
    begin_above,
    from_the_air,
    led_in,
)
from turnsketch.planning.groove_steps import stepped_flank
from turnsketch.planning.groove_work import Cuts, GrooveWork
from turnsketch.planning.means import taper_way
from turnsketch.planning.steps_pass import cusp_limit
from turnsketch.readings.step_cusps import straight_step

__all__ = ["SLIDE_MOTIONS", "cut_flank", "guides"]

SLIDE_MOTIONS = 36
"""Swivelling the top slide, checking it, touching anew and setting it back is worth so many
motions: twelve steps of three (common practice)."""

_STEP_MOTIONS = 3
_NOTHING_MM2 = 1e-4
_SHORT_MM = 0.02
"""Thinner than this a cut before the last one is not made."""

_STEEP = math.sqrt(0.5)
"""A blade goes down a slant that is steeper than 45 degrees to the axis; it is not drawn along."""


def guides(work: GrooveWork, run: Sequence[Element]) -> bool:
    """Return whether the lathe follows every element of a run by itself."""
    guided, wish = work.ctx.lathe.guided_moves, work.operation.means
    if guided == "none" or wish not in (None, "guided"):
        return False
    lines = all(isinstance(element, Line) for element in run)
    return (lines or guided == "taper and arc") and not _drawn(work, run)


def _drawn(work: GrooveWork, run: Sequence[Element]) -> bool:
    """Return whether a blade would be drawn along a slant: it breaks sideways."""
    lines = [element for element in run if isinstance(element, Line)]
    return work.blade and any(abs(line.start_direction.r) < _STEEP for line in lines)


def cut_flank(work: GrooveWork, run: Sequence[Element], *, climbing: bool = False) -> None:
    """Cut the slants and rounds of one flank by the best means.

    Parameters
    ----------
    climbing : bool
        The tool follows it from its foot up: it does not plunge, and stands on the bottom.
    """
    rising = run[0].end.r >= run[0].start.r
    downward = reversed_chain(run) if rising else tuple(run)
    if guides(work, run):
        path = tuple(run) if climbing else downward
        if _followed(work, path, None, climbing=climbing):
            return
    if not any(_slides(work, element) for element in run):
        stepped_flank(work, run)
        return
    path = tuple(run) if climbing else downward
    for slide, group in groupby(path, lambda element: _slides(work, element)):
        part = tuple(group)
        if slide and all(_followed(work, (e,), _taper(work, e), climbing=climbing) for e in part):
            continue
        stepped_flank(work, part if part[0].end.z <= part[0].start.z else reversed_chain(part))


def _slides(work: GrooveWork, element: Element) -> bool:
    """Return whether the top slide is set for a slant: it is long, and the slide goes so far."""
    taper = _taper(work, element)
    if taper is None or taper.means != "top slide" or _drawn(work, (element,)):
        return False
    if work.operation.means == "top slide":
        return True
    nose = work.shape.nose_radius
    step = straight_step(nose, cusp_limit(work.ctx, work.operation, work.where))
    return element.length > step * SLIDE_MOTIONS / _STEP_MOTIONS


def _taper(work: GrooveWork, element: Element) -> TaperSetting | None:
    """Return how a slant is set; None for a round, or where steps are wished."""
    if not isinstance(element, Line):
        return None
    along = abs(element.end.z - element.start.z)
    # Which way it grows is the same whichever way it is travelled.
    toward_chuck = element if element.end.z <= element.start.z else element.reverse()
    direction = toward_chuck.start_direction
    angle = math.atan2(direction.r, -direction.z)
    more = ABOVE_MM / max(math.tan(abs(angle)), 1e-6)
    length = along + min(more + ABOVE_MM, LONGEST_MM)
    return taper_way(work.ctx.lathe, angle, length, work.operation)[1]


def _followed(
    work: GrooveWork,
    path: Sequence[Element],
    taper: TaperSetting | None,
    *,
    climbing: bool = False,
) -> bool:
    """Add the cuts along a path, outer ones first; False, and none, where one does not go."""
    made: list[Cuts] = []
    if taper is None and len(path) == 1:
        taper = _taper(work, path[0])
    thick = _thickness(work, path)
    if thick == 0.0:
        return True
    count = max(1, math.ceil(thick / work.greatest_depth() - 1e-6))
    for index in range(count - 1, -1, -1):
        shift = _shift(path, thick * index / count)
        lifted = tuple(moved(element, shift) for element in path)
        lifted = lifted if climbing else from_the_air(work, lifted)
        if not lifted:
            continue
        if index and not work.mover.free(chain_chords(lifted, CHORD_FINE), work.space.solid):
            continue
        cuts = _cuts(work, lifted, taper, thick / count, climbing=climbing, last=index == 0)
        if climbing and not work.clear(cuts):
            cuts = _along_the_wall(work, cuts, lifted)
        made.append(cuts)
    if not made or not made[-1].last or not work.clear(made[-1]):
        return False
    before = work.found[:], work.state
    for cuts in made:
        if not work.clear(cuts):
            work.found[:], work.state = before
            return False
        work.add(cuts)
    return True


def _along_the_wall(work: GrooveWork, cuts: Cuts, path: Sequence[Element]) -> Cuts:
    """Return cuts up a flank that go on along the upright wall over it: that has its allowance."""
    out = Point(path[-1].end.z, work.out)
    return replace(cuts, moves=(*cuts.moves, cut(out)))


def _cuts(
    work: GrooveWork,
    path: Sequence[Element],
    taper: TaperSetting | None,
    depth: float,
    *,
    climbing: bool,
    last: bool,
) -> Cuts:
    """Return the cuts along a path that is begun above the metal, or at its foot."""
    start = path[0].start
    moves: list[DraftMove] = []
    if climbing:
        moves.append(cut(start))
        first = start
        moves += [cut_along(element) for element in path]
    else:
        first = begin_above(work, path[0])
        moves = led_in(work, first, path)
    means = taper.means if taper is not None else "guided"
    return Cuts(
        moves,
        first,
        last,
        depth,
        means=means,
        taper=taper,
        direction="taper" if taper is not None else "arc",
        sized=False,
    )


def _thickness(work: GrooveWork, path: Sequence[Element]) -> float:
    """Return how thick what a path takes is at most; 0: it takes nothing."""
    swept = work.mover.removed(chain_chords(path, CHORD_FINE))
    taken = clean(work.state.remaining.intersection(swept))
    if taken.is_empty or taken.area < _NOTHING_MM2:
        return 0.0
    return 2 * float(shapely.maximum_inscribed_circle(taken, 0.02).length)


def _shift(path: Sequence[Element], normal: float) -> Point:
    """Return the way off a flank by a distance square to it: in X, or in Z where it is steep."""
    if normal < _SHORT_MM:
        return Point(0.0, 0.0)
    chord = path[-1].end.minus(path[0].start)
    length = math.hypot(chord.z, chord.r)
    across, along = abs(chord.r) / length, abs(chord.z) / length
    if along >= across:
        return Point(0.0, normal / along)
    falls = chord.z * chord.r > 0
    return Point((-1.0 if falls else 1.0) * normal / across, 0.0)
