"""Findings about feed, the roughness that it leaves, and the power that it asks for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from turnsketch.cutting.feed import clamp_feed
from turnsketch.cutting.force import cut_load, greatest_depth_mm
from turnsketch.cutting.roughness import feed_for_ra, ra_um, real_ra_um
from turnsketch.cutting.speed import surface_speed_m_min
from turnsketch.errors import InputError
from turnsketch.findings.metal import cut_diameter
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed, passes_text, them
from turnsketch.part.text import parse
from turnsketch.plan_records import Finding, Pass, PlannedOperation
from turnsketch.shop.records import Tool
from turnsketch.units import from_mm

__all__ = ["feed_out_of_range", "power", "roughness"]


OVERLOAD = 1.1
"""Kienzle's constants differ by 10 to 20 % between handbooks: less than this is no overload."""

_BY_JOB = "asks for"


def feed_out_of_range(view: PlanView) -> Iterator[Finding]:
    """A feed that the lathe does not have: the job's, the tool's, or what the roughness needs."""
    groups: dict[tuple[str, float], list[int]] = {}
    for operation, passes in view.by_operation():
        fed = [p.number for p in passes if p.feed_mm_per_rev is not None]
        feed, who = _asked(view, operation)
        if fed and clamp_feed(feed, view.lathe).limited_by:
            groups.setdefault((who, feed), []).extend(fed)
    for (who, feed), fed in groups.items():
        given = clamp_feed(feed, view.lathe)
        coarser = given.mm_per_rev > feed
        yield finding(
            "feed-range",
            "caution" if coarser or who.endswith(_BY_JOB) else "note",
            f"{who} {_feed(view, feed)} a turn; the {given.limited_by} is "
            f"{_feed(view, given.mm_per_rev)}, and {them(fed, 'uses', 'use')} that",
            "take lighter cuts, or choose a tool that stands this feed"
            if coarser
            else "set a feed that the lathe has",
            pass_number=fed[0],
        )


def _asked(view: PlanView, operation: PlannedOperation) -> tuple[float, str]:
    """Return the wanted feed, mm a revolution, and the beginning of a sentence: who wants it."""
    asked = view.settings(operation.number)
    if asked is not None and asked.feed is not None:
        feed = parse(asked.feed, view.job.units, {"length"}).nominal
        return feed, f"operation {operation.number} ({operation.kind}) {_BY_JOB}"
    tool = view.tool(operation.tool)
    finishing = operation.kind in ("finish", "finish bore")
    feed = tool.finish_feed_mm if finishing else tool.rough_feed_mm
    return feed, f"T{tool.number} is used at"


def _feed(view: PlanView, feed: float) -> str:
    if view.job.units == "inch":
        return f"{from_mm(feed, 'inch'):.4f} in"
    return f"{feed:.3f} mm"


def roughness(view: PlanView) -> Iterator[Finding]:
    """Feed and nose leave more than the print's Ra: in theory, or as real surfaces come out."""
    groups: dict[tuple[float, float, int], list[tuple[Pass, str]]] = {}
    for made in view.passes("face", "finish", "finish bore"):
        wanted, label = _wanted_ra(view, made)
        theory = _theory(view, made)
        if wanted is None or theory is None or not made.last_on_surface:
            continue
        if real_ra_um(theory)[0] > wanted * 1.001:
            groups.setdefault((wanted, theory, made.tool), []).append((made, label))
    for (wanted, theory, _), found in groups.items():
        yield _too_rough(view, found, wanted, theory)


