"""Findings about the print: what is open, contradictory, repeated or doubtful."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, Severity

__all__ = ["contradictions", "doubtful", "open_sections", "repeats"]


def open_sections(view: PlanView) -> Iterable[Finding]:
    """A section that the dimensions do not fix: what is drawn is not what the print says."""
    return _of(view, "open", "print-open", "stop")


def contradictions(view: PlanView) -> Iterable[Finding]:
    """Dimensions that cannot all be true."""
    return _of(view, "contradiction", "print-contradiction", "stop")


def repeats(view: PlanView) -> Iterable[Finding]:
    """A dimension that only repeats others: two tolerances for one size."""
    return _of(view, "repeat", "print-repeat", "note")


def doubtful(view: PlanView) -> Iterable[Finding]:
    """A size that the dimensions fix only poorly."""
    return _of(view, "ill-posed", "print-ill-posed", "note")


def _of(view: PlanView, kind: str, code: str, severity: Severity) -> Iterator[Finding]:
    for issue in view.part.issues:
        if issue.kind != kind:
            continue
        there = view.at(view.maker(issue.place.z)) if issue.place else view
        place = there.place(issue.place) if issue.place else None
        yield finding(
            code,
            severity,
            issue.message,
            issue.remedy,
            z=place.z if place else None,
            r=place.r if place else None,
            setup=there.setup.number if place else None,
        )
