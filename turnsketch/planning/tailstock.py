"""The tailstock centre as it stands in the work: point, nose, body, quill."""

from __future__ import annotations

import math
from dataclasses import dataclass

from turnsketch.geometry.elements import Point, rectangle
from turnsketch.part.centre_holes import CentreHole
from turnsketch.plan_records import Obstacle
from turnsketch.shop.records import TailstockCentre

__all__ = ["CENTRE_NAMES", "Seat", "centre_obstacles"]

CENTRE_NAMES = ("centre", "centre nose", "centre body", "quill")
"""Names of the tailstock's obstacles."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A centre hole in an end face."""

    hole: CentreHole
    face: float
    """z of the end face, part frame."""


def centre_obstacles(
    centre: TailstockCentre, seat: Seat | None, front: float
) -> tuple[Obstacle, ...]:
    """Return the centre as it stands in its hole: point, nose, body, quill.

    The point's cone lies in the hole's countersink, so that both have the hole's rim in the end
    face; without a hole the tip stands on the front face.

    Parameters
    ----------
    front : float
        z of the front face, for a centre without a hole.
    """
    slope = math.tan(math.radians(centre.point_included_deg / 2))
    rim, face = (seat.hole.countersink / 2, seat.face) if seat else (0.0, front)
    half = centre.point_diameter_mm / 2
    tip = face - rim / slope
    base = tip + half / slope
    nose = base + centre.nose_length_mm
    end = nose + centre.body_length_mm
    point = (Point(tip, 0.0), Point(base, half), Point(base, 0.0))
    placed = [Obstacle("centre", point)]
    if centre.nose_length_mm > 0:
        placed.append(Obstacle("centre nose", rectangle(base, nose, 0.0, half)))
    placed += [
        Obstacle("centre body", rectangle(nose, end, 0.0, centre.body_diameter_mm / 2)),
        Obstacle(
            "quill",
            rectangle(end, end + centre.quill_reach_mm, 0.0, centre.quill_diameter_mm / 2),
        ),
    ]
    return tuple(placed)
