"""Findings about the steady rest: what its fingers run on, and when it is set."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from turnsketch.blank_sizes import blank_sizes
from turnsketch.findings.metal import metal_before
from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, SteadyWork

__all__ = ["steady_helps_nothing", "steady_not_set", "steady_runs_rough"]

_SAME_MM = 0.02


def _middle(steady: SteadyWork) -> float:
    return (steady.low_z + steady.high_z) / 2


def steady_runs_rough(view: PlanView) -> Iterator[Finding]:
    """The steady's fingers run on black skin, on flats, or where it is not one cylinder."""
    steady = view.setup.steady
    if steady is None or not steady.stands:
        return
    low, high = steady.low_z, steady.high_z
    metal = metal_before(view, steady.from_pass or 0)
    strip = shapely.clip_by_rect(metal, low, 0.0, high, 1e4)
    top = float(strip.bounds[3])
    edge = shapely.clip_by_rect(strip, low, top - _SAME_MM, high, top + 1.0)
    held = sum(p.bounds[2] - p.bounds[0] for p in shapely.get_parts(edge))
    sizes = blank_sizes(view.job.blank, view.job.units)
    raw = abs(top - sizes.radius) < _SAME_MM
    why = ""
    if held < high - low - 0.05:
        why = "the work has not one diameter there"
    elif raw and sizes.flats:
        why = f"the bar is a {view.job.blank.shape} there"
    elif raw and view.job.blank.skin == "black":
        why = "the bar is black there: it does not run true"
    if why:
        yield finding(
            "steady-seat",
            "stop",
            f"the fingers of the steady rest cannot run from {view.z(high)} to {view.z(low)}: "
            f"{why}",
            "turn a seat for it in a setup before, or move it",
            z=_middle(steady),
        )


def steady_not_set(view: PlanView) -> Iterator[Finding]:
    """Its track is never turned: the work stays without the support that the job asks for."""
    steady = view.setup.steady
    if steady is None or steady.stands:
        return
    yield finding(
        "steady-not-set",
        "stop",
        f"nothing turns the track of the steady rest, Ø{view.text(steady.diameter_mm)} from "
        f"{view.z(steady.high_z)} to {view.z(steady.low_z)}: it is never set, and the work "
        "stands out without it",
        "rough and finish that section before all else, or move the steady rest",
        z=_middle(steady),
    )


def steady_helps_nothing(view: PlanView) -> Iterator[Finding]:
    """It is set after the last pass."""
    steady = view.setup.steady
    since = None if steady is None else steady.from_pass
    if steady is None or since is None or any(p.number >= since for p in view.setup.passes):
        return
    yield finding(
        "steady-late",
        "caution",
        "the steady rest is set after the last pass: it helps none of them",
        "turn its track first and the rest after it, or leave the steady rest out",
        z=_middle(steady),
    )
