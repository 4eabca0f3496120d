"""Findings about operations that make no pass: why."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.findings.bores import why_no_bore_pass
from turnsketch.findings.knurls import why_no_knurl
from turnsketch.findings.metal import region
from turnsketch.findings.room import room_behind
from turnsketch.findings.threads import why_no_thread_pass
from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, PlannedOperation
from turnsketch.planning.chamfer import corners_for
from turnsketch.shop.suited import SUITED

__all__ = ["empty_operations", "wrong_tools"]

_THICK_MM = 0.3
"""Metal thicker than this beyond its allowance is work for a roughing operation."""

_THIN_MM = 0.005
"""The same for a finishing operation."""

_IN_A_BORE = ("drill", "ream", "countersink", "bore", "finish bore")
_CORNER = 0.4
"""Thickness of what a nose leaves in a square corner, in its radii (0.34), and a little more."""


def wrong_tools(view: PlanView) -> Iterator[Finding]:
    """A tool that is not made for what the job gives it to do."""
    for operation, passes in view.by_operation():
        tool = view.tool(operation.tool)
        if tool.kind in SUITED[operation.kind]:
            continue
        if tool.kind == "parting" and all(p.direction == "steps" for p in passes):
            continue  # fed straight in, place by place: that is what a blade does
        sideways = tool.kind == "parting" and tool.side_depth_mm < max(p.depth for p in passes)
        yield finding(
            "wrong-tool",
            "stop" if sideways else "caution",
            f"operation {operation.number} ({operation.kind}): T{tool.number} ({tool.name}) is a "
            f"{tool.kind} tool"
            + (": a blade cuts on its front edge only, and breaks sideways" if sideways else ""),
            f"choose a {' or '.join(SUITED[operation.kind])} tool for it",
            pass_number=passes[0].number,
        )


def empty_operations(view: PlanView) -> Iterator[Finding]:
    """An enabled operation without a pass, and what keeps it from one."""
    for operation in view.setup.operations:
        if operation.first_pass is not None:
            continue
        if operation.kind == "part off" and room_behind(view).missing > 0:
            continue  # told once: the jaws are in the cut, or the blank is too short
        reason, remedy, idle = _why(view, operation)
        yield finding(
            "no-pass",
            "note" if idle else "caution",
            f"operation {operation.number} ({operation.kind}, T{operation.tool}) makes no pass: "
            f"{reason}",
            remedy,
            operation=operation.number,
        )


def _why(view: PlanView, operation: PlannedOperation) -> tuple[str, str, bool]:
    """Return the reason, the remedy, and whether it is only that there is nothing to do."""
    tool = view.tool(operation.tool)
    if tool.kind not in SUITED[operation.kind]:
        wanted = " or ".join(SUITED[operation.kind])
        article = "an" if tool.kind[0] in "aeiou" else "a"
        return (
            f"T{tool.number} ({tool.name}) is {article} {tool.kind} tool",
            f"choose a {wanted} tool for it",
            False,
        )
    if operation.kind == "face":
        return "the blank's front is at the finished face already", "leave it out", True
    if operation.kind == "centre hole":
        return (
            "the front end is no solid face for it, or the drill does not get there",
            "face the end before, and leave out a hole that is there already",
            False,
        )
    if operation.kind in ("thread", "tap", "die"):
        return why_no_thread_pass(view, operation)
    if operation.kind == "chamfer":
        return _why_no_corner(view, operation)
    if operation.kind == "knurl":
        return why_no_knurl(view, operation)
    if operation.kind == "part off":
        return "the blade would hit something on its way in", "let the blank stand out more", False
    if operation.kind in _IN_A_BORE and view.part.bore is None:
        return _why_no_bore(view)
    if operation.kind in _IN_A_BORE:
        return why_no_bore_pass(view, operation, _before(view, operation))
    if not _metal_left(view, operation):
        earlier = view.index > 0 and not _metal_left(view, operation, first=True)
        made = f"all that it works on was made before setup {view.setup.number}"
        return made if earlier else "the tools before it leave nothing for it", "leave it out", True
    return (
        "its nose, edges or holder would touch what must stand, or it has no way in",
        "choose a tool of another hand or a slimmer one, or move the operation in the list",
        False,
    )


def _why_no_bore(view: PlanView) -> tuple[str, str, bool]:
    if view.part.bore_back is None:
        return "the part has no bore", "leave it out", True
    remedy = "give it to a setup that has the other end in front"
    return "the end in front has no bore; the part's bore is in its other end", remedy, False


def _why_no_corner(view: PlanView, operation: PlannedOperation) -> tuple[str, str, bool]:
    tool = view.tool(operation.tool)
    limit, fitting = view.setup.limit_z, corners_for(tool, view.part)
    behind = [c for c in fitting if limit is not None and view.place(c.at).z <= limit + 1e-6]
    if fitting and len(behind) == len(fitting):
        where = "was made before it" if view.index else "is made in a setup after it"
        return (
            f"the corner {where}: setup {view.setup.number} ends in front of it",
            "leave it out",
            True,
        )
    if not corners_for(tool, view.part):
        made = (
            f"an outside chamfer at {tool.chamfer_angle_deg:g}°"
            if tool.kind == "chamfer"
            else f"an outside round of R{view.text(tool.form_radius_mm)}"
        )
        return f"the print has no front corner with {made}", "choose the tool to the corner", False
    return (
        "the tool would touch the part or the bar beside the corner, or the corner is made already",
        "move it in the list, or make the corner by hand",
        False,
    )


def _metal_left(view: PlanView, operation: PlannedOperation, *, first: bool = False) -> bool:
    """Return whether metal for this operation stands on its sections when it begins.

    `first`: when the setup begins.
    """
    setup = view.setup
    part = region(setup.part)
    low, _, high, _ = part.bounds
    listed = view.settings(operation.number)
    if listed is not None and listed.sections is not None:
        ends = [
            view.place(p).z
            for s in view.part.sections
            if s.number in listed.sections
            for p in (s.front, s.back)
        ]
        low, high = min(ends, default=low), max(ends, default=high)
    metal = region(view.setup.blank) if first else _before(view, operation)
    if view.setup.limit_z is not None:
        low = max(low, view.setup.limit_z)
    standing = shapely.difference(shapely.clip_by_rect(metal, low, 0.0, high, 1e4), part)
    standing = shapely.difference(standing, _corners(view))
    return not standing.buffer(-_thickness(view, operation) / 2).is_empty


def _corners(view: PlanView) -> BaseGeometry:
    """Return the places of outside chamfers and rounds: edge and form tools make them later."""
    return shapely.union_all(
        [
            shapely.Point(*view.place(c.at)).buffer(1.01 * c.size * max(1.0, math.tan(c.angle)))
            for c in view.part.corners
            if c.convex
        ]
    )


def _thickness(view: PlanView, operation: PlannedOperation) -> float:
    """Return how thick metal must be anywhere to be work: not what a nose leaves in a corner."""
    if operation.kind == "rough":
        return _THICK_MM + operation.x_allowance_mm
    return max(_THIN_MM, _CORNER * view.tool(operation.tool).nose_radius_mm)


def _before(view: PlanView, operation: PlannedOperation) -> BaseGeometry:
    last = [o.last_pass for o in view.setup.operations if o.number < operation.number]
    number = max((n for n in last if n is not None), default=0)
    results = [p for p in view.exact.setups[view.index].passes if p.number == number]
    return region(results[0].remaining if results else view.setup.blank)
