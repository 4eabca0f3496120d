"""How Z of a tool is set: the face or the corner that it touches, and what is entered there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.blank_sizes import blank_words
from turnsketch.picture.shapes import around
from turnsketch.plan_records import Pass, SetupPlan, ToolRecord
from turnsketch.sheet.motions import diameter_left, motions_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput
from turnsketch.sheet.touching import Touch, corner_touch, touch_of
from turnsketch.units import from_mm

__all__ = ["TAILSTOCK", "THREADING", "SetZ", "set_z"]

TAILSTOCK = ("centre drill", "drill", "reamer", "countersink", "tap", "die")
THREADING = ("threading", "inside threading")
"""Kinds of tools that stand in the tailstock, or cut threads with one point."""


@dataclass(frozen=True, slots=True)
class SetZ:
    """What is touched for Z, and what is entered."""

    words: str
    enter: str
    touch: Touch | None = None


def _front(setup: SetupPlan, before: Sequence[Pass]) -> tuple[float, str]:
    """Return where the front face stands now, and its name."""
    front = around(setup.part).high.z if setup.part else 0.0
    if any(step.direction == "face" for step in before) or setup.raw_front_z <= front:
        return front, "the faced front"
    return setup.raw_front_z, "the raw front"


def set_z(
    given: SheetInput,
    setup: SetupPlan,
    record: ToolRecord,
    before: Sequence[Pass],
    numbers: Numbers,
) -> SetZ:
    """Say which face or corner sets Z, and what is entered there."""
    front, name = _front(setup, before)
    if record.kind in TAILSTOCK:
        if record.kind in ("drill", "reamer", "countersink"):
            return SetZ("touch as its row says, quill's scale to 0", "by the quill")
        return SetZ(f"tip on {name}, quill's scale to 0", "by the quill")
    if record.kind == "chamfer":
        found = _on_its_corner(given, setup, record, numbers)
        return found or SetZ(f"point level with {name}, by eye", _entered(front, numbers))
    if record.kind in THREADING:
        words = f"point level with {name}, by eye: a thread's Z need be no truer"
        return SetZ(words, _entered(front, numbers))
    touch = touch_of(record, numbers.units)
    if touch is None:
        return SetZ(f"reference level with {name}, by eye", _entered(front, numbers))
    enter = _entered(front + touch.offset, numbers)
    if touch.kind == "straight edge":
        words = f"right side, coming from the chuck, on a straight edge held flat on {name}"
        return SetZ(words, enter, touch)
    if touch.kind == "face":
        return SetZ(f"left side on {name}", enter, touch)
    under = numbers.length(2 * touch.height)
    at = _front_diameter(given, before, front, numbers)
    words = f"X {under} below {at}; come from the front: left edge on the corner of {name}"
    return SetZ(words, enter, touch)


def _front_diameter(
    given: SheetInput, before: Sequence[Pass], front: float, numbers: Numbers
) -> str:
    """Return the diameter at the front face: that of the last cut which began in front of it."""
    for step in reversed(before):
        left = diameter_left(step)
        cut = next((m for m in motions_of(step) if m.cut), None)
        if left is not None and cut and cut.before.z >= from_mm(front, numbers.units) - 1e-9:
            return f"Ø{numbers.x(left)}"
    return blank_words(given.job.blank).split(" × ")[0]


def _on_its_corner(
    given: SheetInput, setup: SetupPlan, record: ToolRecord, numbers: Numbers
) -> SetZ | None:
    """Set a chamfer tool on the first corner that it breaks, as the edge will meet it."""
    shift = around(setup.part).high.z if setup.part else 0.0
    corners = [c for c in given.part_in(setup).corners if c.kind == "chamfer" and c.convex]
    for step in setup.passes:
        cut = next((m for m in motions_of(step) if m.cut), None) if corners else None
        if step.tool != record.number or cut is None:
            continue
        r, z = (
            v * (1.0 if numbers.units == "mm" else 25.4) for v in (cut.before.x / 2, cut.before.z)
        )
        corner = min(corners, key=lambda c: abs(c.at.z + shift - z) + abs(c.at.r - r))
        place = corner.at.z + shift
        front = z >= place
        touch = corner_touch(record, corner.at.r - r, "left" if front else "right")
        if touch is None:
            return None
        side, way = ("left", "front") if front else ("right", "chuck")
        words = (
            f"X {numbers.x(cut.before.x)}; come from the {way}: {side} edge on the sharp corner "
            f"of Ø{numbers.diameter(2 * corner.at.r)} at Z {numbers.signed(place)}"
        )
        return SetZ(words, _entered(place + touch.offset, numbers), touch)
    return None


def _entered(mm: float, numbers: Numbers) -> str:
    text = numbers.z(from_mm(mm, numbers.units))
    return text if mm <= 0 or float(text) == 0 else f"+{text}"
