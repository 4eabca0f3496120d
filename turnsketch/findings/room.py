"""How much room there is between the part's back and the jaws. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.findings.view import PlanView

__all__ = ["Room", "blade_left_of", "room_behind"]


@dataclass(frozen=True, slots=True)
class Room:
    """What stands between the part's back face and the jaws."""

    blade_mm: float
    """Width of the blade that is to part off; 0: none is."""
    missing: float
    """How much further the blank would have to stand out, the clearance to the jaws included;
    not positive: there is room."""
    into_jaws: float
    """How far the part itself reaches beyond the face of the jaws."""
    from_grip: bool
    """Less grip, though no less than the shop asks for, would give what is missing."""
    short_mm: float
    """How much longer the blank must be with the least grip."""


def room_behind(view: PlanView) -> Room:
    """Return the room behind the part for blade and clearance."""
    setup = view.setup
    blade = max(
        (view.tool(o.tool).width_mm for o in setup.operations if o.kind == "part off"),
        default=0.0,
    )
    missing = setup.jaw_face_z + view.shop.clearances.cut_to_jaws + blade - view.end_z
    spare = setup.grip_mm - view.chuck.least_grip_mm
    return Room(
        blade,
        missing if missing > 1e-6 else 0.0,
        max(0.0, setup.jaw_face_z - view.end_z),
        missing <= spare + 1e-6,
        missing - spare,
    )


def blade_left_of(view: PlanView, tool_number: int, z: float) -> float:
    """Return the z of a blade's left side when its reference stands at `z`."""
    tool = view.tool(tool_number)
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[tool.reference]
    return z - share * tool.width_mm
