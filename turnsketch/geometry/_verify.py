"""The check of an exact path against the exact outline, apart from how the path was found.

At a place of the path no nose may stand nearer to the outline than its radius, and no corner of
the metal may stand inside the tool, both within 1e-9 mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from turnsketch.geometry._gauss import Span, TurnedPiece
from turnsketch.geometry._joins import Joined
from turnsketch.geometry._ring import Member
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Arc, Point
from turnsketch.geometry.intersect import distance, r_extent, z_extent

__all__ = ["Scene"]

SLACK = 2 * EXACT
"""Two closed forms, each within 1e-9."""


@dataclass(frozen=True, slots=True)
class Scene:
    """The outline and the tool, ready for checks."""

    ring: tuple[Member, ...]
    pieces: tuple[TurnedPiece, ...]
    noses: tuple[Span, ...]
    """Arcs of the turned pieces whose whole disc lies inside the tool."""
    boxes: shapely.STRtree
    corners: shapely.STRtree
    places: tuple[Point, ...]
    """Convex corners of the outline."""

    @staticmethod
    def of(ring: Sequence[Member], pieces: Sequence[TurnedPiece]) -> Scene:
        """Return the scene of a closed outline and turned pieces."""
        extents = np.array([(*z_extent(m.shape), *r_extent(m.shape)) for m in ring])
        boxes = shapely.box(extents[:, 0], extents[:, 2], extents[:, 1], extents[:, 3])
        places = tuple(m.shape.end for m in ring if m.join == "convex")
        points = shapely.points(np.array(places).reshape(-1, 2))
        noses = tuple(span for piece in pieces for span in piece.spans if _whole(span, piece))
        return Scene(
            tuple(ring),
            tuple(pieces),
            noses,
            shapely.STRtree(boxes),
            shapely.STRtree(points),
            places,
        )

    def doubtful(self, stretches: Sequence[Joined]) -> tuple[Point, ...]:
        """Return the places of a path at which a join is not verified."""
        if not stretches:
            return ()
        found = [s.start for s in stretches if not s.sure]
        if not stretches[-1].end_sure:
            found.append(stretches[-1].end)
        joins = [*(s.start for s in stretches), stretches[-1].end]
        places = [*joins, *(_middle(s) for s in stretches)]
        inside = self.overlapping(places)
        return (*found, *(places[i] for i in sorted(inside) if places[i] not in found))

    def overlapping(self, places: Sequence[Point]) -> set[int]:
        """Return the indices of the places at which the tool overlaps the metal."""
        return self._nose_in_metal(places) | self._corner_in_tool(places)

    def _nose_in_metal(self, places: Sequence[Point]) -> set[int]:
        found: set[int] = set()
        for nose in self.noses:
            centres = [place.minus(nose.centre) for place in places]
            pairs = self.boxes.query(
                shapely.points(np.array(centres)), predicate="dwithin", distance=nose.radius
            )
            for which, member in pairs.T.tolist():
                gap = distance(self.ring[member].shape, centres[which])
                if gap < nose.radius - SLACK:
                    found.add(which)
        return found

    def _corner_in_tool(self, places: Sequence[Point]) -> set[int]:
        found: set[int] = set()
        for piece in self.pieces:
            reach = max(math.hypot(*span.centre) + span.radius for span in piece.spans)
            pairs = self.corners.query(
                shapely.points(np.array(places)), predicate="dwithin", distance=reach
            )
            for which, corner in pairs.T.tolist():
                if _inside(places[which].minus(self.places[corner]), piece):
                    found.add(which)
        return found


def _whole(span: Span, piece: TurnedPiece) -> bool:
    """Tell whether the full disc of an arc lies inside its piece."""
    if span.radius == 0:
        return False
    centre, radius = span.centre, span.radius
    return all(
        side.z * centre.z + side.r * centre.r + radius <= reach + EXACT
        for side, reach in piece.sides
    )


def _inside(point: Point, piece: TurnedPiece) -> bool:
    """Tell whether `point` lies deeper than the slack inside a turned piece."""
    z, r = point
    for side, reach in piece.sides:
        if side.z * z + side.r * r > reach - SLACK:
            return False
    for span in piece.spans:
        if span.radius > 0:
            away = point.minus(span.centre)
            turn = (math.atan2(away.r, away.z) - span.low) % (2 * math.pi)
            if turn <= span.high - span.low and math.hypot(*away) > span.radius - SLACK:
                return False
    return True


def _middle(stretch: Joined) -> Point:
    shape = stretch.curve.shape
    if not isinstance(shape, Arc):
        return stretch.start.plus(stretch.end).times(0.5)
    first = math.atan2(*reversed(stretch.start.minus(shape.centre)))
    last = math.atan2(*reversed(stretch.end.minus(shape.centre)))
    sign = 1.0 if shape.turn == "ccw" else -1.0
    angle = first + sign * ((sign * (last - first)) % (2 * math.pi)) / 2
    radius = shape.radius
    return shape.centre.plus(Point(radius * math.cos(angle), radius * math.sin(angle)))
