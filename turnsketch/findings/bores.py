"""Findings about bores: what makes them, and how far the bar stands out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry

from turnsketch.blank_sizes import blank_sizes
from turnsketch.cutting.force import bar_push_off_mm, cut_load
from turnsketch.findings.drill_sizes import drill_for
from turnsketch.findings.metal import bottom_of, cut_diameter, metal_before, taken_as_read
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed, them
from turnsketch.part.drills import DRILLED_MM
from turnsketch.part.outline_records import ResolvedBore, SectionInfo
from turnsketch.plan_records import Finding, Pass, PlannedOperation
from turnsketch.shop.records import Tool
from turnsketch.shop.suited import for_undercuts

__all__ = ["bar_overhang", "bar_springs", "bar_too_thick", "bore_not_made", "why_no_bore_pass"]

STEEL_BAR, CARBIDE_BAR = 4.0, 6.0
"""A bar stands out so many of its diameters at most (common practice)."""

_BARS = ("bore", "finish bore")
_SIZE_MM = 1e-3
_FULL_MM = 0.05
"""A drill that ends so much before a section's end makes it all the same."""
_MOUTH_MM = 0.3
"""The hole is looked at so far in."""


def bore_not_made(view: PlanView) -> Iterator[Finding]:
    """A section of a bore that no pass makes to size, and why."""
    made = {p.section for setup in view.plan.setups for p in setup.passes if p.last_on_surface}
    threaded = {t.section for t in view.part.threads}
    for section in view.sections:
        if not view.inside(section) or section.number in made | threaded:
            continue
        if _blank_has_it(view, section) or _drilled(view, section):
            continue
        middle = (section.front.z + section.back.z) / 2
        place = view.at(view.maker(middle, section.number))
        reason, remedy = _why(view, section)
        yield finding(
            "bore-not-made",
            "caution",
            f"no pass makes the {section.label} to size: {reason}",
            remedy,
            z=view.across(middle, place.index) + place.zero,
            setup=place.setup.number,
        )


def _blank_has_it(view: PlanView, section: SectionInfo) -> bool:
    """Return whether the blank comes with a hole of the print's size."""
    size = section.diameter
    holes = [2 * step.bore for step in blank_sizes(view.job.blank, view.job.units).steps]
    return size is not None and any(size.lower <= hole <= size.upper for hole in holes)


def _drilled(view: PlanView, section: SectionInfo) -> bool:
    """Return whether a drill or reamer of the print's size goes through all of a cylinder.

    A tool that makes several sections to size is told in one pass of one of them.
    """
    size, bore = section.diameter, view.part.bore
    if size is None or section.kind != "cylinder" or bore is None:
        return False
    if all(s.number != section.number for s in bore.sections):
        return False
    # No drill holds a fine size, whatever stands on its shank (common practice).
    coarse = size.upper - size.lower > DRILLED_MM
    for made in view.passes(*(("drill", "ream") if coarse else ("ream",))):
        wide = view.tool(made.tool).diameter_mm
        fits = size.lower - _SIZE_MM <= wide <= size.upper + _SIZE_MM
        if not fits or made.quill is None or made.quill.full_z is None:
            continue
        if made.quill.full_z <= view.zero + section.back.z + _FULL_MM:
            return True
    return False


def _why(view: PlanView, section: SectionInfo) -> tuple[str, str]:
    back = view.part.bore_back.sections if view.part.bore_back is not None else ()
    turned = any(s.frame.mirrored for s in view.plan.setups)
    if any(s.number == section.number for s in back) and not turned:
        return "no setup has that end in front", "add a setup with the part turned around"
    least = 2 * min(section.front.r, section.back.r)
    bars = [
        t
        for t in view.shop.tools
        if t.kind == "boring" and not for_undercuts(t) and t.least_bore_mm <= least
    ]
    if not bars:
        return (
            f"no boring bar of the shop file goes into Ø{view.text(least)}",
            _tool_to_enter(view, section),
        )
    if not any(p.operation in _BARS for s in view.plan.setups for p in s.passes):
        return (
            "no boring operation does, or no bar gets through the hole that is drilled",
            "add drilling and boring to the list",
        )
    return (
        "no bar reaches it, or its head would touch what stands there",
        "take a longer or slimmer bar, or bore it from the other end",
    )


def _tool_to_enter(view: PlanView, section: SectionInfo) -> str:
    """Return the remedy where no bar goes in: the standard drill of that size, if there is one."""
    drill = drill_for(view, section)
    if drill is not None:
        return f"enter a drill {drill.name} in the shop file: the print's tolerance lets it do"
    return "enter a slimmer bar, or a reamer of its size, in the shop file"


def bar_overhang(view: PlanView) -> Iterator[Finding]:
    """A boring bar that stands out too far for its thickness."""
    used: dict[int, list[int]] = {}
    for made in view.passes(*_BARS, "groove"):
        if made.inside:
            used.setdefault(made.tool, []).append(made.number)
    for number, passes in used.items():
        tool = view.tool(number)
        most = CARBIDE_BAR if tool.bar_material == "carbide" else STEEL_BAR
        ratio = tool.length_mm / tool.bar_diameter_mm
        if ratio <= most + 1e-6:
            continue
        yield finding(
            "bar-overhang",
            "caution",
            f"T{number} stands out {view.text(tool.length_mm)}, {ratio:.1f} times its bar of "
            f"Ø{view.text(tool.bar_diameter_mm)} (of {tool.bar_material}); over {most:g} times "
            f"it chatters and springs (common practice): {them(passes, 'uses', 'use')} it",
            "clamp it shorter and enter the new reach, or take a thicker bar",
            pass_number=passes[0],
        )


