"""Remedies about operations: their order, tools and settings, each in its own setup. No Qt.

The first change of a list that the program proposed writes the proposal into the job.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec

from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.operation_edits import usable_tools
from turnsketch.desk.remedy_case import Case, Remedy
from turnsketch.document.setups import change_holding, change_setup
from turnsketch.job import Operation
from turnsketch.part.centre_holes import usual_size
from turnsketch.part.text import parse
from turnsketch.shop.records import Tool

__all__ = [
    "all_switched_on",
    "allowed_depth",
    "centre_hole_added",
    "faced_first",
    "fitting_tool",
    "hole_for_the_centre",
    "idle_left_out",
    "longer_blade",
    "more_to_finish",
    "part_off_added",
    "put_last",
    "reaching",
    "switched_off",
    "usual_feed",
    "usual_speed",
    "with_centre_hole",
]

_ALLOWANCE_MM = 0.3
"""On radius, left for the finish (common practice): what the program proposes."""
_SMALL = 1e-6


def _named(case: Case) -> str:
    operation = case.operation
    return "" if operation is None else operation.kind


# What stands in the list


def switched_off(case: Case) -> Remedy | None:
    """Switch the operation off."""
    if case.operation is None:
        return None
    return Remedy(case.with_operation(enabled=False), f"Switch {_named(case)} off")


def idle_left_out(case: Case) -> Remedy | None:
    """Leave out an operation that has nothing to do; one with a wrong tool gets another."""
    if case.operation is None:
        return None
    if case.finding.severity == "note":
        return switched_off(case)
    return fitting_tool(case)


def put_last(case: Case) -> Remedy | None:
    """Move the operation that frees a piece to the end of the list."""
    operation = case.operation
    if operation is None or operation is case.operations[-1]:
        return None
    rest = [o for o in case.operations if o is not operation]
    return Remedy(case.with_list([*rest, operation]), f"Put {operation.kind} last")


def all_switched_on(case: Case) -> Remedy | None:
    """Switch on what is off, or give a list that is not the program's back to it."""
    if not case.own_list:
        return None
    off = [o for o in case.operations if not o.enabled and o.kind in ("rough", "finish", "chamfer")]
    if off:
        listed = [msgspec.structs.replace(o, enabled=True) if o in off else o
                  for o in case.operations]  # fmt: skip
        kinds = " and ".join(dict.fromkeys(o.kind for o in off))
        return Remedy(case.with_list(listed), f"Switch {kinds} on")
    ours = [(o.kind, o.tool, o.sections) for o in case.operations if o.enabled]
    if not case.proposal or ours == [(o.kind, o.tool, o.sections) for o in case.proposal]:
        return None
    return Remedy(change_setup(case.job, case.index, operations=None), "Operations as proposed")


def part_off_added(case: Case) -> Remedy | None:
    """Add parting off with the narrowest blade that reaches, where no centre holds the part."""
    off = next((o for o in case.operations if o.kind == "part off"), None)
    blade = _blade(case, case.bar_mm / 2)
    if case.holding.centre or case.holding.kind != "chuck" or (blade is None and off is None):
        return None
    if off is not None:
        listed = [msgspec.structs.replace(o, enabled=True) if o is off else o
                  for o in case.operations]  # fmt: skip
        return Remedy(case.with_list(listed), "Switch part off on")
    assert blade is not None
    listed = [*case.operations, Operation("part off", blade.number)]
    return Remedy(case.with_list(listed), f"Part off with T{blade.number}")


def _blade(case: Case, depth_mm: float) -> Tool | None:
    """Return the narrowest blade that goes so deep, its corner beyond the axis."""
    room = case.shop.clearances.holder_to_metal
    reaching = [
        t
        for t in case.shop.tools
        if t.kind == "parting" and t.reach_mm >= depth_mm + t.corner_radius_mm + room - _SMALL
    ]
    return min(reaching, key=lambda t: (t.width_mm, t.number), default=None)


