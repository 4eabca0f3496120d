"""Whether a bore leaves a wall all along the outside, arcs and tapers counted as they run."""

from __future__ import annotations

import shapely
from shapely import Polygon

from turnsketch.errors import InputError
from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point, chain_chords
from turnsketch.part.outline_records import Outline

__all__ = ["check_one_piece"]

_SPECK_MM2 = 1e-3
"""What chords leave is no piece of a part."""


def check_one_piece(outside: Outline, void: Outline, length: float, back: bool, path: str) -> None:
    """Refuse a bore that cuts its part in two, as in a waist thinner than the bore.

    Parameters
    ----------
    outside, void : Outline
        Of the part and of its bore; the back bore's has the back end in front.
    length : float
        Of the part, millimetres.
    back : bool
        The bore stands in the back end.

    Raises
    ------
    InputError
        More than one piece is left; it names the place.
    """
    body, hole = _area(_chords(outside)), _chords(void)
    if back:
        hole = [Point(-length - p.z, p.r) for p in hole]
    left = shapely.get_parts(body.difference(_area(hole)))
    fronts = sorted(piece.bounds[2] for piece in left if piece.area > _SPECK_MM2)
    if len(fronts) < 2:
        return
    place = fronts[-2]
    raise InputError(
        f"the bore breaks through the outside at Z{place:.2f} mm: no wall is left there; make "
        "the bore narrower or shorter, or the outside thicker",
        path,
    )


def _chords(outline: Outline) -> list[Point]:
    return chain_chords([e.shape for e in outline.elements], CHORD_ROUGH)


def _area(points: list[Point]) -> shapely.Geometry:
    """Return the half section between a chain and the axis."""
    ring = [*points, Point(points[-1].z, 0.0), Point(points[0].z, 0.0)]
    return shapely.make_valid(Polygon(ring))
