"""How each tool is set: what it touches, and what is entered in the readout."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from turnsketch.plan_records import Pass, SetupPlan, ToolRecord
from turnsketch.sheet.bore_rows import bore_place
from turnsketch.sheet.hand_work import coolant_for
from turnsketch.sheet.lands import touch_place
from turnsketch.sheet.motions import diameter_left
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput, ToolLine
from turnsketch.sheet.setting_z import TAILSTOCK, THREADING, set_z
from turnsketch.sheet.touching import x_offset_mm
from turnsketch.shop.records import Tool

__all__ = ["setting_lines", "tool_lines", "touch_words"]

_HANDS = {
    "right": "right hand: cuts toward the chuck",
    "left": "left hand: cuts away from the chuck",
    "neutral": "neutral",
}
_REFERENCES = {"left": "left side", "centre": "middle", "right": "right side"}

_ON_CORNER = dict.fromkeys(
    ("chamfer", "form"),
    "the sharp corner that it breaks, its Ø as the last cut left it (NO trial cut: what stands "
    "is finished)",
)
"""What sets X of an edge's own tool where nothing can be spanned."""

_PIP_MM = 0.1
"""A face cut that stops farther from the axis ends on a hole or a shoulder: no pip is left."""


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
    before = setup.passes[:first]
    z = set_z(given, setup, record, before, numbers)
    add = x_offset_mm(record)
    drill = record.kind in TAILSTOCK
    facing = any(_to_the_axis(s) for s in setup.passes if s.tool == record.number)
    return ToolLine(
        tool=record,
        name=record.name,
        nose=_nose(record, tool, numbers),
        hand="" if drill else _HANDS.get(record.hand, record.hand),
        reference=_REFERENCES.get(record.reference, record.reference),
        set_x="in the tailstock, on the axis" if drill else _set_x(given, setup, first, numbers),
        set_z=z.words,
        enter_z=z.enter,
        coolant=coolant_for(tool, given.material) if tool else "",
        enter_x=_enter_x(record, add, numbers) if not drill else "nothing",
        first_pass=setup.passes[first].number,
        touch=z.touch,
        height=_height(record, facing=facing),
    )


def _to_the_axis(step: Pass) -> bool:
    """Tell whether a pass faces as far as the axis, where a tool too low leaves a pip."""
    cuts = [move.to.r for move in step.moves if move.kind == "cut"]
    return step.direction == "face" and min(cuts, default=1.0) < _PIP_MM


def touch_words(given: SheetInput, setup: SetupPlan, index: int, numbers: Numbers) -> str:
    """Say where the tool of a pass is touched again: "X on Ø20.00 left by pass 7, Z ..."."""
    step = setup.passes[index]
    record = next((t for t in setup.tools if t.number == step.tool), None)
    if record is None or record.kind in TAILSTOCK:
        return ""
    place = touch_place(given, setup, index, numbers) or _ON_CORNER.get(record.kind, "a trial cut")
    if step.inside:
        place = f"the hole, {bore_place(setup, index, numbers) or 'a trial cut'}"
    z = set_z(given, setup, record, setup.passes[:index], numbers)
    return f"X on {place}; Z {z.enter}: {z.words}"


def _enter_x(record: ToolRecord, add: float, numbers: Numbers) -> str:
    """Return what is entered for X: the measured diameter, and a form tool's horn twice."""
    if record.kind in ("boring", "inside grooving", "inside threading"):
        return "the hole as measured"
    return f"micrometer + {numbers.length(add)}" if add else "micrometer"


def _height(record: ToolRecord, *, facing: bool) -> str:
    if record.kind in THREADING:
        return "on centre height, square to the work by the thread gauge"
    if record.kind in TAILSTOCK:
        return "tailstock on the axis: the tip must not wander"
    return "on centre height: facing must leave no pip" if facing else "on centre height"


