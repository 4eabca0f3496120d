"""Cutting force and power after Kienzle, and the rate at which metal comes off.

``h = f sin k``, ``b = a / sin k``, ``kc = kc11 h^-mc``, ``Fc = kc b h``, ``Pc = Fc v / 60000``.
The constants differ by 10 to 20 % between handbooks, and a worn edge needs more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from turnsketch.shop.records import Lathe, Material

__all__ = [
    "CutLoad",
    "bar_push_off_mm",
    "cut_load",
    "greatest_depth_mm",
    "removal_rate_cm3_min",
    "specific_force",
]

PASSIVE_SHARE: Final = 0.5
"""Passive force over cutting force (common practice; it grows with the nose and thin cuts)."""

BAR_MODULUS_N_MM2: Final[Mapping[str, float]] = MappingProxyType(
    {"steel": 210000.0, "carbide": 550000.0}
)
"""Young's modulus: steel as in ``tables/modulus.csv``, solid carbide from memory."""


@dataclass(frozen=True, slots=True)
class CutLoad:
    """What one cut asks of the tool and the lathe."""

    chip_thickness_mm: float
    chip_width_mm: float
    specific_n_mm2: float
    force_n: float
    power_kw: float
    """At the tool; the motor gives this divided by the lathe's efficiency."""


def specific_force(kc11_n_mm2: float, mc: float, chip_thickness_mm: float) -> float:
    """Return the specific cutting force ``kc11 h^-mc`` in N/mm2, h in millimetres."""
    return float(kc11_n_mm2 * chip_thickness_mm**-mc)


def cut_load(
    material: Material,
    depth_mm: float,
    feed_mm_per_rev: float,
    edge_angle: float,
    surface_m_min: float,
) -> CutLoad:
    """Return the load of a cut.

    Parameters
    ----------
    material : Material
        Its specific cutting force and exponent.
    depth_mm : float
        Radial depth of the cut (axial when facing).
    edge_angle : float
        Angle of the leading edge to the feed, radians, above 0 and below pi.
    """
    sine = math.sin(edge_angle)
    thickness, width = feed_mm_per_rev * sine, depth_mm / sine
    specific = specific_force(material.kc11_n_mm2, material.mc, thickness)
    force = specific * width * thickness
    return CutLoad(thickness, width, specific, force, force * surface_m_min / 60000)


def greatest_depth_mm(
    material: Material, lathe: Lathe, feed_mm_per_rev: float, edge_angle: float, v_m_min: float
) -> float:
    """Return the depth at which the cut takes all that the lathe gives at the tool."""
    unit = cut_load(material, 1.0, feed_mm_per_rev, edge_angle, v_m_min)
    return lathe.power_kw * lathe.efficiency / unit.power_kw


def bar_push_off_mm(load: CutLoad, reach_mm: float, bar_mm: float, bar_material: str) -> float:
    """Return how far a cut pushes the end of a boring bar away from the wall, millimetres.

    A bar clamped at one end: ``F L^3 / (3 E I)`` with ``I = pi d^4 / 64``; F is the passive force,
    about half of the cutting force (common practice).
    """
    inertia = math.pi * bar_mm**4 / 64
    force = PASSIVE_SHARE * load.force_n
    return force * reach_mm**3 / (3 * BAR_MODULUS_N_MM2[bar_material] * inertia)


def removal_rate_cm3_min(depth_mm: float, feed_mm_per_rev: float, surface_m_min: float) -> float:
    """Return ``Q = a f v`` in cm3 a minute (with the diameter before the cut a little high)."""
    return depth_mm * feed_mm_per_rev * surface_m_min
