"""Findings about finishing paths that are not exact everywhere."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding

__all__ = ["inexact_paths"]

_REMEDY = {
    "unverified": "measure this place before and after the cut, or choose another tool",
    "cut short": "break the corner by file if metal stands there; nothing is gouged",
}


def inexact_paths(view: PlanView) -> Iterator[Finding]:
    """A join of the path that could not be verified, or a corner that was cut short."""
    for made in view.setup.passes:
        for caution in made.cautions:
            yield finding(
                f"path-{caution.kind.replace(' ', '-')}",
                "caution" if caution.kind == "unverified" else "note",
                f"pass {made.number}, {made.surface}: {caution.words}",
                _REMEDY[caution.kind],
                pass_number=made.number,
                z=caution.z,
                r=caution.r,
            )
