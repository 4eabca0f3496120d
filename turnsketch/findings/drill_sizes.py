"""Findings that name a standard drill: one that the shop lacks, and what it would spare."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed
from turnsketch.part.drills import (
    DRILLED_MM,
    Drill,
    drill_to_size,
    drills_between,
    drills_of,
    ream_allowance,
)
from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import Finding
from turnsketch.shop.records import Tool

__all__ = ["drill_for", "drill_would_do", "reamer_idle"]

_BARS: Final = ("bore", "finish bore")
_SAME_MM: Final = 5e-3
_SIZE_MM: Final = 1e-3


def drill_for(view: PlanView, section: SectionInfo) -> Drill | None:
    """Return the standard drill that makes a cylinder of a bore to size, or None."""
    size = section.diameter
    if size is None or section.kind != "cylinder":
        return None
    return drill_to_size(size, drills_of(view.job.units))


def drill_would_do(view: PlanView) -> Iterator[Finding]:
    """A plain hole of a standard size that bars make, because the shop has not the drill."""
    bore = view.part.bore
    if bore is None or len(bore.sections) != 1 or any(t.inside for t in view.part.threads):
        return
    section = bore.sections[0]
    flat = bore.aim.elements[-1].role == "face" and not bore.through
    made = [p for p in view.passes(*_BARS) if p.section == section.number]
    drill = None if flat or not made else drill_for(view, section)
    size = section.diameter
    if drill is None or size is None or abs(drill.diameter - size.nominal) > _SAME_MM:
        return
    if any(t.kind == "drill" and _is(t, drill) for t in view.shop.tools):
        return
    yield finding(
        "drill-would-do",
        "note",
        f"the {section.label} is the size of the drill {drill.name}, which the shop file has not; "
        f"{len(made)} passes bore it",
        f"enter a drill {drill.name} in the shop file: it makes this hole to the print's tolerance",
        pass_number=made[0].number,
    )


def _is(tool: Tool, drill: Drill) -> bool:
    return abs(tool.diameter_mm - drill.diameter) <= _SAME_MM


def reamer_idle(view: PlanView) -> Iterator[Finding]:
    """A bore that bars make although a reamer of its size is there: no drill prepares it."""
    bore = view.part.bore
    sections = () if bore is None else bore.sections
    for section in sections:
        made = [p for p in view.passes(*_BARS) if p.section == section.number]
        reamer = _reamer_of(view, section)
        if not made or reamer is None or section.diameter is None:
            continue
        nominal = section.diameter.nominal
        least, most = ream_allowance(nominal)
        low, high = nominal - most, nominal - least
        if any(t.kind == "drill" and low <= t.diameter_mm <= high for t in view.shop.tools):
            continue
        fitting = drills_between(low, high, drills_of(view.job.units))
        if not fitting:
            continue
        names = listed(dict.fromkeys((fitting[0].name, fitting[-1].name)))
        blind = bore is not None and not bore.through
        yield finding(
            "reamer-idle",
            "note",
            f"T{reamer.number} ({reamer.name}) makes the {section.label}, but no drill of the shop "
            f"file leaves it {view.text(least)} to {view.text(most)}; {len(made)} passes bore it",
            f"enter a drill {names.replace(' and ', ' or ')} in the shop file"
            + (" (in a blind hole the lead leaves the last of it narrower)" if blind else ""),
            pass_number=made[0].number,
        )


def _reamer_of(view: PlanView, section: SectionInfo) -> Tool | None:
    """Return a reamer of the shop that makes a cylinder within its limits, if it is a fine one."""
    size = section.diameter
    if size is None or section.kind != "cylinder" or size.upper - size.lower > DRILLED_MM:
        return None
    fits = (
        t
        for t in view.shop.tools
        if t.kind == "reamer" and size.lower - _SIZE_MM <= t.diameter_mm <= size.upper + _SIZE_MM
    )
    return next(fits, None)