def _nose(record: ToolRecord, tool: Tool | None, numbers: Numbers) -> str:
    if tool is not None and tool.kind == "parting":
        return (
            f"blade {numbers.length(tool.width_mm)}, corners R{numbers.length(record.nose_radius)}"
        )
    if tool is not None and tool.kind == "chamfer":
        return f"point, {tool.chamfer_angle_deg:g}° edges"
    if tool is not None and tool.kind == "centre drill":
        return f"size {tool.centre_size_mm:g}"
    if tool is not None and tool.kind in ("drill", "countersink"):
        point = f", point {tool.point_angle_deg:g}°"
        return f"Ø{numbers.length(tool.diameter_mm)}{point}"
    if tool is not None and tool.kind == "reamer":
        return f"Ø{numbers.fine(tool.diameter_mm)}"
    if tool is not None and tool.kind in ("tap", "die"):
        return tool.thread
    if tool is not None and tool.kind in THREADING:
        return f"{tool.profile_angle_deg:g}° point, tip r {numbers.length(tool.nose_radius_mm)}"
    if tool is not None and tool.kind == "knurl":
        width, size = numbers.length(tool.width_mm), numbers.length(tool.diameter_mm)
        return f"wheels {tool.knurl}, {width} wide, Ø{size}"
    if tool is not None and tool.kind == "groove form":
        edges = f"{tool.edge_angle_deg:g}° and {tool.end_edge_angle_deg:g}°"
        return f"nose R{numbers.length(tool.nose_radius_mm)}, edges {edges}"
    if tool is not None and tool.kind == "form":
        return f"form R{numbers.length(tool.form_radius_mm)}"
    return f"nose R{numbers.length(record.nose_radius)}" if record.nose_radius else "sharp corner"


def _set_x(given: SheetInput, setup: SetupPlan, first: int, numbers: Numbers) -> str:
    """Say which diameter sets X; what is entered is always what the micrometer reads."""
    if setup.passes[first].inside:
        hole = bore_place(setup, first, numbers)
        return f"touch the wall of the hole, {hole}" if hole else "drill first: no hole is open"
    place = touch_place(given, setup, first, numbers)
    if place:
        return f"touch {place}"
    if given.job.blank.skin == "black" and not first:
        return "black bar is no reference: take a light cut by hand, measure that"
    record = next((t for t in setup.tools if t.number == setup.passes[first].tool), None)
    if first and record is not None and record.kind in _ON_CORNER:
        return f"touch {_ON_CORNER[record.kind]}"
    return "nothing to span stands: take a trial cut first, by hand, and measure that"


def setting_lines(
    given: SheetInput, setup: SetupPlan, lines: Sequence[ToolLine], numbers: Numbers
) -> tuple[str, ...]:
    """Return what holds for setting all tools: paper, trial cut, black bar."""
    return tuple(_setting(given, setup, lines, numbers)) if lines else ()


def _setting(
    given: SheetInput, setup: SetupPlan, lines: Sequence[ToolLine], numbers: Numbers
) -> Iterator[str]:
    away = [f"T{line.tool.number}" for line in lines if line.touch and line.touch.paper < 0]
    words = (
        "Paper touch, spindle off: measure the paper, thickness t. Add 2 t to X and t to Z, "
        "then enter"
    )
    yield words + (f"; {', '.join(away)}: take t off Z." if away else ".")
    bars = dict.fromkeys(f"T{p.tool}" for p in setup.passes if p.inside and p.direction == "turn")
    if bars:
        yield (
            f"Boring ({', '.join(bars)}): X grows as the hole does, the wheel turns the other way. "
            "Measure the hole, enter it as X with the edge on its wall; after the first cut go "
            "back along Z only, stop, measure again, enter that."
        )
    trial = _trial_cuts(setup)
    if trial:
        anvil = "8 mm" if numbers.units == "mm" else ".32 in"
        yield (
            f"Trial cut, {trial}: after {anvil} go back along Z only, stop, measure, enter what "
            "the micrometer reads as X, then go on."
        )
    if given.job.blank.skin == "black":
        least = "0.5 mm" if numbers.units == "mm" else ".020 in"
        yield (
            f"Black bar: the scale is hard and out of true; the first cut goes at least {least} "
            "deep under it. Never set a tool on it."
        )


def _trial_cuts(setup: SetupPlan) -> str:
    """Return the first cut along a cylinder of each tool that no measure stop has set."""
    found: dict[int, int] = {}
    measured: set[int] = set()
    for index, step in enumerate(setup.passes):
        # A cut that a stop follows is measured there.
        here = setup.passes[index : index + 2]
        measured |= {near.tool for near in here if near.measure is not None}
        if (
            step.knurl is not None
            or step.tool in measured
            or step.last_on_surface
            or diameter_left(step) is None
            or step.inside
        ):
            continue
        if not step.keep_x:
            found.setdefault(step.tool, step.number)
    return ", ".join(f"T{tool} in pass {number}" for tool, number in found.items())
