"""Where a tool touches the work so that the readout can be set, by plane geometry.

Every tool stands in front of the work or over it, in the frame of its record: the reference at
(0, 0), the work's axis below, the chuck on the left. Touching Z means to come along Z until
something of the cutting edge meets the work; what is entered belongs to the reference and not to
the point that touches.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Ring, ToolRecord
from turnsketch.units import INCH_MM, Units

__all__ = ["Touch", "corner_touch", "edge_at", "face_touch", "touch_of", "x_offset_mm"]

Side = Literal["left", "right"]
_AXIAL = ("centre drill", "drill", "reamer", "countersink", "tap", "die")
_INSIDE = ("boring", "inside grooving", "inside threading")
_LEANS = 1e-3
"""An edge that stands further out than its nose by more than this leans over it, millimetres."""


@dataclass(frozen=True, slots=True)
class Touch:
    """How Z is touched, relative to the place on the work that is touched. Millimetres."""

    kind: Literal["face", "straight edge", "corner"]
    side: Side
    """Side of the tool that touches."""
    offset: float
    """The readout's Z is the place's Z plus this."""
    height: float = 0.0
    """Corner: how far the tool's reference stands under the corner, on radius."""

    @property
    def paper(self) -> Literal[1, -1]:
        """Whether paper between tool and work adds to Z or is taken off."""
        return -1 if self.side == "right" else 1

    @property
    def corner(self) -> Point:
        """The work's touched corner (or a point of its face) seen from the reference."""
        return Point(-self.offset, self.height)


def _rings(tool: ToolRecord) -> list[Ring]:
    return [piece.ring for piece in tool.pieces if piece.cuts]


def x_offset_mm(tool: ToolRecord) -> float:
    """Return what is added to a touched diameter: a form tool's horn hangs under its reference."""
    if tool.reference == "centre" and tool.kind not in (
        "turning",
        "round",
        "form",
        "groove form",
        "parting",
    ):
        return 0.0  # a tool on the axis, a point
    if tool.kind in _INSIDE:
        return 0.0  # a bar below its edge, which points outward
    low = min((p.r for ring in _rings(tool) for p in ring), default=0.0)
    return -2 * low if low < -1e-9 else 0.0


def edge_at(tool: ToolRecord, height: float, side: Side) -> float | None:
    """Return how far the edge stands out to one side, at or below a height over the reference.

    Returns
    -------
    float or None
        Z seen from the reference; None when nothing of the tool is that low.
    """
    places = [z for ring in _rings(tool) for z in _below(ring, height)]
    if not places:
        return None
    return min(places) if side == "left" else max(places)


def _below(ring: Ring, height: float) -> Iterable[float]:
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        if a.r <= height:
            yield a.z
        if (a.r > height) != (b.r > height):
            yield a.z + (height - a.r) / (b.r - a.r) * (b.z - a.z)


def _nose_side(tool: ToolRecord, side: Side) -> float:
    """Return where the nose's own left or right side stands, from the reference."""
    left = {"left": 0.0, "centre": -1.0, "right": -2.0}[tool.reference] * tool.nose_radius
    return left if side == "left" else left + 2 * tool.nose_radius


def face_touch(tool: ToolRecord) -> Touch | None:
    """Return how a tool touches a face square to the axis; None when its edges lean over its nose.

    A tool for cutting toward the chuck touches with its left side. A left-hand tool leans to that
    side; its square edge is the right one, which touches a straight edge that is held flat on the
    face and sticks out beside the work.
    """
    if tool.kind == "chamfer" or tool.kind in _AXIAL:
        return None
    if tool.kind in ("turning", "groove form"):
        side: Side = "right" if tool.hand == "left" else "left"
        if _leans(tool, side):
            return None
        return Touch("straight edge" if side == "right" else "face", side, -_nose_side(tool, side))
    # A form tool's flank stands square above its reference; the horn is then in front of the face.
    left = min((p.z for ring in _rings(tool) for p in ring), default=None)
    return None if left is None else Touch("face", "left", -left)


def _leans(tool: ToolRecord, side: Side) -> bool:
    at = edge_at(tool, max(2 * tool.nose_radius, 1.0), side)
    nose = _nose_side(tool, side)
    return at is None or (at < nose - _LEANS if side == "left" else at > nose + _LEANS)


def corner_touch(tool: ToolRecord, height: float, side: Side = "left") -> Touch | None:
    """Return how a leaning edge touches a sharp corner of the work.

    Parameters
    ----------
    tool : ToolRecord
        The tool.
    height : float
        How far its reference stands below the corner, on radius.
    side : str
        The left edge touches a corner that looks toward the front, coming from the front.
    """
    if height <= 0:
        return None
    at = edge_at(tool, height, side)
    return None if at is None else Touch("corner", side, -at, height)


def touch_of(tool: ToolRecord, units: Units) -> Touch | None:
    """Return how a tool touches Z at the front: its face, or else the corner above it.

    For a corner the tool goes 2 mm (.080 in) on diameter below it.
    """
    found = face_touch(tool)
    if found is not None or tool.kind in _AXIAL:
        return found
    return corner_touch(tool, 1.0 if units == "mm" else 0.04 * INCH_MM)
