"""How each tool is set: what it touches, and what is entered in the readout."""

from __future__ import annotations

from collections.abc import Sequence

from turnsketch.plan_records import Pass, SetupPlan, ToolRecord
from turnsketch.sheet.moves_text import diameter_left
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput, ToolLine
from turnsketch.shop.records import Tool
from turnsketch.units import from_mm

__all__ = ["tool_lines", "touch_z_mm"]

_HANDS = {
    "right": "right hand, cuts toward the chuck",
    "left": "left hand, cuts away from the chuck",
    "neutral": "neutral",
}
_REFERENCES = {"left": "left side", "centre": "middle", "right": "right side"}


def touch_z_mm(tool: ToolRecord) -> float | None:
    """Return what Z reads when the tool's left side touches the front face at Z 0, millimetres.

    A tool in front of the face touches it with its own left side; the reading belongs to the
    reference, which stands as much further right as the tool is wide there. None for tools
    with slanting edges: they have no left side to touch with.
    """
    if tool.kind in ("chamfer", "form"):
        return None
    ring = [p for piece in tool.pieces if piece.cuts for p in piece.ring]
    if tool.kind == "turning" and tool.hand != "left":
        # The corner's own left side, not the flank that leans away behind it.
        return {"left": 0.0, "centre": 1.0, "right": 2.0}[tool.reference] * tool.nose_radius
    if tool.kind == "turning":
        return None
    return -min(p.z for p in ring) if ring else None


def tool_lines(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> tuple[ToolLine, ...]:
    """Return one line a tool, in the order in which the tools come to work."""
    shop = {tool.number: tool for tool in given.tools}
    lines: list[ToolLine] = []
    for number in dict.fromkeys(step.tool for step in setup.passes):
        record = next((t for t in setup.tools if t.number == number), None)
        if record is not None:
            lines.append(_line(given, setup, record, shop.get(number), numbers))
    return tuple(lines)


def _line(
    given: SheetInput, setup: SetupPlan, record: ToolRecord, tool: Tool | None, numbers: Numbers
) -> ToolLine:
    first = next(i for i, step in enumerate(setup.passes) if step.tool == record.number)
    set_x = _set_x(given, setup.passes[:first], numbers)
    set_z, enter_z = _set_z(setup, record, setup.passes[:first], numbers)
    return ToolLine(
        record,
        record.name,
        _nose(record, tool, numbers),
        _HANDS.get(record.hand, record.hand),
        _REFERENCES.get(record.reference, record.reference),
        set_x,
        set_z,
        enter_z,
        {"coolant": "coolant", "dry": "dry"}.get(tool.coolant, "") if tool else "",
    )


def _nose(record: ToolRecord, tool: Tool | None, numbers: Numbers) -> str:
    if tool is not None and tool.kind == "parting":
        return (
            f"blade {numbers.length(tool.width_mm)}, corners R{numbers.length(record.nose_radius)}"
        )
    if tool is not None and tool.kind == "chamfer":
        return f"point, {tool.chamfer_angle_deg:g}° edges"
    if tool is not None and tool.kind == "form":
        return f"form R{numbers.length(tool.form_radius_mm)}"
    return f"nose R{numbers.length(record.nose_radius)}" if record.nose_radius else "sharp corner"


def _set_x(given: SheetInput, before: Sequence[Pass], numbers: Numbers) -> str:
    """Say which diameter sets X; what is entered is always what the micrometer reads."""
    for step in reversed(before):
        left = diameter_left(step)
        if left is not None:
            return f"touch Ø{numbers.x(left)} left by pass {step.number}"
    if given.job.blank.skin == "black":
        return "black bar is no reference: take a light cut by hand, measure that"
    return f"touch the bar, Ø{given.job.blank.diameter}"


def _set_z(
    setup: SetupPlan, record: ToolRecord, before: Sequence[Pass], numbers: Numbers
) -> tuple[str, str]:
    """Say which face sets Z, and what is entered there."""
    faced = any(step.direction == "face" for step in before)
    face = 0.0 if faced or setup.raw_front_z <= 0 else setup.raw_front_z
    name = "the faced front" if face == 0.0 else "the raw front"
    touch = touch_z_mm(record)
    if touch is None:
        return f"reference level with {name}, by eye", _entered(face, numbers)
    return f"left side on {name}", _entered(face + touch, numbers)


def _entered(mm: float, numbers: Numbers) -> str:
    text = numbers.z(from_mm(mm, numbers.units))
    return text if mm <= 0 else f"+{text}"
