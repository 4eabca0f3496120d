"""The edge of the no-go region as chords, and which exact curve each chord belongs to.

Shapely decides which curves bound the region; their coordinates come from the curves themselves
(`turnsketch.geometry._joins`).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import NoStartError
from turnsketch.geometry._candidates import Candidate, Slide
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Arc, Line, Point
from turnsketch.geometry.intersect import distance

__all__ = ["Run", "boundary", "merged", "no_go_region", "runs"]

Coordinates = NDArray[np.float64]

ON_CURVE = 1e-8
"""Vertices of the union this near to a curve lie on it."""


@dataclass(slots=True)
class Run:
    """A stretch of the region's edge that follows one curve."""

    curve: Candidate
    start: Point
    """As the chords have it; the exact joins come later."""
    end: Point


def no_go_region(slides: Sequence[Slide], blocked: BaseGeometry | None) -> BaseGeometry:
    """Return the union of all strips (a closed band along the region's edge) and of `blocked`."""
    strips = [strip for slide in slides for strip in slide.strips]
    counts = [len(strip) for strip in strips]
    rings = shapely.linearrings(
        np.concatenate(strips), indices=np.repeat(np.arange(len(strips)), counts)
    )
    shapes = list(shapely.polygons(rings))
    if blocked is not None and not blocked.is_empty:
        shapes.append(blocked)
    return shapely.union_all(shapes)


def boundary(
    band: BaseGeometry, on_band: Point, safe: Point, cores: Callable[[], Sequence[Polygon]]
) -> tuple[BaseGeometry, Coordinates]:
    """Return the no-go region that bounds the component of `safe`, and its edge there.

    Parameters
    ----------
    band : polygonal geometry
        From `no_go_region`.
    on_band : Point
        A place of the band that belongs to the outline's own strips.
    safe : Point
        Where the reference may be.
    cores : callable
        Gives what the band runs round: the outline shifted by a place inside each piece.

    Returns
    -------
    geometry, array of shape (n, 2)
        The region (whatever is shut off from `safe` belongs to it), and its edge as a closed ring
        with the region on the left of travel.

    Raises
    ------
    NoStartError
        When the tool may not be at `safe`.
    """
    place = shapely.Point(safe)
    parts = shapely.get_parts(band)
    own = parts[int(np.argmin(shapely.distance(parts, shapely.Point(on_band))))]
    own = shapely.orient_polygons(own)
    taken = any(shapely.intersects(parts, place))
    if not taken and shapely.Polygon(own.exterior).contains(place):
        taken = any(core.contains(place) for core in cores())
    if taken:
        raise NoStartError(
            "the tool cannot start here: at this place it would touch what must stay;"
            " move the place away from the part",
            f"Z {safe.z:.3f}, X {2 * safe.r:.3f}",
        )
    for hole in own.interiors:
        pocket = Polygon(hole)
        if pocket.contains(place):
            box = shapely.box(*own.bounds).buffer(1.0)
            return box.difference(pocket), shapely.get_coordinates(hole)
    return Polygon(own.exterior), shapely.get_coordinates(own.exterior)


def runs(
    ring: Coordinates, candidates: Sequence[Candidate], blocked: BaseGeometry | None
) -> list[Run]:
    """Return the edge `ring` cut into runs, each along one curve, cyclic.

    An edge on no curve lies on the edge of a blocked region. Where it does not, it is the end of a
    strip that shows between two chords: it is left out, and its neighbours meet.
    """
    labels = _labels(ring, candidates)
    found: list[Run] = []
    limit = None if blocked is None or blocked.is_empty else blocked.boundary
    index = 0
    for label, group in itertools.groupby(labels):
        first, index = index, index + len(list(group))
        if label >= 0:
            found.append(Run(candidates[label], _vertex(ring, first), _vertex(ring, index)))
            continue
        for edge in range(first, index):
            start, end = _vertex(ring, edge), _vertex(ring, edge + 1)
            if _on_edge(limit, start, end):
                points = ring[edge : edge + 2]
                curve = Candidate(Line(start, end), None, "blocked", False, points)
                found.append(Run(curve, start, end))
    return merged(found)


def merged(runs: Sequence[Run]) -> list[Run]:
    """Return the cyclic `runs`, successive ones along one curve made one."""
    found: list[Run] = []
    for run in runs:
        if found and found[-1].curve is run.curve:
            found[-1] = Run(run.curve, found[-1].start, run.end)
        else:
            found.append(run)
    if len(found) > 1 and found[0].curve is found[-1].curve:
        found[0] = Run(found[0].curve, found.pop().start, found[0].end)
    return found


def _vertex(ring: Coordinates, index: int) -> Point:
    return Point(*ring[index].tolist())


def _on_edge(limit: BaseGeometry | None, start: Point, end: Point) -> bool:
    if limit is None:
        return False
    return bool(limit.distance(shapely.Point(start.plus(end).times(0.5))) <= EXACT)


def _labels(ring: Coordinates, candidates: Sequence[Candidate]) -> list[int]:
    """Return for each edge of the ring the curve that it lies on, or -1."""
    middles = shapely.points(0.5 * (ring[:-1] + ring[1:]))
    counts = [len(candidate.points) for candidate in candidates]
    lines = shapely.linestrings(
        np.concatenate([candidate.points for candidate in candidates]),
        indices=np.repeat(np.arange(len(candidates)), counts),
    )
    tree = shapely.STRtree(lines)
    edges, hits = tree.query(middles, predicate="dwithin", distance=EXACT)
    choices: list[list[int]] = [[] for _ in range(len(ring) - 1)]
    for edge, hit in zip(edges.tolist(), hits.tolist(), strict=True):
        choices[edge].append(hit)
    labels: list[int] = []
    for edge, options in enumerate(choices):
        fitting = options if len(options) < 2 else _fitting(options, candidates, ring, edge)
        if labels and labels[-1] in fitting:
            labels.append(labels[-1])
        else:
            labels.append(min(fitting, default=-1))
    return labels


def _fitting(
    options: Sequence[int], candidates: Sequence[Candidate], ring: Coordinates, edge: int
) -> list[int]:
    """Return the curves that run along an edge; of those, the ones that hold the whole of it."""
    along = [o for o in options if _agrees(candidates[o], ring, edge)]
    if len(along) < 2:
        return along
    ends = (_vertex(ring, edge), _vertex(ring, edge + 1))
    whole = [
        o for o in along if all(distance(candidates[o].shape, end) <= ON_CURVE for end in ends)
    ]
    return whole or along


def _agrees(candidate: Candidate, ring: Coordinates, edge: int) -> bool:
    """Tell whether the curve runs in the direction of an edge of the ring, within 8 degrees."""
    (z0, r0), (z1, r1) = ring[edge], ring[edge + 1]
    length = math.hypot(z1 - z0, r1 - r0)
    shape = candidate.shape
    if isinstance(shape, Line):
        along = shape.start_direction
    else:
        along = _tangent(shape, Point((z0 + z1) / 2, (r0 + r1) / 2))
    return bool(along.z * (z1 - z0) + along.r * (r1 - r0) > math.cos(math.radians(8)) * length)


def _tangent(shape: Arc, at: Point) -> Point:
    away = at.minus(shape.centre)
    size = math.hypot(*away) or 1.0
    sign = 1.0 if shape.turn == "ccw" else -1.0
    return Point(-away.r / size * sign, away.z / size * sign)
