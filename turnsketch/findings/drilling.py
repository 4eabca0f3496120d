"""Findings about what is made from the tailstock: drills, reamers, countersinks."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.metal import bottom_of, metal_before
from turnsketch.findings.view import PlanView, finding
from turnsketch.part.drills import ream_allowance
from turnsketch.part.text import parse
from turnsketch.plan_records import Finding, Pass, QuillWork
from turnsketch.shop.records import Tool

__all__ = [
    "deep_hole",
    "drill_held_back",
    "drill_too_short",
    "no_pilot",
    "quill_reach",
    "ream_allowances",
    "ream_blind",
]

DEEP = 8.0
"""Holes deeper than so many diameters are drilled with special care (common practice)."""

PILOT_FROM_MM = 13.0
"""Thicker drills follow a pilot hole (common practice)."""

_WEB = 0.1
"""A pilot is at least so much of the drill's diameter: about what its web takes, half of it."""

_SHORT_MM = 0.05
_SHANK_MM = 1.0
"""The planner keeps the last of the flutes out of the hole by so much."""

_SLACK = 1.5
"""Allowances for reaming may be off by half before it is told."""

_BREAKS = 3.0
"""A reamer that is to take so many times what is usual jams, and breaks or tears the hole (common
practice: it sizes a hole, it does not open one)."""


def _made(view: PlanView, *kinds: str) -> Iterator[tuple[Pass, Tool, QuillWork]]:
    for made in view.passes(*kinds):
        if made.quill is not None:
            yield made, view.tool(made.tool), made.quill


def _hole_before(view: PlanView, made: Pass, quill: QuillWork) -> float:
    """Return the diameter of the hole halfway down, before a pass; 0: solid metal."""
    middle = (quill.touch_z + quill.tip_z) / 2
    return 2 * bottom_of(metal_before(view, made.number), middle - 0.1, middle + 0.1)


def _ends_with_flutes(view: PlanView, tool: Tool, quill: QuillWork) -> bool:
    """Return whether a hole is no deeper because the shank would come to the face."""
    front = max(view.setup.raw_front_z if not view.passes("face") else view.zero, view.zero)
    return front - quill.tip_z > tool.length_mm - _SHANK_MM - _SHORT_MM


def drill_held_back(view: PlanView) -> Iterator[Finding]:
    """The job asks for a hole deeper than the print's bore: the drill would break through."""
    for made, tool, quill in _made(view, "drill", "ream"):
        asked = view.settings(made.operation_number)
        if asked is None or asked.to_depth is None or quill.full_z is None:
            continue
        wanted = parse(asked.to_depth, view.job.units, {"length"}).nominal
        there = view.zero - quill.full_z
        if there >= wanted - _SHORT_MM or _ends_with_flutes(view, tool, quill):
            continue
        yield finding(
            "drill-held-back",
            "caution",
            f"operation {made.operation_number} asks for a hole {view.text(wanted)} deep; the "
            f"bore of the print lets T{tool.number} go {view.text(there)}: farther it would cut "
            "into the part",
            f"set a depth of {view.text(there)} or less, or correct the bore",
            pass_number=made.number,
            z=quill.full_z,
        )


def drill_too_short(view: PlanView) -> Iterator[Finding]:
    """The flutes end before the bore does: chips have no way out, and the shank would rub."""
    for made, tool, quill in _made(view, "drill", "ream"):
        bore = view.part.bore
        if bore is None or quill.full_z is None or not _ends_with_flutes(view, tool, quill):
            continue
        asked = view.settings(made.operation_number)
        depth = bore.depth
        if asked is not None and asked.to_depth is not None:
            depth = min(depth, parse(asked.to_depth, view.job.units, {"length"}).nominal)
        if view.zero - quill.full_z >= depth - _SHORT_MM:
            continue
        yield finding(
            "drill-short",
            "caution",
            f"pass {made.number} ends at {view.z(quill.full_z)}: the flutes of T{tool.number} are "
            f"{view.text(tool.length_mm)} long; the hole goes on to {view.z(view.zero - depth)}",
            "take a longer drill, or make the rest from the other end",
            pass_number=made.number,
            z=quill.full_z,
        )