# Centre holes


def with_centre_hole(case: Case, operations: Sequence[Operation]) -> list[Operation] | None:
    """Return the list with a centre hole after facing; None when the shop has no drill for it."""
    if any(o.kind == "centre hole" and o.enabled for o in operations):
        return list(operations)
    drills = usable_tools(case.shop, "centre hole")
    size = usual_size(case.bar_mm)
    drill = min(drills, key=lambda t: (abs(t.centre_size_mm - size), t.number), default=None)
    if drill is None:
        return None
    faces = [i for i, o in enumerate(operations) if o.kind == "face"]
    at = faces[-1] + 1 if faces else 0
    return [*operations[:at], Operation("centre hole", drill.number), *operations[at:]]


def centre_hole_added(case: Case) -> Remedy | None:
    """Add the centre hole after facing."""
    listed = with_centre_hole(case, case.operations) if case.operations else None
    return None if listed is None else Remedy(case.with_list(listed), "Add the centre hole")


def hole_for_the_centre(case: Case) -> Remedy | None:
    """Give the end that the centre holds its hole: drilled here, or, between centres, before."""
    if case.holding.kind == "between centres":
        job = change_holding(case.job, case.index, centred_blank=True)
        return Remedy(job, "The blank comes with both holes")
    return centre_hole_added(case) if case.job.part.centre_hole != "not allowed" else None


def faced_first(case: Case) -> Remedy | None:
    """Face the end before its centre hole is drilled."""
    operation, operations = case.operation, list(case.operations)
    if operation is None:
        return None
    at = operations.index(operation)
    later = next((o for o in operations[at:] if o.kind == "face"), None)
    tools = usable_tools(case.shop, "face")
    if later is None and not tools:
        return None
    face = later if later is not None else Operation("face", tools[0].number)
    rest = [o for o in operations if o is not later]
    rest.insert(rest.index(operation), msgspec.structs.replace(face, enabled=True))
    return Remedy(case.with_list(rest), "Face the end first")


# Tools


def fitting_tool(case: Case) -> Remedy | None:
    """Take the tool that the program proposes for this purpose, else the first made for it."""
    operation = case.operation
    if operation is None:
        return None
    usable = usable_tools(case.shop, operation.kind)
    if operation.tool in {t.number for t in usable}:
        return None
    if operation.kind == "part off":
        return longer_blade(case)
    proposed = [o.tool for o in case.proposal if o.kind == operation.kind]
    numbers = [n for n in proposed if n is not None] or [t.number for t in usable]
    if not numbers:
        return None
    return Remedy(case.with_operation(tool=numbers[0]), f"Take T{numbers[0]} for {operation.kind}")


def longer_blade(case: Case) -> Remedy | None:
    """Take the narrowest blade that reaches the axis."""
    operation, blade = case.operation, _blade(case, case.bar_mm / 2)
    if operation is None or blade is None or blade.number == operation.tool:
        return None
    return Remedy(case.with_operation(tool=blade.number), f"Part off with T{blade.number}")


def reaching(case: Case) -> Remedy | None:
    """Take away metal that stays: by what is switched off, by a smaller nose, by the proposal."""
    if case.finding.severity == "note":
        return None
    return _smaller_nose(case) if case.finding.code == "left-over-nose" else all_switched_on(case)


def _smaller_nose(case: Case) -> Remedy | None:
    """Finish with the largest nose that the print's inside corners allow, of the same hand."""
    text = case.job.part.inside_corners
    if text is None:
        return None
    allowed = parse(text, case.job.units, {"radius"}).nominal
    listed, taken = list(case.operations), set[int]()
    for number, operation in enumerate(listed):
        tool = case.tool(operation.tool)
        if operation.kind != "finish" or tool is None or tool.nose_radius_mm <= allowed + _SMALL:
            continue
        slim = [t for t in case.shop.tools
                if t.kind == tool.kind and t.hand == tool.hand
                and 0 < t.nose_radius_mm <= allowed + _SMALL]  # fmt: skip
        if slim:
            best = max(slim, key=lambda t: (t.nose_radius_mm, -t.number))
            listed[number] = msgspec.structs.replace(operation, tool=best.number)
            taken.add(best.number)
    if not taken:
        return all_switched_on(case)
    tools = " and ".join(f"T{n}" for n in sorted(taken))
    return Remedy(case.with_list(listed), f"Finish with {tools}")


