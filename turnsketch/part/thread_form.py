"""The 60 degree thread profile of ISO 68-1 and ASME B1.1 and what follows from it alone.

Millimetres (or any one unit of length throughout), diameters, radians. ``H = P sqrt(3) / 2`` is
the height of the sharp triangle; the crest is cut off at H/8 and the inside crest at H/4.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

__all__ = [
    "FLANK_ANGLE",
    "Limits",
    "ThreadLimits",
    "basic_minor",
    "basic_pitch_diameter",
    "best_wire",
    "full_depth_diameter",
    "lead_angle",
    "over_wires",
    "pitch_diameter_from_wires",
    "root_diameter",
    "sharp_height",
    "wire_range",
]

FLANK_ANGLE: Final = math.radians(30.0)
"""Angle of each flank from square to the axis."""

_SQRT3: Final = math.sqrt(3.0)


class Limits(NamedTuple):
    """Lower and upper limit of a diameter."""

    lower: float
    upper: float

    @property
    def middle(self) -> float:
        """What to aim at."""
        return (self.lower + self.upper) / 2


class ThreadLimits(NamedTuple):
    """The limits of a thread's three diameters, millimetres."""

    major: Limits
    """Inside: the upper one is the reference of ASME B1.13M (a root flat of P/24)."""
    pitch_diameter: Limits
    minor: Limits
    """Outside: the lower one goes with the smallest round root, of radius P/8 (ISO 965-1) or H/8
    (ASME B1.1)."""


def sharp_height(pitch: float) -> float:
    """Return H, the height of the sharp triangle: P sqrt(3) / 2 (ISO 68-1)."""
    return pitch * _SQRT3 / 2


def basic_pitch_diameter(major: float, pitch: float) -> float:
    """Return d2 = D2 = d - 3/4 H = d - 0.649519 P (ISO 724)."""
    return major - 0.75 * sharp_height(pitch)


def basic_minor(major: float, pitch: float) -> float:
    """Return d1 = D1 = d - 5/4 H = d - 1.082532 P (ISO 724): the inside thread's bore."""
    return major - 1.25 * sharp_height(pitch)


def root_diameter(major: float, pitch: float) -> float:
    """Return d3 = d - 17/12 H = d - 1.226869 P (ISO 68-1): root of a round H/6, outside."""
    return major - 17 / 12 * sharp_height(pitch)


def lead_angle(pitch_diameter: float, lead: float) -> float:
    """Return the angle of the helix at the pitch diameter: atan(lead / (pi d2)), radians."""
    return math.atan(lead / (math.pi * pitch_diameter))


def full_depth_diameter(
    pitch_diameter: float, pitch: float, tip_radius: float, *, inside: bool = False
) -> float:
    """Return the diameter at which the tool's own tip stands when `pitch_diameter` is reached.

    A round tip in the sharp groove of 60 degrees stands off its point by its radius: outside
    X = d2 - H + 2 rho, inside X = D2 + H - 2 rho.

    Parameters
    ----------
    pitch_diameter : float
        The one aimed at.
    pitch : float
        The thread's pitch (not its lead).
    tip_radius : float
        rho, radius of the tool's tip, >= 0.
    inside : bool
        A thread in a bore.

    Notes
    -----
    Exact where the helix is neglected (the profile in the axial plane is the tool's).
    """
    stand_off = sharp_height(pitch) - 2 * tip_radius
    return pitch_diameter + stand_off if inside else pitch_diameter - stand_off


def best_wire(pitch: float) -> float:
    """Return the wire that touches the flanks at the pitch line: P / (2 cos 30 deg)."""
    return pitch / _SQRT3


def wire_range(pitch: float) -> tuple[float, float]:
    """Return the smallest and the largest usable wire: 0.56 P and 0.90 P (shop textbook).

    Below the first it sinks under the crests (limit 0.505 P), above the second it nears the
    crests' edges (limit 1.01 P).
    """
    return 0.56 * pitch, 0.90 * pitch


def over_wires(pitch_diameter: float, pitch: float, wire: float) -> float:
    """Return the reading over three wires: M = d2 + 3 W - 0.866025 P.

    Exact for a groove without helix; the lead angle adds less than 0.002 mm to single threads of
    usual pitch.
    """
    return pitch_diameter + 3 * wire - sharp_height(pitch)


def pitch_diameter_from_wires(reading: float, pitch: float, wire: float) -> float:
    """Return the pitch diameter that a reading over three wires tells of; see `over_wires`."""
    return reading - 3 * wire + sharp_height(pitch)
