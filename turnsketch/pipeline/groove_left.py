"""Why metal stays in a groove: the tool's own corner, or nothing that makes the groove."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import shapely
from shapely import Polygon

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point, chain_chords
from turnsketch.part.outline_records import ResolvedGroove, ResolvedPart
from turnsketch.planning.fold import Planned
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import Units, from_mm

__all__ = ["GrooveCause", "groove_at", "groove_cause", "groove_makers"]

GrooveCause = tuple[str, str, str, float | None]
"""Cause, reason, remedy and the radius that stays, as `LeftOver` has them."""

_NEAR_MM = 0.01

_BESIDE_MM = 0.1
"""What a nose leaves in a corner lies between its two points of touch: it is no longer along z than
the nose is wide, and this for what is seen of it."""

_CUSP_MM = 0.1
"""What steps leave between them is no higher."""

_RING_SHARE = 0.1
"""DIN 471 and 472: corners of the groove up to this share of the ring's thickness (from memory)."""

_RING_PLAY_MM = 0.1
"""The groove is so much wider than the ring (0.15 from 2 mm on)."""


def groove_makers(works: Sequence[Planned]) -> Mapping[str, ToolShape]:
    """Return the tool that makes each groove last, by the groove's label."""
    found: dict[str, ToolShape] = {}
    for planned in works:
        for step in planned.steps:
            if step.operation.kind == "groove" and step.operation.tool is not None:
                for draft in step.passes:
                    found[draft.surface] = planned.ctx.shapes[step.operation.tool]
    return found


def groove_at(part: ResolvedPart, place: Point) -> ResolvedGroove | None:
    """Return the groove of the print in which a place (part frame) lies; None: in none."""
    point = shapely.Point(place)
    for groove in part.grooves:
        ring = Polygon(chain_chords(groove.elements, CHORD_FINE)).buffer(_NEAR_MM)
        if ring.covers(point):
            return groove
    return None


def groove_cause(
    groove: ResolvedGroove,
    makers: Mapping[str, ToolShape],
    size: tuple[float, float],
    allowed: float | None,
    units: Units,
) -> GrooveCause | None:
    """Return why metal stays in a groove; None where it is not the groove's tool.

    Parameters
    ----------
    size : (float, float)
        Height of what stays, and its length along z.
    allowed : float or None
        Radius that the print allows in inside corners.
    """
    shape = makers.get(groove.label)
    if shape is None:
        return "groove", f"nothing makes the {groove.label}", "add a grooving operation", None
    radius, (height, length) = shape.nose_radius, size
    if not shape.blade and length > 2 * radius + _BESIDE_MM and height > _CUSP_MM:
        reason = (
            f"the edges and the shank of T{shape.tool.number} do not let its nose onto this side "
            f"of the {groove.label}"
        )
        return "edge angle", reason, "grind a bit to the groove's form for this side", None
    if height > radius + 1e-3:
        return None
    word = "corner" if shape.blade else "nose"
    reason = (
        f"the {word} of T{shape.tool.number} (R{from_mm(radius, units):.3g}) stays in the inside "
        "corner"
    )
    if groove.kind == "ring" and radius <= _ring_corner(groove):
        return "ring corner", reason, "nothing to do: the ring's standard allows it", radius
    fine = allowed is not None and radius <= allowed + 1e-9
    remedy = "nothing to do: the print allows it" if fine else "take a tool with a sharper corner"
    return "nose", reason, remedy, radius


def _ring_corner(groove: ResolvedGroove) -> float:
    wide = groove.elements[0].start.z - groove.elements[-1].end.z
    return _RING_SHARE * (wide - _RING_PLAY_MM) + 1e-9
