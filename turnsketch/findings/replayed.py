"""Findings from the independent replay: whatever it saw is a stop."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.checking.records import Event, EventKind, Replay
from turnsketch.findings.parting import too_short_blades
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import passes_text
from turnsketch.geometry.constants import GOUGE
from turnsketch.plan_records import Finding
from turnsketch.units import to_mm

__all__ = ["events"]

_REMEDY: dict[EventKind, str] = {
    "gouge": "do not cut this: choose another tool for the operation, or report the plan",
    "tap meets metal": "drill the hole deeper or wider before it, or let the tap stop sooner",
    "positioning through metal": "do not cut this: put the operation later in the list",
    "holder touches metal": "choose a slimmer tool, or rough closer before it",
    "hits obstacle": "let the blank stand out further, or choose another tool",
    "loose piece": "put the operation that frees it last, or hold the piece",
    "start mismatch": "do not cut from this plan: report it",
    "blank mismatch": "do not cut from this plan: report it",
}

_AT_CENTRE = "leave this operation out while the centre is in: face and drill before, then set it"

_Key = tuple[EventKind, str]


def events(view: PlanView) -> Iterator[Finding]:
    """Everything that the replay objects to, one finding for each kind and body that is hit."""
    seen: set[tuple[EventKind, int]] = set()
    for replay, how in ((view.exact, ""), (view.as_read, ", with the readings as rounded")):
        groups: dict[_Key, list[Event]] = {}
        for event in _counted(view, replay):
            if (event.kind, event.pass_number) not in seen:
                groups.setdefault((event.kind, _body(event)), []).append(event)
        for (kind, body), found in groups.items():
            yield _told(view, kind, body, found, how)
        seen = {(e.kind, e.pass_number) for e in _counted(view, replay)}


def _counted(view: PlanView, replay: Replay) -> list[Event]:
    """Return the events less what rounding may do, and less what another finding tells."""
    slack = _rounding(view) if replay.as_read else 0.0
    short = {p.number for p in too_short_blades(view)}
    return [
        e
        for e in replay.events
        if e.setup == view.setup.number
        and not (e.kind == "gouge" and e.depth_mm <= slack)
        and not (e.kind == "holder touches metal" and e.pass_number in short)
    ]


def _rounding(view: PlanView) -> float:
    """Return how deep rounded readings may stand in the aimed outline: half a readout step."""
    half = max(view.rounder.x_step / 2, view.rounder.z_step) / 2
    return to_mm(half, view.job.units) * math.sqrt(2) + GOUGE


def _body(event: Event) -> str:
    """Return what is hit: "the jaws", "the part", "the metal"."""
    body = event.what.rpartition(" into ")[2] if " into " in event.what else ""
    behind = ("the centre nose", "the centre body", "the quill")
    return "the centre" if body in behind else body


def _told(view: PlanView, kind: EventKind, body: str, found: list[Event], how: str) -> Finding:
    worst = max(found, key=lambda e: e.depth_mm)
    centre = kind == "hits obstacle" and body == "the centre"
    # A blank is there before the first pass: it has no pass's number.
    number = worst.pass_number or None
    where = f"{passes_text(e.pass_number for e in found)}: " if number else ""
    return finding(
        kind.replace(" ", "-"),
        "stop",
        f"{where}{_what(view, kind, body, worst)}{how}",
        _AT_CENTRE if centre else _REMEDY[kind],
        pass_number=number,
        z=worst.place.z,
        r=worst.place.r,
        setup=worst.setup,
    )


def _what(view: PlanView, kind: EventKind, body: str, event: Event) -> str:
    """Return what happens in the job's units; the replay itself speaks in millimetres."""
    deep = view.fine(event.depth_mm)
    if kind == "blank mismatch":
        return f"the blank differs by {deep} from what the setup before left"
    made = next(p for p in view.setup.passes if p.number == event.pass_number)
    piece = event.what.partition(" of tool ")[0]
    if kind == "gouge":
        return f"T{made.tool} cuts {deep} into the part at {view.z(event.place.z)}"
    if kind == "start mismatch":
        return f"the first move begins {deep} from where the tool stands"
    if kind == "loose piece":
        name = "the part" if event.what.startswith("the part") else "a piece of metal"
        return f"{name} at {view.z(event.place.z)} comes loose while the spindle turns"
    verb = "runs" if kind == "positioning through metal" else "goes"
    way = " on its way" if kind == "positioning through metal" else ""
    return f"the {piece} of T{made.tool} {verb} {deep} into {body}{way}"
