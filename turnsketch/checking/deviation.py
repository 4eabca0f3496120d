"""The finished part against its outline: what stands over it, what is missing. Millimetres.

Deviations are normal to the surface. Connected metal thicker than `LEFT_THICK` is a left-over and
is reported by itself; what is over the rest of the surface is the over of the part.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.depth import Samples, Surface, farthest, samples
from turnsketch.checking.metal import joined, volume
from turnsketch.checking.records import LeftRegion
from turnsketch.checking.sweep import Shapes
from turnsketch.geometry.constants import SLIVER
from turnsketch.geometry.elements import Point
from turnsketch.geometry.rings import rings
from turnsketch.plan_records import Deviation, Finished, LeftOver, SectionSpan

__all__ = ["FEATHER", "LEFT_THICK", "PartDeviation", "part_deviation"]

LEFT_THICK = 0.005
"""Metal over the part that is thicker than this is a left-over."""

FEATHER = 0.25
"""A left-over runs out to nothing beside its thick part; as far as this it still belongs to it.
(The wedge between a nose of 6 mm and a flat is thinner than LEFT_THICK over 0.245.)"""

_ON_SECTION = 0.01
_NO_SECTION = -1


@dataclass(frozen=True, slots=True)
class PartDeviation:
    """How the part came out."""

    finished: Finished
    left_over: tuple[LeftRegion, ...]
    over_total_mm: float


def part_deviation(
    body: BaseGeometry, part: BaseGeometry, spans: Sequence[SectionSpan]
) -> PartDeviation:
    """Return the deviation of `body`, what was made, from `part`, both half sections."""
    surface = Surface(part)
    section = _sections(surface, spans)
    standing = shapely.difference(body, part)
    extra = samples(standing, surface)
    missing = samples(shapely.difference(part, body), surface)
    shapes = _left_over(shapely.get_parts(standing), extra)
    regions = tuple(_region(shape, surface) for shape in shapes)
    outside = np.ones(len(extra.points), dtype=bool)
    for shape in shapes:
        near = shapely.buffer(shape, SLIVER)
        shapely.prepare(near)
        outside &= ~shapely.intersects_xy(near, extra.points)
    finished = Finished(
        _most(extra, surface, outside),
        _most(missing, surface),
        tuple(LeftOver(r.volume_mm3, r.z, "", height_mm=r.height_mm) for r in regions),
        _by_section(section, (extra, outside), missing, {span.section for span in spans}),
    )
    return PartDeviation(finished, regions, _most(extra, surface))


def _most(found: Samples, surface: Surface, among: NDArray[np.bool_] | None = None) -> float:
    best = farthest(found, surface, among)
    return best.distance if best else 0.0


def _left_over(extra: Shapes, found: Samples) -> list[BaseGeometry]:
    """Return the thick regions of `extra`, sampled as `found`, each with its feather edges."""
    thick = _standing(extra, found)
    if not thick:
        return []
    core = shapely.buffer(joined(thick), -LEFT_THICK / 2)
    around = shapely.get_parts(shapely.buffer(core, LEFT_THICK / 2 + FEATHER))
    whole = joined(thick)
    pieces = [_polygonal(shapely.intersection(whole, one)) for one in around if not one.is_empty]
    # A piece may meet its own thick core in a line alone: nothing stands there.
    return [piece for piece in pieces if not shapely.buffer(piece, -LEFT_THICK / 2).is_empty]


def _standing(parts: Shapes, found: Samples) -> list[BaseGeometry]:
    """Return the polygons that may be thicker than LEFT_THICK: by area first, then by height."""
    _rings, owner = shapely.get_rings(parts, return_index=True)
    height = np.zeros(len(parts))
    np.maximum.at(height, owner[found.ring], found.distance)
    large = shapely.area(parts) > math.pi / 4 * LEFT_THICK**2
    return list(parts[large & (height > LEFT_THICK / 2)])


def _polygonal(shape: BaseGeometry) -> BaseGeometry:
    return joined(p for p in shapely.get_parts(shape) if p.geom_type == "Polygon")


def _region(shape: BaseGeometry, surface: Surface) -> LeftRegion:
    core = shapely.buffer(shapely.buffer(shape, -LEFT_THICK / 2), LEFT_THICK / 2)
    low, _, high, _ = core.bounds
    best = farthest(samples(shape, surface), surface)
    height, place = best if best else (0.0, Point(low, 0.0))
    return LeftRegion(volume(shape), (low, high), height, place, rings(shape))


def _sections(surface: Surface, spans: Sequence[SectionSpan]) -> NDArray[np.int64]:
    """Return the section number of each segment of the surface."""
    numbers = np.full(len(surface.segments), _NO_SECTION, dtype=np.int64)
    if spans and len(numbers):
        tree = STRtree([shapely.LineString(span.line) for span in spans])
        middles = shapely.points(surface.segments.mean(axis=1))
        which, near = tree.query_nearest(middles, max_distance=_ON_SECTION, all_matches=False)
        numbers[which] = np.array([span.section for span in spans])[near]
    return numbers


def _by_section(
    section: NDArray[np.int64],
    over: tuple[Samples, NDArray[np.bool_]],
    missing: Samples,
    numbers: Iterable[int],
) -> tuple[Deviation, ...]:
    extra, outside = over
    found: list[Deviation] = []
    for number in sorted(numbers):
        above = extra.distance[outside & (section[extra.segment] == number)]
        below = missing.distance[section[missing.segment] == number]
        most = float(above.max(initial=0.0)), float(below.max(initial=0.0))
        found.append(Deviation(number, *most))
    return tuple(found)
