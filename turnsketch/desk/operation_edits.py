"""Edits of the operation list, and why the program proposes what it does. No Qt.

A job that has no list of its own follows the proposal; the first edit writes the proposal into it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

import msgspec

from turnsketch.cutting.surface import PURPOSES, surface_speed
from turnsketch.desk.dimension_text import length_text
from turnsketch.errors import InputError
from turnsketch.job import Job, Operation
from turnsketch.part.text import parse
from turnsketch.plan_records import PlannedOperation
from turnsketch.shop.records import Material, Shop, Tool
from turnsketch.shop.suited import SUITED
from turnsketch.units import Units, from_mm

__all__ = [
    "FIELDS",
    "field_text",
    "listed",
    "proposed_text",
    "reason_text",
    "usable_tools",
    "with_field",
    "with_list",
    "with_moved",
]

FIELDS: Final = ("depth", "x_allowance", "z_allowance", "feed", "speed")
"""What can be set in numbers, in the order of the form."""

_MOST_RPM: Final = 20_000.0


def listed(job: Job, proposal: Sequence[Operation], setup: int = 0) -> tuple[Operation, ...]:
    """Return the operations that are planned: the job's own, else the proposal."""
    own = job.setups[setup].operations
    return tuple(proposal) if own is None else own


def with_list(job: Job, operations: Sequence[Operation] | None, setup: int = 0) -> Job:
    """Return the job with this list; None, or an empty one: the program proposes again."""
    setups = list(job.setups)
    own = tuple(operations) if operations else None
    setups[setup] = msgspec.structs.replace(setups[setup], operations=own)
    return msgspec.structs.replace(job, setups=tuple(setups))


def with_moved(operations: Sequence[Operation], index: int, by: int) -> tuple[Operation, ...]:
    """Return the list with one operation moved up (-1) or down (+1)."""
    target = max(0, min(len(operations) - 1, index + by))
    rest = list(operations)
    rest.insert(target, rest.pop(index))
    return tuple(rest)


def usable_tools(shop: Shop, kind: str) -> list[Tool]:
    """Return the shop's tools that can do an operation of this kind."""
    kinds = SUITED.get(kind, ())
    return [tool for tool in shop.tools if tool.kind in kinds]


def field_text(operation: Operation, field: str) -> str:
    """Return what the job says itself in a field of the form; empty: the program proposes."""
    if field != "speed":
        return getattr(operation, field) or ""
    if operation.rpm is not None:
        return f"{operation.rpm:g} rpm"
    return "" if operation.surface_speed is None else f"{operation.surface_speed:g} m/min"


def with_field(operation: Operation, field: str, text: str, units: Units) -> Operation:
    """Return the operation with a field set; empty text gives it back to the program.

    Raises
    ------
    InputError
        When the text cannot be read.
    """
    if field == "speed":
        return _with_speed(operation, text)
    if text:
        size = parse(text, units, {"length"}).nominal
        if size <= 0 and field in ("depth", "feed"):
            raise InputError("give a size above 0, or leave it to the program")
    changes: dict[str, Any] = {field: text or None}
    return msgspec.structs.replace(operation, **changes)


def _with_speed(operation: Operation, text: str) -> Operation:
    number, _, unit = text.replace(",", ".").partition(" ")
    if not text:
        return msgspec.structs.replace(operation, rpm=None, surface_speed=None)
    try:
        value = float(number)
    except ValueError:
        value = math.nan
    rpm = unit.strip().lower() in ("rpm", "r/min", "1/min")
    if not (0 < value <= _MOST_RPM) or not (rpm or unit.strip().lower() in ("m/min", "")):
        raise InputError('a speed is "100 m/min" at the work\'s surface, or "900 rpm"')
    return msgspec.structs.replace(
        operation, rpm=value if rpm else None, surface_speed=None if rpm else value
    )


def proposed_text(planned: PlannedOperation, field: str, units: Units) -> str:
    """Return what the plan uses in a field, for the place where the job says nothing."""
    if field == "speed":
        steady = planned.surface_speed_m_min
        return f"{planned.rpm:.0f} rpm" if steady is None else f"{steady:.0f} m/min"
    if field == "feed":
        feed = planned.feed_mm_per_rev
        return "by hand" if feed is None else f"{from_mm(feed, units):.3g}"
    value = {
        "depth": planned.depth_mm,
        "x_allowance": planned.x_allowance_mm,
        "z_allowance": planned.z_allowance_mm,
    }[field]
    return "" if value is None else length_text(value, units)


def reason_text(
    planned: PlannedOperation, field: str, shop: Shop, material: str, diameter_mm: float
) -> str:
    """Return where a proposed number comes from: rule or formula, values, source."""
    tool = next((t for t in shop.tools if t.number == planned.tool), None)
    if field == "tool" or tool is None:
        return planned.reason or "taken from the job"
    if field == "speed":
        found = next((m for m in shop.materials if m.name == material), None)
        return _speed_reason(planned, tool, found, diameter_mm)
    if field == "feed":
        if planned.feed_mm_per_rev is None:
            return "by hand: this lathe has no power feed for this motion"
        finishing = planned.kind in ("finish", "finish bore")
        usual = tool.finish_feed_mm if finishing else tool.rough_feed_mm
        words = f"T{tool.number} is used with {usual:g} mm a turn (shop file)"
        if planned.feed_mm_per_rev < usual - 1e-9:
            words += "; the print's surface texture or the lathe asks for less: Ra = f² / (18 √3 r)"
        return words
    if field == "depth":
        words = f"T{tool.number} takes at most {tool.greatest_depth_mm:g} mm a cut (shop file)"
        limit = shop.limits.greatest_depth_mm
        return words + (f"; a trainee at most {limit:g} mm" if limit is not None else "")
    if planned.kind not in ("rough", "bore"):
        return "nothing is left behind this operation"
    side = "on radius" if field == "x_allowance" else "on shoulders"
    value = planned.x_allowance_mm if field == "x_allowance" else planned.z_allowance_mm
    return f"{value:g} mm {side} for the finish (common practice)"


def _speed_reason(
    planned: PlannedOperation, tool: Tool, material: Material | None, diameter_mm: float
) -> str:
    limited = f"limited by: {planned.speed_limited_by}" if planned.speed_limited_by else ""
    speeds = () if material is None else material.speeds
    found = next((s for s in speeds if s.tool_material == tool.material), None)
    if found is None or material is None:
        return limited or "a cautious speed: the shop file gives none for this material"
    v = surface_speed(material, tool.material, PURPOSES[planned.kind])
    wanted = 1000 * v / (math.pi * diameter_mm)
    return (
        f"n = 1000 v / (π d): {v:g} m/min for {tool.material} in {material.name} at "
        f"Ø{diameter_mm:.4g} asks for {wanted:.0f} rpm; taken {planned.rpm:.0f}; {limited}"
    )
