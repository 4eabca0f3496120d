"""Findings about the readout's steps inside a tolerance, and about measuring it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from turnsketch.findings.metal import level_moves
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed
from turnsketch.part.outline_records import SectionInfo, Size
from turnsketch.part.ties import tie_name
from turnsketch.plan_records import Finding, Pass, Severity
from turnsketch.planning.measure import ANVIL_MM, FINE_MM, INSIDE_ANVIL_MM
from turnsketch.rounding import figure_text, steps_inside
from turnsketch.units import from_mm

__all__ = ["few_steps", "no_step", "too_short_to_measure"]

CAUTION_BELOW = 4
NOTE_BELOW = 10


@dataclass(frozen=True, slots=True)
class _Tight:
    """A size with few readout steps inside its limits."""

    what: str
    axis: str
    count: int
    z: float | None
    r: float | None


def few_steps(view: PlanView) -> Iterator[Finding]:
    """Fewer than four (caution) or ten (note) readout steps lie inside a tolerance."""
    tight = [*_diameters(view), *_lengths(view)]
    groups: tuple[tuple[Severity, list[_Tight]], ...] = (
        ("caution", [t for t in tight if t.count < CAUTION_BELOW]),
        ("note", [t for t in tight if CAUTION_BELOW <= t.count < NOTE_BELOW]),
    )
    for severity, found in groups:
        for axis in ("X", "Z"):
            sizes = [t for t in found if t.axis == axis]
            if sizes:
                yield _few(view, severity, axis, sizes)


def _few(view: PlanView, severity: Severity, axis: str, sizes: list[_Tight]) -> Finding:
    worst = min(sizes, key=lambda t: t.count)
    step = view.rounder.x_step if axis == "X" else view.rounder.z_step
    unit = "in" if view.job.units == "inch" else "mm"
    return finding(
        "few-readout-steps",
        severity,
        f"{_counts(sizes, axis)} clear inside the limits (a step is {figure_text(step, step)} "
        f"{unit})",
        _closer(view, axis) if severity == "caution" else "measure before the last cut",
        z=worst.z,
        r=worst.r,
    )


def _counts(sizes: list[_Tight], axis: str) -> str:
    """Return "A has only 1 step of X", "A and B have only 9 steps each of X", or one by one."""
    first, *rest = sizes
    steps, of = f"{first.count} step{'' if first.count == 1 else 's'}", f"of the readout's {axis}"
    if rest and len({t.count for t in sizes}) == 1:
        return f"{listed(t.what for t in sizes)} have only {steps} each {of}"
    told = [f"{first.what} has only {steps} {of}", *(f"{t.what} {t.count}" for t in rest)]
    return ", ".join(told)


def _closer(view: PlanView, axis: str) -> str:
    """Return how to cut finer than the readout shows."""
    if axis == "Z":
        return "measure before the last cut, and set it with an indicator on the carriage"
    slide = (
        ".005 of slide is .001 on Ø" if view.job.units == "inch" else "0.10 of slide is 0.02 on Ø"
    )
    if view.lathe.top_slide is None:
        return "measure before the last cut, and set it with an indicator on the cross slide"
    return f"measure, then set the last cut with the top slide at 5°44' to the spindle ({slide})"


def _diameters(view: PlanView) -> Iterator[_Tight]:
    for section in view.sections:
        size = section.diameter
        if size is None or _outside(view, size) or not view.makes(section):
            continue
        if _by_its_own_size(view, section):
            continue
        count = view.rounder.x_steps_inside(size.lower, size.upper)
        if count < NOTE_BELOW:
            middle = view.place(section.front).z / 2 + view.place(section.back).z / 2
            yield _Tight(section.label, "X", count, middle, section.front.r)


def _lengths(view: PlanView) -> Iterator[_Tight]:
    """Lengths end at a reading of Z at each end; what counts is the steps that their span holds."""
    ties = {tie_name(view.job.part, tie) for tie in view.job.part.ties}
    for row in view.part.inspection:
        if row.quantity != "length" or row.reference or row.what in ties:
            continue  # how true one surface runs to another is no reading of Z
        lower, upper = (from_mm(v, view.job.units) for v in (row.size.lower, row.size.upper))
        count = steps_inside(lower, upper, view.rounder.z_step)
        section = view.section(row.section)
        if not view.makes(section) if section else view.index > 0:
            continue
        z = view.place(section.back).z if section else None
        if count < NOTE_BELOW:
            yield _Tight(f"{row.what} {row.text}", "Z", count, z, None)


def _outside(view: PlanView, size: Size) -> bool:
    """Return whether no step of X lies even on a limit."""
    return view.rounder.finish_x(size.aim, size.lower, size.upper) is None


def no_step(view: PlanView) -> Iterator[Finding]:
    """No step of X lies inside the limits: the sheet's figure is out of them.

    Over the upper limit metal is left and can be taken; under the lower one the part is scrap.
    """
    for section in view.sections:
        size = section.diameter
        if size is None or not _outside(view, size) or not view.makes(section):
            continue
        if _by_its_own_size(view, section):
            continue
        made, x = _reading(view, section)
        low, high = (from_mm(v, view.job.units) for v in (size.lower, size.upper))
        scrap = x is not None and (x > high if view.inside(section) else x < low)
        decimals = 4 if view.job.units == "inch" else 3
        shown = (
            ""
            if x is None
            else f"; the sheet's X {view.rounder.x_text(x)} is "
            + ("under them" if x < low else "over them")
            + (": scrap" if scrap else "")
        )
        yield finding(
            "no-readout-step",
            "stop" if scrap else "caution",
            f"{section.label}: no step of the readout lies inside the limits "
            f"{low:.{decimals}f} to {high:.{decimals}f}{shown}",
            _closer(view, "X"),
            pass_number=made.number if made else None,
            z=(view.place(section.front).z + view.place(section.back).z) / 2,
            r=section.front.r,
        )


def _by_its_own_size(view: PlanView, section: SectionInfo) -> bool:
    """Return whether a reamer or a drill makes a section: no reading of X does."""
    made = [p for p in view.setup.passes if p.section == section.number and p.last_on_surface]
    return bool(made) and made[-1].direction == "drill"


def _reading(view: PlanView, section: SectionInfo) -> tuple[Pass | None, float | None]:
    """Return the last pass on a section and the X at which it turns it."""
    for made in reversed(view.passes("finish", "finish bore")):
        levels = level_moves(made)
        if made.section == section.number and made.last_on_surface and levels:
            return made, made.readings[max(levels, key=lambda cut: cut[2] - cut[1])[0]].x
    return None, None


def too_short_to_measure(view: PlanView) -> Iterator[Finding]:
    """A close diameter on a section too short for anvils: no stop to measure before it."""
    close = [
        s
        for s in view.sections
        if s.diameter is not None
        and s.diameter.upper - s.diameter.lower <= FINE_MM
        and view.makes(s)
        and not _by_its_own_size(view, s)
    ]
    tight = [s for s in close if view.inside(s) and s.front.z - s.back.z < INSIDE_ANVIL_MM - 1e-9]
    if tight:
        yield finding(
            "short-to-measure",
            "note",
            f"{listed(s.label for s in tight)}: shorter than the {view.text(INSIDE_ANVIL_MM)} "
            "that a bore gauge wants, so no stop to measure stands before the last cut",
            "try it with a plug gauge, and stop before the last cut all the same",
            z=view.place(tight[0].front).z,
            r=tight[0].front.r,
        )
    short = [s for s in close if not view.inside(s) and s.front.z - s.back.z < ANVIL_MM - 1e-9]
    if short:
        yield finding(
            "short-to-measure",
            "note",
            f"{listed(s.label for s in short)}: shorter than the {view.text(ANVIL_MM)} that a "
            "micrometer's anvils want, so no stop to measure stands before the last cut",
            "measure it with a blade micrometer, and stop before the last cut all the same",
            z=view.place(short[0].front).z,
            r=short[0].front.r,
        )
