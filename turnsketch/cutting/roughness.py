"""Theoretical roughness that feed and nose leave on a turned surface.

A round nose leaves scallops of height ``Rt = r - sqrt(r^2 - f^2/4)``, close to ``f^2 / (8 r)``; a
parabolic scallop has ``Ra = f^2 / (18 sqrt(3) r)``. A pointed tool leaves
``Rt = f / (cot k + cot k')`` and Ra is a quarter of it. Feeds and radii in millimetres, roughness
in micrometres. Real surfaces are rougher, see `REAL_SURFACE_FACTOR`.
"""

from __future__ import annotations

import math
from typing import Final

__all__ = [
    "REAL_SURFACE_FACTOR",
    "feed_for_ra",
    "ra_exact_um",
    "ra_um",
    "real_ra_um",
    "round_nose_holds",
    "rt_parabola_um",
    "rt_um",
]

REAL_SURFACE_FACTOR: Final = (1.2, 2.0)
"""Real surfaces come out this many times rougher than the geometry says (rule of thumb)."""

_RA_DIVISOR: Final = 18 * math.sqrt(3)


def round_nose_holds(
    feed_mm: float, nose_mm: float, edge_angle: float, end_edge_angle: float
) -> bool:
    """Tell whether the whole scallop lies on the nose: ``f <= 2 r sin k`` and ``2 r sin k'``.

    Angles in radians. Beyond it a straight edge cuts part of the scallop and the round-nose
    formulas give more than the tool leaves.
    """
    lead = 1.0 if edge_angle >= math.pi / 2 else math.sin(edge_angle)
    return feed_mm <= 2 * nose_mm * min(lead, math.sin(end_edge_angle))


def rt_um(
    feed_mm: float,
    nose_mm: float,
    edge_angle: float | None = None,
    end_edge_angle: float | None = None,
) -> float:
    """Return the exact height of the scallops, micrometres.

    Parameters
    ----------
    feed_mm, nose_mm : float
        Feed per revolution and nose radius, millimetres.
    edge_angle, end_edge_angle : float, optional
        Angles of the leading and trailing edge, radians; only a pointed tool (nose 0) needs them.

    Raises
    ------
    ValueError
        When the nose cannot leave a scallop: a feed over twice its radius, or no angles for a
        pointed tool.
    """
    if nose_mm > 0:
        if feed_mm > 2 * nose_mm:
            raise ValueError("the feed is wider than the nose")
        half = feed_mm / 2
        # r - sqrt(r^2 - h^2) without the loss of digits.
        return 1000 * half * half / (nose_mm + math.sqrt(nose_mm * nose_mm - half * half))
    if edge_angle is None or end_edge_angle is None:
        raise ValueError("a pointed tool needs both edge angles")
    lead = max(0.0, 1 / math.tan(edge_angle))  # past square the corner itself makes the wall
    return 1000 * feed_mm / (lead + 1 / math.tan(end_edge_angle))


def rt_parabola_um(feed_mm: float, nose_mm: float) -> float:
    """Return ``f^2 / (8 r)``, the usual short form of `rt_um`, micrometres."""
    return 1000 * feed_mm * feed_mm / (8 * nose_mm)


def ra_um(
    feed_mm: float,
    nose_mm: float,
    edge_angle: float | None = None,
    end_edge_angle: float | None = None,
) -> float:
    """Return the mean roughness of a parabolic scallop, or of a pointed tool's teeth, micrometres.

    The familiar ``f^2 / (32 r)`` is this rounded, and 2.6 % low. Parameters and errors as in
    `rt_um`.
    """
    if nose_mm > 0:
        return 1000 * feed_mm * feed_mm / (_RA_DIVISOR * nose_mm)
    return rt_um(feed_mm, nose_mm, edge_angle, end_edge_angle) / 4


def ra_exact_um(feed_mm: float, nose_mm: float) -> float:
    """Return the mean roughness of circular scallops, integrated in closed form, micrometres.

    Raises
    ------
    ValueError
        When the feed is wider than the nose.
    """
    half, r = feed_mm / 2, nose_mm
    if half > r:
        raise ValueError("the feed is wider than the nose")

    def area(x: float) -> float:
        """Return the integral of sqrt(r^2 - x^2) from 0."""
        return (x * math.sqrt(r * r - x * x) + r * r * math.asin(x / r)) / 2

    mean = r - area(half) / half
    crossing = math.sqrt(mean * (2 * r - mean))
    return 1000 * 2 / half * ((mean - r) * crossing + area(crossing))


def feed_for_ra(ra_limit_um: float, nose_mm: float) -> float:
    """Return the feed at which a round nose leaves `ra_limit_um` in theory, mm per revolution.

    The inverse of `ra_um`: ``f = sqrt(18 sqrt(3) r Ra)``. Plan with a margin for real surfaces:
    divide the limit by `REAL_SURFACE_FACTOR` first.
    """
    return math.sqrt(_RA_DIVISOR * nose_mm * ra_limit_um / 1000)


def real_ra_um(theoretical_um: float) -> tuple[float, float]:
    """Return the range in which the real roughness is to be expected (rule of thumb)."""
    low, high = REAL_SURFACE_FACTOR
    return theoretical_um * low, theoretical_um * high