def _too_rough(
    view: PlanView, found: Sequence[tuple[Pass, str]], wanted: float, theory: float
) -> Finding:
    made = found[0][0]
    numbers = passes_text(p.number for p, _ in found)
    low, high = real_ra_um(theory)
    over = theory > wanted * 1.02
    feed = feed_for_ra(wanted / (low / theory), view.tool(made.tool).nose_radius_mm)
    finest = min(view.lathe.feed_range_mm_per_rev)
    remedy = (
        f"feed {_feed(view, math.floor(feed * 1000) / 1000)} a turn or finer"
        if feed >= finest
        else "finish with a larger nose: the lathe feeds no finer"
    )
    return finding(
        "roughness",
        "caution" if over else "note",
        f"{numbers}, {listed(label for _, label in found)}: a feed of "
        f"{_feed(view, made.feed_mm_per_rev or 0.0)} with T{made.tool} leaves Ra {theory:.2g} µm "
        f"in theory, {low:.2g} to {high:.2g} as it comes out; the print asks for Ra {wanted:.3g}",
        remedy,
        pass_number=made.number,
    )


def _wanted_ra(view: PlanView, made: Pass) -> tuple[float | None, str]:
    """Return the Ra that the print asks for, micrometres, and the surface's name."""
    section = view.section(made.section)
    if section is not None:
        return section.roughness_um, section.label
    text = view.job.part.roughness
    if made.operation != "face" or text is None:
        return None, ""
    try:
        return parse(text, view.job.units, {"roughness"}).nominal, made.surface
    except InputError:
        return None, ""


def _theory(view: PlanView, made: Pass) -> float | None:
    nose = view.tool(made.tool).nose_radius_mm
    if made.feed_mm_per_rev is None or nose <= 0 or made.feed_mm_per_rev >= 2 * nose:
        return None
    return ra_um(made.feed_mm_per_rev, nose)


def power(view: PlanView) -> Iterator[Finding]:
    """Cuts that ask for more than the lathe gives (Kienzle; constants differ by 10 to 20 %)."""
    gives = view.lathe.power_kw * view.lathe.efficiency
    turned = view.passes("face", "rough", "finish", "bore", "finish bore")
    parted = view.passes("part off")
    for passes in (turned, parted):
        loads = [(kw, p) for p in passes if (kw := _power_kw(view, p)) > OVERLOAD * gives]
        if not loads:
            continue
        most, worst = max(loads, key=lambda pair: pair[0])
        yield finding(
            "power",
            "caution",
            f"{them([p.number for _, p in loads], 'asks', 'ask')} for up to {most:.2f} kW at "
            f"the tool; {view.lathe.name} gives {gives:.2f} ({view.lathe.power_kw:g} kW, "
            f"efficiency {view.lathe.efficiency:g})",
            _lighter(view, worst),
            pass_number=worst.number,
        )


def _power_kw(view: PlanView, made: Pass) -> float:
    """Return the cutting power of a pass; 0 when it is fed by hand or the material is unknown."""
    if view.material is None or not made.feed_mm_per_rev:
        return 0.0
    tool = view.tool(made.tool)
    depth = tool.width_mm if made.operation == "part off" else made.depth
    if depth <= 0:
        return 0.0
    angle = _edge_angle(tool, made)
    load = cut_load(view.material, depth, made.feed_mm_per_rev, angle, _speed_m_min(view, made))
    return load.power_kw


def _speed_m_min(view: PlanView, made: Pass) -> float:
    if made.surface_speed_m_min is not None:
        return made.surface_speed_m_min
    return surface_speed_m_min(made.rpm, cut_diameter(view, made))


def _edge_angle(tool: Tool, made: Pass) -> float:
    """Return the angle of the engaged edge to the feed; of a round insert, its mean."""
    if made.direction != "turn":
        return math.pi / 2
    if tool.kind == "round":
        engaged = math.acos(max(-1.0, 1.0 - made.depth / tool.nose_radius_mm))
        return max(engaged / 2, 0.05)
    return math.radians(tool.edge_angle_deg)


def _lighter(view: PlanView, made: Pass) -> str:
    material, feed = view.material, made.feed_mm_per_rev
    if made.operation == "part off" or material is None or feed is None:
        return "turn slower, or feed finer"
    angle = _edge_angle(view.tool(made.tool), made)
    most = greatest_depth_mm(material, view.lathe, feed, angle, _speed_m_min(view, made))
    return f"set a depth of {view.text(math.floor(most * 20) / 20)} or less, or feed finer"
