"""Findings from the independent replay: whatever it saw is a stop."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.checking.records import EventKind
from turnsketch.findings.view import PlanView, finding
from turnsketch.geometry.constants import GOUGE
from turnsketch.plan_records import Finding
from turnsketch.readings.moves import Rounder
from turnsketch.units import to_mm

__all__ = ["events"]

_REMEDY: dict[EventKind, str] = {
    "gouge": "do not cut this pass: choose another tool for its operation, or report the plan",
    "positioning through metal": "do not cut this pass: put its operation later in the list",
    "holder touches metal": "choose a slimmer tool, or a smaller depth",
    "hits obstacle": "let the blank stick out further, or choose another tool",
    "loose piece": "put the operation that frees it last, or hold the piece",
    "start mismatch": "do not cut from this plan: report it",
}


def events(view: PlanView) -> Iterator[Finding]:
    """Everything that the replay objects to, in the exact moves and in the moves as read."""
    for replay, how in ((view.exact, ""), (view.as_read, " (with the readings as rounded)")):
        slack = _rounding(view) if replay.as_read else 0.0
        seen = {(e.kind, e.pass_number) for e in view.exact.events} if replay.as_read else set()
        for event in replay.events:
            if (event.kind, event.pass_number) in seen:
                continue
            if event.kind == "gouge" and event.depth_mm <= slack:
                continue
            yield finding(
                event.kind.replace(" ", "-"),
                "stop",
                event.what + how,
                _REMEDY[event.kind],
                pass_number=event.pass_number,
                z=event.place.z,
                r=event.place.r,
                setup=event.setup,
            )


def _rounding(view: PlanView) -> float:
    """Return how deep rounded readings may stand in the aimed outline: half a readout step."""
    rounder = Rounder.of(view.lathe.readout, view.job.units)
    half = max(rounder.x_step / 2, rounder.z_step) / 2
    return to_mm(half, view.job.units) * math.sqrt(2) + GOUGE