# Settings


def allowed_depth(case: Case) -> Remedy | None:
    """Set the depth that tool, edge and shop allow; a finish that is too deep gets its roughing."""
    operation = case.operation
    if operation is None:
        return None
    tool = case.tool(operation.tool)
    if operation.kind == "finish":
        return _closer_roughing(case, tool) or all_switched_on(case)
    if tool is None or operation.kind not in ("rough", "face"):
        return None
    limit = min(tool.greatest_depth_mm, _edge_mm(tool), case.shop.limits.greatest_depth_mm or 1e9)
    text = length_text(math.floor(limit * 100 + _SMALL) / 100, case.job.units)
    return Remedy(case.with_operation(depth=text), f"Set a depth of {text}")


def _closer_roughing(case: Case, finisher: Tool | None) -> Remedy | None:
    """Give back to the program what roughing leaves, where it is too much for the finish."""
    if finisher is None:
        return None
    limit = min(finisher.greatest_depth_mm, _edge_mm(finisher))
    listed, changed = list(case.operations), False
    for number, rough in enumerate(listed):
        if rough.kind != "rough" or rough.x_allowance is None:
            continue
        if parse(rough.x_allowance, case.job.units, {"length"}).nominal > limit + _SMALL:
            listed[number] = msgspec.structs.replace(rough, x_allowance=None)
            changed = True
    return Remedy(case.with_list(listed), "Rough closer") if changed else None


def _edge_mm(tool: Tool) -> float:
    """Return the depth at which the usable edge is engaged in full."""
    if tool.kind == "round":
        return tool.usable_edge_mm if tool.usable_edge_mm is not None else tool.nose_radius_mm / 2
    usable = tool.usable_edge_mm if tool.usable_edge_mm is not None else tool.edge_length_mm * 2 / 3
    return usable * math.sin(math.radians(min(tool.edge_angle_deg, 90.0)))


def usual_feed(case: Case) -> Remedy | None:
    """Give the feed back to the program, which keeps to lathe, tool and the print's roughness."""
    if case.operation is None or case.operation.feed is None:
        return None
    return Remedy(case.with_operation(feed=None), f"Usual feed for {_named(case)}")


def usual_speed(case: Case) -> Remedy | None:
    """Give the speed back to the program."""
    operation = case.operation
    if operation is None or (operation.rpm is None and operation.surface_speed is None):
        return None
    job = case.with_operation(rpm=None, surface_speed=None)
    return Remedy(job, f"Usual speed for {_named(case)}")


def more_to_finish(case: Case) -> Remedy | None:
    """Leave the finish as much as its edge needs, where a roughing operation leaves less."""
    operation = case.operation
    tool = case.tool(operation.tool) if operation is not None else None
    if operation is None or tool is None:
        return None
    wanted = max(_ALLOWANCE_MM, 1.5 * tool.thinnest_cut_mm)
    listed, changed = list(case.operations), False
    for number, rough in enumerate(listed):
        if rough.kind != "rough" or rough.x_allowance is None:
            continue
        if parse(rough.x_allowance, case.job.units, {"length"}).nominal < wanted - _SMALL:
            text = None if wanted <= _ALLOWANCE_MM else length_text(wanted, case.job.units)
            listed[number] = msgspec.structs.replace(rough, x_allowance=text)
            changed = True
    if not changed:
        return None
    return Remedy(case.with_list(listed), f"Leave {length_text(wanted, case.job.units)} on X")
