"""Findings about depth, speed, feed and roughness."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.cutting.roughness import ra_um
from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, Pass

__all__ = [
    "feed_out_of_range",
    "no_surface_speed",
    "roughness",
    "speed_limited",
    "thin_finish",
    "too_deep",
]

HELD_BACK = 0.7
"""A speed below this share of the wanted one is worth a note."""


def too_deep(view: PlanView) -> Iterator[Finding]:
    """A cut deeper than the edge can take or the operation's setting."""
    for made in view.passes("rough", "finish"):
        tool = view.tool(made.tool)
        usable = tool.usable_edge_mm if tool.usable_edge_mm is not None else math.inf
        limit = min(tool.greatest_depth_mm, usable) if made.operation == "rough" else usable
        limit_name = "tool is used for" if limit == tool.greatest_depth_mm else "edge can take"
        if made.depth > limit + 0.011:
            yield finding(
                "too-deep",
                "caution",
                f"pass {made.number} cuts {view.text(made.depth)} deep; "
                f"T{tool.number}'s {limit_name} {view.text(limit)}",
                "rough closer first, or set a smaller depth",
                pass_number=made.number,
            )


def thin_finish(view: PlanView) -> Iterator[Finding]:
    """A finishing cut so thin that the edge rubs instead of cutting."""
    for made in view.passes("finish"):
        tool = view.tool(made.tool)
        if made.direction == "turn" and 0.0 < made.depth < tool.thinnest_cut_mm - 1e-6:
            yield finding(
                "thin-finish",
                "caution",
                f"pass {made.number} takes {view.text(made.depth)}; "
                f"T{tool.number} wants at least {view.text(tool.thinnest_cut_mm)}",
                "leave a larger allowance, or finish with a keener tool",
                pass_number=made.number,
            )


def speed_limited(view: PlanView) -> Iterator[Finding]:
    """Something else than the surface speed holds the spindle back by a good deal."""
    told: set[tuple[int, str]] = set()
    for made in view.passes():
        key = (made.operation_number, made.speed_limited_by)
        if made.speed_limited_by in ("surface speed", "job", "", "lathe") or key in told:
            continue
        told.add(key)
        yield finding(
            "speed-limited",
            "note",
            f"{made.operation}: {made.rpm:.0f} rpm, held back by the {made.speed_limited_by}",
            "nothing to do; a larger diameter or another holding would let it turn faster",
            pass_number=made.number,
        )


def no_surface_speed(view: PlanView) -> Iterator[Finding]:
    """The shop file has no surface speed for this material with a tool that is used."""
    if view.material is None:
        yield finding(
            "no-material",
            "caution",
            "the job names no material: speeds are reckoned for 20 m/min",
            "name the part's material",
        )
        return
    known = {speed.tool_material for speed in view.material.speeds}
    for record in view.setup.tools:
        if record.material not in known:
            yield finding(
                "no-surface-speed",
                "caution",
                f"the shop file has no surface speed for {record.material} in {view.material.name}",
                "add it to the shop file, or set the operation's speed",
            )


def feed_out_of_range(view: PlanView) -> Iterator[Finding]:
    """The feed that was asked for is none that the lathe has."""
    finest, coarsest = view.lathe.feed_range_mm_per_rev
    from turnsketch.part.text import parse

    for number, operation in enumerate(view.job.setups[0].operations or (), start=1):
        if operation.feed is None or not operation.enabled:
            continue
        feed = parse(operation.feed, view.job.units, {"length"}).nominal
        if not finest - 1e-9 <= feed <= coarsest + 1e-9:
            yield finding(
                "feed-range",
                "caution",
                f"operation {number} asks for {feed:.3f} mm a revolution; "
                f"{view.lathe.name} feeds {finest:g} to {coarsest:g}",
                "the plan takes the nearest feed that it has; set one inside the range",
            )


def roughness(view: PlanView) -> Iterator[Finding]:
    """The feed and the nose leave more than the print's Ra, by the theory of a round nose."""
    wanted = {s.number: s for s in view.part.sections if s.roughness_um is not None}
    told: set[int] = set()
    for made in view.passes("finish"):
        section = wanted.get(made.section or -1)
        if section is None or section.number in told or section.roughness_um is None:
            continue
        found = _theory(view, made)
        if found is not None and found > section.roughness_um * 1.02:
            told.add(section.number)
            yield finding(
                "roughness",
                "caution",
                f"{section.label}: feed {made.feed_mm_per_rev:.3f} mm leaves Ra {found:.2f} µm "
                f"in theory, the print asks for {section.roughness_um:g}",
                "feed finer, or finish with a larger nose",
                pass_number=made.number,
            )


def _theory(view: PlanView, made: Pass) -> float | None:
    nose = view.tool(made.tool).nose_radius_mm
    if made.feed_mm_per_rev is None or nose <= 0 or made.feed_mm_per_rev >= 2 * nose:
        return None
    return ra_um(made.feed_mm_per_rev, nose)