def deep_hole(view: PlanView) -> Iterator[Finding]:
    """A hole deeper than eight diameters: chips pack, the drill wanders."""
    for made, tool, quill in _made(view, "drill"):
        ratio = quill.depth / tool.diameter_mm
        if ratio <= DEEP:
            continue
        often = len(quill.pecks)
        yield finding(
            "deep-hole",
            "note",
            f"pass {made.number} drills {view.text(quill.depth)} deep with Ø"
            f"{view.text(tool.diameter_mm)}, {ratio:.1f} diameters; over {DEEP:g} chips pack and "
            "the drill wanders (common practice)",
            f"draw it out as the row says, {often} time{'' if often == 1 else 's'}, clear the "
            "chips and wet it each time",
            pass_number=made.number,
            z=quill.tip_z,
        )


def no_pilot(view: PlanView) -> Iterator[Finding]:
    """A thick drill goes into solid metal: its web does not cut."""
    for made, tool, quill in _made(view, "drill"):
        least = _WEB * tool.diameter_mm
        if tool.diameter_mm <= PILOT_FROM_MM or _hole_before(view, made, quill) >= least:
            continue
        yield finding(
            "no-pilot",
            "caution",
            f"pass {made.number} drives a drill of Ø{view.text(tool.diameter_mm)} into solid "
            f"metal; from Ø{view.text(PILOT_FROM_MM)} on a smaller hole goes first, as wide as "
            "its web (common practice)",
            f"drill about Ø{view.text(0.3 * tool.diameter_mm)} before it",
            pass_number=made.number,
            z=quill.touch_z,
        )


def ream_allowances(view: PlanView) -> Iterator[Finding]:
    """A reamer that finds solid metal, too much or too little to take."""
    for made, tool, quill in _made(view, "ream"):
        hole = _hole_before(view, made, quill)
        left = tool.diameter_mm - hole
        nominal = _nominal(view, made, tool)
        least, most = ream_allowance(nominal)
        if least / _SLACK <= left <= most * _SLACK:
            continue
        solid, breaks = hole < tool.diameter_mm / 2, left > _BREAKS * most
        yield finding(
            "ream-allowance",
            "stop" if solid or breaks else "caution",
            f"pass {made.number} reams Ø{view.fine(tool.diameter_mm)} "
            + (
                "into metal that is not drilled: the reamer breaks"
                if solid
                else f"in a hole of Ø{view.text(hole)}, {view.fine(left)} on the diameter; "
                f"{view.text(least)} to {view.text(most)} are usual"
                + (
                    f", and over {view.text(_BREAKS * most)} it breaks or tears the hole"
                    if breaks
                    else ""
                )
                + " (common practice)"
            ),
            f"drill Ø{view.text(nominal - most)} to Ø{view.text(nominal - least)} before it",
            pass_number=made.number,
            z=quill.touch_z,
        )


def _nominal(view: PlanView, made: Pass, tool: Tool) -> float:
    """Return the nominal diameter of the hole that a reamer makes: its own lies a little over."""
    section = view.section(made.section)
    size = None if section is None else section.diameter
    return tool.diameter_mm if size is None else size.nominal


def ream_blind(view: PlanView) -> Iterator[Finding]:
    """A reamer in a blind hole: its lead does not cut the last of it, chips pack at the bottom."""
    bore = view.part.bore
    for made, tool, quill in _made(view, "ream"):
        if bore is None or bore.through:
            continue
        yield finding(
            "ream-blind",
            "caution",
            f"pass {made.number} reams a blind hole: the lead of T{tool.number} leaves its last "
            "millimetres narrower, and chips pack at the bottom",
            "bore it to size, or ask whether the size may end before the bottom",
            pass_number=made.number,
            z=quill.tip_z,
        )


def quill_reach(view: PlanView) -> Iterator[Finding]:
    """A hole deeper than the quill comes out."""
    reach = view.lathe.centre.quill_reach_mm
    for made, _, quill in _made(view):
        if quill.depth <= reach + 1e-6:
            continue
        yield finding(
            "quill-reach",
            "caution",
            f"pass {made.number} goes {view.text(quill.depth)} deep from the tailstock; the quill "
            f"of {view.lathe.name} comes out {view.text(reach)}",
            "wind it back, let the tailstock follow until the tool touches, count on from there",
            pass_number=made.number,
            z=quill.tip_z,
        )
