"""Surface speed for a material, a tool's material and a purpose, as the shop file gives it."""

from __future__ import annotations

from typing import Final, Literal

from turnsketch.shop.records import Material

__all__ = ["CAUTIOUS_M_MIN", "Purpose", "surface_speed"]

CAUTIOUS_M_MIN: Final = 20.0
"""Where the shop file says nothing: slow for any metal (common practice)."""

Purpose = Literal["rough", "finish", "part off"]


def surface_speed(material: Material | None, tool_material: str, purpose: Purpose) -> float:
    """Return the surface speed in metres a minute.

    Without an entry for the tool's material the slowest speed of the material is taken.
    """
    if material is None:
        return CAUTIOUS_M_MIN
    found = [s for s in material.speeds if s.tool_material == tool_material]
    if not found:
        return min((s.part_off_m_min for s in material.speeds), default=CAUTIOUS_M_MIN)
    if purpose == "finish":
        return found[0].finish_m_min
    return found[0].rough_m_min if purpose == "rough" else found[0].part_off_m_min
