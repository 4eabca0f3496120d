"""Findings about metal that stays, and operations that do nothing."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, LeftOver

__all__ = ["empty_operations", "left_over", "off_size"]

ALLOWED_OFF_MM = 0.005
"""How far the exact moves may leave the aimed surface outside reported left-overs."""


def left_over(view: PlanView) -> Iterator[Finding]:
    """Metal that stands although it is not part: its place, cause and remedy."""
    for left in view.plan.finished.left_over:
        severity = "note" if _allowed(view, left) else "caution"
        where = (left.z[0] + left.z[1]) / 2
        what = f"{_volume(view, left.volume_mm3)} stays"
        if left.height_mm:
            what += f", {view.text(left.height_mm)} high"
        yield finding(
            f"left-over-{left.cause.replace(' ', '-') or 'metal'}",
            "caution" if severity == "caution" else "note",
            f"{what}: {left.reason}",
            left.remedy,
            z=where,
        )


def _allowed(view: PlanView, left: LeftOver) -> bool:
    """An inside corner within the radius that the print allows, or a cusp that was asked for."""
    if left.cause == "cusp":
        return True
    allowed = view.part.inside_corner_mm
    return left.fillet_mm is not None and allowed is not None and left.fillet_mm <= allowed + 1e-9


def _volume(view: PlanView, cubic_mm: float) -> str:
    if view.job.units == "inch":
        return f"{cubic_mm / 25.4**3:.5f} in³"
    return f"{cubic_mm:.1f} mm³"


def empty_operations(view: PlanView) -> Iterator[Finding]:
    """An enabled operation without a pass: its tool cannot get there, or nothing is left to cut."""
    for operation in view.setup.operations:
        if operation.first_pass is None:
            yield finding(
                "no-pass",
                "caution",
                f"operation {operation.number} ({operation.kind}, T{operation.tool}) makes no pass: its "
                "tool cannot get there, or nothing is left for it",
                "choose another tool, move it in the list, or disable it",
            )


def off_size(view: PlanView) -> Iterator[Finding]:
    """The exact moves leave a surface further off than they may."""
    finished = view.plan.finished
    if finished.over_mm > ALLOWED_OFF_MM:
        yield finding(
            "over-size",
            "caution",
            f"a surface stands {finished.over_mm:.3f} mm over what is aimed at",
            "look at the section's finishing pass",
        )
