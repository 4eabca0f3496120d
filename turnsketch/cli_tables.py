"""The tables that the command line prints: passes, findings, totals. Plain text, aligned."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence
from typing import Final

from turnsketch.job import Job
from turnsketch.plan_records import Finding, Pass, Plan, SetupPlan
from turnsketch.sheet.motions import main_readings
from turnsketch.units import INCH_MM, from_mm, surface_speed_text

__all__ = ["findings_lines", "plan_lines", "proposal_lines", "sorted_findings", "totals_lines"]

Fit = Callable[[str], str]

_RANK: Final = {"stop": 0, "caution": 1, "note": 2}
_HEADINGS: Final = (
    "No", "operation", "surface", "tool", "rpm", "feed", "from Z", "set X", "to X", "to Z", "dia",
)  # fmt: skip
_LEFT: Final = frozenset({"operation", "surface"})
_WIDTH: Final = 100


def plan_lines(plan: Plan, fit: Fit) -> Iterator[str]:
    """Return the whole print-out of `plan`: setups and passes, findings worst first, totals."""
    for setup in plan.setups:
        yield from _setup_lines(plan, setup, fit)
        yield ""
    yield from findings_lines(plan, fit)
    yield ""
    yield from totals_lines(plan, fit)


def proposal_lines(job: Job, reasons: Sequence[str]) -> Iterator[str]:
    """Return the proposed blank and setups in a line each, and the reasons for them."""
    unit = "mm" if job.units == "mm" else "in"
    yield f"proposed blank: Ø{job.blank.diameter} x {job.blank.length} {unit}, {job.blank.shape}"
    for number, setup in enumerate(job.setups, 1):
        held = setup.holding
        words = [f"grip {held.grip}" if held.grip else f"pulled out {setup.pull_out}"]
        words += ["turned around"] if setup.turned else []
        words += ["on the centre"] if held.centre else []
        words += ["in its bore"] if held.inside else []
        words += ["soft jaws"] if held.soft_jaws else []
        yield f"setup {number}: {setup.name}; {held.device}, {', '.join(words)}"
    for reason in reasons:
        yield from textwrap.wrap(
            f"why: {reason}", _WIDTH, initial_indent="  ", subsequent_indent="       "
        )
    yield ""


def _setup_lines(plan: Plan, setup: SetupPlan, fit: Fit) -> Iterator[str]:
    unit = "mm" if plan.display_units == "mm" else "in"
    grip, out = (_size(plan, value) for value in (setup.grip_mm, setup.stick_out_mm))
    yield fit(f"{plan.job}   mark {plan.mark}   setup {setup.number}: {setup.name}")
    yield fit(
        f"grip {grip} {unit}, stick-out {out} {unit}, never beyond Z "
        f"{_size(plan, setup.never_beyond_z)}, at most {setup.greatest_rpm:.0f} rpm"
        + (f" ({setup.greatest_rpm_reason})" if setup.greatest_rpm_reason else "")
    )
    yield fit(f"readings in {unit}; X is a diameter; Z minus is toward the chuck")
    yield ""
    rows = [_row(plan, step) for step in setup.passes]
    yield from _table([_HEADINGS, *rows], fit)


def _size(plan: Plan, value_mm: float) -> str:
    decimals = 2 if plan.display_units == "mm" else 3
    return f"{from_mm(value_mm, plan.display_units) + 0.0:.{decimals}f}"


def _row(plan: Plan, step: Pass) -> tuple[str, ...]:
    before, after = main_readings(step)
    number = _number(plan)
    speed = f"{step.rpm:.0f}"
    if step.surface_speed_m_min is not None:
        speed = surface_speed_text(step.surface_speed_m_min, plan.display_units)
    feed = "hand"
    if step.feed_mm_per_rev is not None:
        value = from_mm(step.feed_mm_per_rev, plan.display_units)
        feed = f"{value:.2f}" if plan.display_units == "mm" else f"{value:.4f}"
        feed += "" if step.power else " hand"
    size = "" if step.size is None else number(from_mm(step.size.diameter, plan.display_units))
    return (
        str(step.number),
        step.operation,
        step.surface,
        f"T{step.tool}",
        speed,
        feed,
        number(before.z),
        number(before.x),
        number(after.x) if after.x != before.x else "",
        number(after.z) if after.z != before.z else "",
        size,
    )


def _number(plan: Plan) -> Callable[[float], str]:
    decimals = 3 if plan.display_units == "mm" else 4

    def write(value: float) -> str:
        text = f"{value:.{decimals}f}"
        return text.removeprefix("-") if float(text) == 0 else text

    return write


def _table(rows: Sequence[Sequence[str]], fit: Fit) -> Iterator[str]:
    """Align `rows`; the first holds the headings. Widths count the letters really shown."""
    shown = [[fit(cell) for cell in row] for row in rows]
    widths = [max(map(len, column)) for column in zip(*shown, strict=True)]
    left = [heading in _LEFT for heading in rows[0]]
    for number, row in enumerate(shown):
        cells = zip(row, widths, left, strict=True)
        yield "  ".join(c.ljust(w) if to_left else c.rjust(w) for c, w, to_left in cells).rstrip()
        if number == 0:
            yield "  ".join("-" * width for width in widths)


def sorted_findings(plan: Plan) -> list[Finding]:
    """Return the findings, the worst first, then in the order of setups and passes."""
    return sorted(
        plan.findings,
        key=lambda f: (_RANK[f.severity], f.setup or 0, f.pass_number or 0),
    )


def findings_lines(plan: Plan, fit: Fit) -> Iterator[str]:
    """Return the findings of `plan` as a table of severity, place, what, and what to do."""
    findings = sorted_findings(plan)
    if not findings:
        yield "no findings"
        return
    places = [fit(_place(plan, finding)) for finding in findings]
    width = max(map(len, places))
    indent = " " * (len("caution") + 2 + width + 2)
    for finding, place in zip(findings, places, strict=True):
        head = f"{finding.severity:<7}  {place:<{width}}  "
        yield from _wrapped(head + fit(finding.message), indent)
        if finding.remedy:
            yield from _wrapped(indent + "-> " + fit(finding.remedy), indent + "   ")


def _wrapped(text: str, indent: str) -> list[str]:
    width = max(_WIDTH, len(indent) + 40)
    return textwrap.wrap(
        text, width, subsequent_indent=indent, break_on_hyphens=False, drop_whitespace=True
    )


def _place(plan: Plan, finding: Finding) -> str:
    parts = []
    if finding.setup is not None and len(plan.setups) > 1:
        parts.append(f"setup {finding.setup}")
    if finding.pass_number is not None:
        parts.append(f"pass {finding.pass_number}")
    if finding.z is not None:
        parts.append(f"Z {_size(plan, finding.z)}")
    return ", ".join(parts)


def totals_lines(plan: Plan, fit: Fit) -> Iterator[str]:
    """Return the sums of `plan` and how near the part comes to its aimed outline."""
    totals, units = plan.totals, plan.display_units
    unit, cube, decimals = ("mm", "cm3", 4) if units == "mm" else ("in", "in3", 5)
    volume = totals.removed_mm3 / (1000 if units == "mm" else INCH_MM**3)
    yield fit(
        f"{totals.passes} passes, {totals.minutes:.1f} min cutting and positioning, "
        f"{volume:.1f} {cube} removed"
    )
    for words, result in (("exact", plan.finished), ("as read", plan.finished_as_read)):
        over, under = (from_mm(value, units) for value in (result.over_mm, result.under_mm))
        yield fit(
            f"finished part, {words}: {over:.{decimals}f} {unit} over, "
            f"{under:.{decimals}f} {unit} under"
        )
