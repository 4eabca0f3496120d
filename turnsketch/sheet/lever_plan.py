"""The plan of levers and tools: a line for each operation, and how often something is changed."""

from __future__ import annotations

from turnsketch.plan_records import PlannedOperation, SetupPlan
from turnsketch.planning.changes import changes_of, stretches_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import OperationLine
from turnsketch.shop.records import Lathe

__all__ = ["changes_words", "operation_lines", "rpm_text"]


def rpm_text(step_rpm: float, surface_speed_m_min: float | None) -> str:
    """Return a speed; with constant surface speed the figure is the limit."""
    text = f"{step_rpm:.0f}"
    return text if surface_speed_m_min is None else f"≤ {text}"


def changes_words(setup: SetupPlan, lathe: Lathe) -> str:
    """Say how often tools and levers are changed between the first pass and the last."""
    if not setup.passes:
        return ""
    found = changes_of(stretches_of(setup.passes))
    lever = "gear change" if lathe.speeds_rpm else "speed change"
    counts = ((found.tools, "tool change"), (found.gears, lever))
    return ", ".join(
        f"{count or 'no'} {what}{'' if count == 1 else 's'}" for count, what in counts
    ).capitalize()


def operation_lines(setup: SetupPlan, numbers: Numbers) -> tuple[OperationLine, ...]:
    """Return a line for each operation that makes passes."""
    return tuple(_operation(o, setup, numbers) for o in setup.operations if o.first_pass)


def _operation(op: PlannedOperation, setup: SetupPlan, numbers: Numbers) -> OperationLine:
    passes = (
        f"{op.first_pass}"
        if op.first_pass == op.last_pass
        else (f"{op.first_pass} to {op.last_pass}")
    )
    minutes = sum(s.minutes for s in setup.passes if s.operation_number == op.number)
    kind = f"{op.kind}, {op.means}" if op.means else op.kind
    return OperationLine(
        op.number,
        kind,
        f"T{op.tool}",
        _speeds(op, setup),
        numbers.feed(op.feed_mm_per_rev) if op.feed_mm_per_rev else "hand",
        passes,
        f"{minutes:.1f}",
        op.reason,
        "" if op.speed_limited_by == "surface speed" else op.speed_limited_by,
    )


def _speeds(op: PlannedOperation, setup: SetupPlan) -> str:
    """Return an operation's speed; where it changes, from which pass on."""
    text, last = "", ""
    for step in setup.passes:
        if step.operation_number != op.number:
            continue
        rpm = rpm_text(step.rpm, step.surface_speed_m_min)
        if rpm != last:
            text += f"\nfrom {step.number}: {rpm}" if text else rpm
        last = rpm
    return text or rpm_text(op.rpm, op.surface_speed_m_min)
