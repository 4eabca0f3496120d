"""Findings about the thickness of cuts: too deep for tool or setting, too thin to cut."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.findings.metal import taken_as_read
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed, them
from turnsketch.plan_records import Finding, Pass, PlannedOperation
from turnsketch.shop.records import Tool

__all__ = ["chamfer_too_wide", "setting_held_back", "thin_finish", "too_deep"]

SLACK = 1.08
"""A cut may be so much deeper than the setting where that saves one."""

_NOTHING_MM = 0.002
"""A pass that takes less only slides along what is finished already."""

_FINISHES = ("finish", "finish bore")

_Limit = tuple[float, str]


def too_deep(view: PlanView) -> Iterator[Finding]:
    """Cuts deeper than the edge can take, the tool is used for, or the setting says."""
    groups: dict[tuple[float, str, bool], list[Pass]] = {}
    for operation, passes in view.by_operation("face", "rough", "finish", "bore", "finish bore"):
        limit, who = min(_limits(view, operation), key=lambda pair: pair[0])
        for made in passes:
            if made.depth > SLACK * limit:
                groups.setdefault((limit, who, operation.kind in _FINISHES), []).append(made)
    for (limit, who, last), deep in groups.items():
        worst = max(deep, key=lambda p: p.depth)
        yield finding(
            "too-deep",
            "caution",
            f"{them([p.number for p in deep], 'cuts', 'cut')} {view.text(worst.depth)} deep at "
            f"most; {who} {view.text(limit)}",
            "rough closer first" if last else "set a smaller depth",
            pass_number=worst.number,
        )


def _limits(view: PlanView, operation: PlannedOperation) -> list[_Limit]:
    tool = view.tool(operation.tool)
    name = f"T{tool.number}"
    limits: list[_Limit] = [
        (_edge_takes(tool), f"{name}'s edge can take"),
        (tool.greatest_depth_mm, f"{name} is used for at most"),
    ]
    listed = view.settings(operation.number)
    if listed is not None and listed.depth is not None and operation.depth_mm is not None:
        limits.append((operation.depth_mm, "the operation is set to"))
    if view.shop.limits.greatest_depth_mm is not None and operation.kind != "face":
        limits.append((view.shop.limits.greatest_depth_mm, "this shop allows trainees"))
    return limits


def _edge_takes(tool: Tool) -> float:
    """Return the depth at which the usable edge is engaged in full; see `Tool.usable_edge_mm`."""
    if tool.kind == "round":
        return tool.usable_edge_mm if tool.usable_edge_mm is not None else tool.nose_radius_mm / 2
    usable = tool.usable_edge_mm if tool.usable_edge_mm is not None else tool.edge_length_mm * 2 / 3
    return usable * math.sin(math.radians(min(tool.edge_angle_deg, 90.0)))


def setting_held_back(view: PlanView) -> Iterator[Finding]:
    """A depth that the job asks for and the trainee's limit does not allow."""
    limit = view.shop.limits.greatest_depth_mm
    for operation, passes in view.by_operation("rough", "bore"):
        listed = view.settings(operation.number)
        if limit is None or listed is None or listed.depth is None or operation.depth_mm is None:
            continue
        if operation.depth_mm > limit + 1e-9:
            yield finding(
                "depth-held-back",
                "note",
                f"operation {operation.number} asks for cuts of {view.text(operation.depth_mm)}; "
                f"this shop allows trainees {view.text(limit)}, and the plan keeps to that",
                f"set a depth of {view.text(limit)} or less",
                pass_number=passes[0].number,
            )


def chamfer_too_wide(view: PlanView) -> Iterator[Finding]:
    """A chamfer wider than the usable edge of the tool that is to make it in one plunge."""
    for operation, passes in view.by_operation("chamfer"):
        tool = view.tool(operation.tool)
        if tool.kind != "chamfer":
            continue
        usable = _edge_takes(tool)
        wide = [
            (width, corner, made)
            for corner in view.part.corners
            if corner.kind == "chamfer"
            and (width := corner.size / math.cos(corner.angle)) > usable + 1e-9
            and (made := _pass_at(passes, view.place(corner.at).z, corner.size)) is not None
        ]
        if wide:
            width, _, made = max(wide, key=lambda found: found[0])
            yield finding(
                "too-deep",
                "caution",
                f"{them([m.number for *_, m in wide], 'makes', 'make')} the chamfer "
                f"{listed(c.text for _, c, _ in wide)} with its whole slope of "
                f"{view.text(width)}; T{tool.number}'s edge can take {view.text(usable)}",
                "turn the corner away by the top slide first, or take a longer edge",
                pass_number=made.number,
            )


def _pass_at(passes: list[Pass], z: float, size: float) -> Pass | None:
    """Return the plunge whose end lies at a corner."""
    for made in passes:
        if any(m.kind == "cut" and abs(m.to.z - z) <= size + 1.0 for m in made.moves):
            return made
    return None


def thin_finish(view: PlanView) -> Iterator[Finding]:
    """Finishing cuts so thin, as they are read, that the edge rubs instead of cutting."""
    for operation, passes in view.by_operation("finish"):
        tool = view.tool(operation.tool)
        taken = [(t, p) for p in passes if (t := _last_take(view, p)) is not None]
        thin = [(t, p) for t, p in taken if t < tool.thinnest_cut_mm - 1e-6]
        if not thin:
            continue
        least, worst = min(thin, key=lambda pair: pair[0])
        yield finding(
            "thin-finish",
            "caution",
            f"{them([p.number for _, p in thin], 'takes', 'take')} only {view.fine(least)} of "
            f"depth at the readings; T{tool.number} rubs below {view.fine(tool.thinnest_cut_mm)}",
            "leave a larger allowance, or finish with a keener tool",
            pass_number=worst.number,
        )


def _last_take(view: PlanView, made: Pass) -> float | None:
    """Return how thick the cut is that makes a surface; None when it is not one, or takes none."""
    if not made.last_on_surface:
        return None
    taken = taken_as_read(view, made)
    return taken if taken is not None and taken > _NOTHING_MM else None
