"""Findings about grooves: not made, in the wrong place of the order, too near an end."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.part.outline_records import ResolvedGroove, SectionInfo
from turnsketch.part.ring_grooves import RingGroove, ring_groove, ring_sizes
from turnsketch.plan_records import Finding, Pass
from turnsketch.shop.records import Tool

__all__ = ["groove_after_finish", "groove_not_made", "relief_after_thread", "ring_land_short"]

_SAME = 1e-6


def groove_not_made(view: PlanView) -> Iterator[Finding]:
    """A groove of the print that no pass makes, and why."""
    for groove in view.part.grooves:
        if any(_makes(p, groove) for setup in view.plan.setups for p in setup.passes):
            continue
        reason, remedy = _why(view, groove)
        high, low = _ends(groove)
        place = view.at(view.maker((high + low) / 2, groove.section))
        yield finding(
            "groove-not-made",
            "caution",
            f"no pass makes the {groove.label}: {reason}",
            remedy,
            z=(high + low) / 2 + place.zero,
            setup=place.setup.number,
        )


def _makes(made: Pass, groove: ResolvedGroove) -> bool:
    return made.operation == "groove" and made.surface == groove.label


def _ends(groove: ResolvedGroove) -> tuple[float, float]:
    """Return the greatest and the least z of a groove, part frame."""
    places = [p.z for e in groove.elements for p in (e.start, e.end)]
    return max(places), min(places)


def _why(view: PlanView, groove: ResolvedGroove) -> tuple[str, str]:
    """Return the reason and the remedy."""
    high, low = _ends(groove)
    wide, deep = high - low, _depth(groove)
    blades = _blades(view, groove)
    if groove.kind in ("plain", "ring") and blades:
        narrowest = min(t.width_mm for t in blades)
        if narrowest > wide + 1e-3:
            return (
                f"it is {view.text(wide)} wide, and the narrowest blade of the shop file "
                f"{view.text(narrowest)}",
                f"grind a blade no wider than {view.text(wide)}, or ask whether the groove may be "
                "wider",
            )
        longest = max(_reach(t) for t in blades if t.width_mm <= wide + 1e-3)
        if longest < deep:
            return (
                f"it is {view.text(deep)} deep, and the blades that fit into it reach no deeper "
                f"than {view.text(longest)}",
                "take a blade with a longer reach",
            )
    if groove.kind in ("plain", "ring") and not blades:
        return "the shop file has no blade for it", "enter a grooving blade in the shop file"
    listed = [
        operation
        for setup in view.plan.setups
        for operation in setup.operations
        if operation.kind == "groove" and operation.first_pass is None
    ]
    if listed:
        tools = ", ".join(f"T{n}" for n in dict.fromkeys(o.tool for o in listed))
        return (
            f"{tools} does not come down into it",
            "take a tool whose edges clear its walls, or grind a bit to its form",
        )
    return (
        "no operation does, or no tool of the shop file gets into it",
        "add a grooving operation; if there is one, grind a bit to the groove's form",
    )


def _blades(view: PlanView, groove: ResolvedGroove) -> list[Tool]:
    kind = "inside grooving" if groove.inside else "parting"
    return [t for t in view.shop.tools if t.kind == kind]


def _reach(tool: Tool) -> float:
    return tool.reach_mm


def _depth(groove: ResolvedGroove) -> float:
    ends = (groove.elements[0].start.r, groove.elements[-1].end.r)
    surface = max(ends) if groove.inside else min(ends)
    return abs(surface - groove.diameter.aim / 2)


def groove_after_finish(view: PlanView) -> Iterator[Finding]:
    """A groove cut after the last cut on its seat: the burr stands on the finished surface."""
    for groove in view.part.grooves:
        made = [p for p in view.setup.passes if _makes(p, groove)]
        finished = [
            p
            for p in view.setup.passes
            if p.section == groove.section
            and p.last_on_surface
            and p.operation in ("finish", "finish bore")
            and p.size is not None
        ]
        section = view.section(groove.section)
        if not made or not finished or section is None:
            continue
        if made[-1].number < finished[-1].number:
            continue
        yield finding(
            "groove-after-finish",
            "caution",
            f"pass {made[0].number} cuts the {groove.label} after the last cut on "
            f"{section.label} (pass {finished[-1].number}): its burr spoils the surface",
            "move grooving before finishing",
            pass_number=made[0].number,
        )


def relief_after_thread(view: PlanView) -> Iterator[Finding]:
    """A thread cut before the relief that its tool should run out into."""
    for groove in view.part.grooves:
        made = [p for p in view.setup.passes if _makes(p, groove)]
        threads = [
            p
            for p in view.setup.passes
            if p.operation in ("thread", "tap", "die") and p.section == groove.section
        ]
        if groove.kind != "thread relief" or not made or not threads:
            continue
        if made[0].number > threads[0].number:
            yield finding(
                "relief-after-thread",
                "caution",
                f"pass {threads[0].number} threads before pass {made[0].number} cuts the "
                f"{groove.label}: the tool has nothing to run out into",
                "move the relief before the thread",
                pass_number=threads[0].number,
            )


def ring_land_short(view: PlanView) -> Iterator[Finding]:
    """A ring groove nearer to a free end of its seat than its standard allows."""
    for groove in view.part.grooves:
        section = view.section(groove.section)
        if groove.kind != "ring" or groove.inside or section is None:
            continue
        ring, land = _ring_of(section), _shortest_land(view, groove, section)
        if ring is not None and land is not None and land < ring.land - 1e-3:
            yield finding(
                "ring-land-short",
                "caution",
                f"only {view.text(land)} of metal stands between the {groove.label} and the free "
                f"end of {section.label}; {ring.designation} wants {view.text(ring.land)}",
                "move the groove away from the end, or ask whether the ring carries no load",
                z=_ends(groove)[0] + view.zero,
            )


def _ring_of(section: SectionInfo) -> RingGroove | None:
    """Return the ring that belongs on a cylinder; None where the standard has none."""
    diameter = 2 * section.front.r if section.diameter is None else section.diameter.nominal
    sizes = [size for size in ring_sizes() if abs(size - diameter) < 1e-3]
    return ring_groove(sizes[0]) if sizes else None


def _shortest_land(view: PlanView, groove: ResolvedGroove, section: SectionInfo) -> float | None:
    """Return the length of full diameter between a groove and the nearer free end; None: none."""
    high, low = _ends(groove)
    found: list[float] = []
    for element in view.part.aim.elements:
        if element.section != section.number or element.role != "cylinder":
            continue
        front, back = element.shape.start, element.shape.end
        if _free(view, section, front=True):
            found.append(front.z - high)
        if _free(view, section, front=False):
            found.append(low - back.z)
    return min(found, default=None)


def _free(view: PlanView, section: SectionInfo, *, front: bool) -> bool:
    """Return whether no shoulder stands at an end of a section."""
    at = section.front if front else section.back
    for other in view.part.sections:
        if other.number == section.number or other.kind == "face":
            continue
        meets = other.back if front else other.front
        if abs(meets.z - at.z) < _SAME:
            return meets.r < at.r - _SAME
    return True