def bar_too_thick(view: PlanView) -> Iterator[Finding]:
    """A bar that is not meant for a hole as narrow as what it first goes into."""
    for operation, passes in view.by_operation(*_BARS, "groove"):
        tool = view.tool(operation.tool)
        if not passes[0].inside:
            continue
        hole = _open_hole(view, passes[0])
        if tool.least_bore_mm <= hole + _SIZE_MM:
            continue
        yield finding(
            "bar-too-thick",
            "caution",
            f"T{tool.number} goes into bores from Ø{view.text(tool.least_bore_mm)}; when pass "
            f"{passes[0].number} begins the hole is Ø{view.text(hole)}",
            "drill it wider before, or take a slimmer bar",
            pass_number=passes[0].number,
            z=view.zero,
        )


def _open_hole(view: PlanView, made: Pass) -> float:
    """Return the diameter of the hole at the mouth before a pass."""
    metal = metal_before(view, made.number)
    front = float(metal.bounds[2])
    return 2 * bottom_of(metal, front - _MOUTH_MM, front)


def bar_springs(view: PlanView) -> Iterator[Finding]:
    """The last cut pushes the bar off by a good part of the tolerance."""
    found: list[tuple[float, Pass]] = []
    for made in view.passes("finish bore"):
        size = made.size
        if size is None or size.lower is None or size.upper is None or not made.last_on_surface:
            continue
        off = 2 * _push_off(view, made)
        if off > (size.upper - size.lower) / 2:
            found.append((off, made))
    if not found:
        return
    off, worst = max(found, key=lambda pair: pair[0])
    yield finding(
        "bar-springs",
        "note",
        f"the cut pushes the bar of T{worst.tool} off, by about {view.fine(off)} on the diameter "
        f"in pass {worst.number}: {listed(p.surface for _, p in found)} may come out so much "
        "narrower",
        "go over it again at the same X until it takes nothing more, then measure",
        pass_number=worst.number,
    )


def _push_off(view: PlanView, made: Pass) -> float:
    """Return how far the bar is pushed off its place, radially, millimetres."""
    tool: Tool = view.tool(made.tool)
    depth, feed = taken_as_read(view, made), made.feed_mm_per_rev
    if view.material is None or not depth or depth <= 0 or feed is None:
        return 0.0
    angle = math.radians(min(tool.edge_angle_deg, 90.0))
    speed = math.pi * cut_diameter(view, made) * made.rpm / 1000
    load = cut_load(view.material, depth, feed, angle, speed)
    return bar_push_off_mm(load, tool.length_mm, tool.bar_diameter_mm, tool.bar_material)


def why_no_bore_pass(
    view: PlanView, operation: PlannedOperation, metal: BaseGeometry
) -> tuple[str, str, bool]:
    """Return why an operation in the front end's bore makes no pass.

    Parameters
    ----------
    metal : polygonal geometry
        What stands before it, setup's frame.

    Returns
    -------
    tuple of str, str, bool
        Reason, remedy, and whether there is only nothing to do.
    """
    tool, bore = view.tool(operation.tool), view.part.bore
    if bore is None:
        return "the end in front has no bore", "leave it out", True
    front = float(metal.bounds[2])
    hole = 2 * bottom_of(metal, front - _MOUTH_MM, front)
    if tool.kind == "countersink":
        return _why_no_countersink(tool, bore, hole)
    if tool.kind in ("drill", "reamer"):
        widest = 2 * max(max(s.front.r, s.back.r) for s in bore.sections)
        if tool.diameter_mm > widest + _SIZE_MM:
            return (
                f"Ø{view.text(tool.diameter_mm)} is wider than the bore: it would cut into the "
                "part",
                "take a thinner one",
                False,
            )
        if hole >= tool.diameter_mm - _SIZE_MM:
            return "the hole is as wide already", "leave it out", True
        return (
            "it does not get to the work, or another place stops it",
            "move it up the list",
            False,
        )
    if hole < _SIZE_MM:
        return "nothing is drilled before it", "put a drill before it", False
    if tool.least_bore_mm > hole + _SIZE_MM:
        return (
            f"T{tool.number} goes into bores from Ø{view.text(tool.least_bore_mm)}, and the hole "
            f"is Ø{view.text(hole)}",
            "drill it wider before, or take a slimmer bar",
            False,
        )
    return (
        "the tools before it leave nothing that it reaches",
        "leave it out, or take a longer or slimmer bar",
        True,
    )


def _why_no_countersink(tool: Tool, bore: ResolvedBore, hole: float) -> tuple[str, str, bool]:
    mouth = bore.mouth
    if mouth is None or mouth.kind != "chamfer":
        return "the print has no chamfer at the bore's mouth", "leave it out", True
    angle = math.degrees(2 * mouth.angle)
    if abs(angle - tool.point_angle_deg) > 0.1:
        return (
            f"the mouth's chamfer wants {angle:.4g}° included, T{tool.number} has "
            f"{tool.point_angle_deg:.4g}°",
            "take a countersink of its angle, or let the boring bar make it",
            False,
        )
    if hole < _SIZE_MM:
        return "nothing is drilled before it", "put a drill before it", False
    return (
        "the corner is made already, or its cone would touch the bore further in",
        "let the boring bar make the corner",
        True,
    )
