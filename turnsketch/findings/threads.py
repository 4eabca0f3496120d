"""Findings about threads as they are cut: pitch and gearbox, room at both ends, the point."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from turnsketch.findings.thread_causes import pitch_words, without_pitch
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed, passes_text
from turnsketch.part.thread_record import Thread
from turnsketch.part.threads import read_thread
from turnsketch.plan_records import Finding, Pass, PlannedOperation, ThreadSetting
from turnsketch.shop.thread_shapes import DIE_LEAD_PITCHES, TAP_LEAD_PITCHES, tool_thread

__all__ = [
    "half_nuts_closed",
    "pitch_not_cut",
    "point_too_short",
    "run_out_short",
    "start_short",
    "tap_or_die_short",
    "thread_too_fast",
    "tip_radius",
    "why_no_thread_pass",
]

_LEAST_RUN: Final = 1.0
"""Room behind a thread, in pitches, below which a hand has hardly a turn to stop in."""
_LEAST_START: Final = 2.0
"""Room in front of it, in pitches, in which the slack comes out (common practice)."""
_SAME: Final = 1e-3


def _threads(view: PlanView) -> Iterator[tuple[PlannedOperation, list[Pass], ThreadSetting]]:
    """Yield each thread's passes: operation, passes, the last one's setting."""
    for operation, passes in view.by_operation("thread"):
        for section in dict.fromkeys(p.section for p in passes):
            own = [p for p in passes if p.section == section]
            setting = own[-1].thread
            if setting is not None:
                yield operation, own, setting


def _thread(made: Pass, setting: ThreadSetting) -> Thread:
    return read_thread(setting.text, inside=made.inside)


def pitch_not_cut(view: PlanView) -> Iterator[Finding]:
    """A single-point thread whose pitch the lathe's gearbox does not have."""
    for _, passes, setting in _threads(view):
        if setting.gearbox is not None:
            continue
        yield finding(
            "thread-pitch",
            "stop",
            f"{setting.text}: {without_pitch(view, view.lathe, setting.pitch_mm)}",
            "take a lathe that cuts it, or a tap or die",
            pass_number=passes[0].number,
        )


def half_nuts_closed(view: PlanView) -> Iterator[Finding]:
    """A pitch for which the half-nuts stay closed from the first pass to the last."""
    for _, passes, setting in _threads(view):
        if setting.gearbox is None or setting.half_nuts != "stay closed":
            continue
        yield finding(
            "half-nuts-closed",
            "note",
            f"{setting.text}: the thread dial has no mark for this pitch, so the half-nuts stay "
            f"closed in {passes_text(p.number for p in passes)}",
            "at the end of each pass withdraw the tool, reverse the spindle back to the start",
            pass_number=passes[0].number,
        )


def run_out_short(view: PlanView) -> Iterator[Finding]:
    """Too little room behind a thread for the tool to run out."""
    for _, passes, setting in _threads(view):
        free = setting.free_run_mm
        if setting.left_hand or free >= _LEAST_RUN * setting.pitch_mm:
            continue
        short = (
            f"the thread ends {view.text(-free)} before the length on the print"
            if free < 0
            else f"the tool has {view.text(free)} behind it, less than a turn"
        )
        yield finding(
            "thread-run-out",
            "caution",
            f"{setting.text}: {short}; what stands behind stops the tool at "
            f"{view.z(setting.last_z)}",
            "ask for a thread relief (DIN 76-1) or a shorter thread; turn the last turns by hand, "
            f"or finish it with a {'tap' if passes[-1].inside else 'die'}",
            pass_number=passes[0].number,
            z=setting.last_z,
        )


def start_short(view: PlanView) -> Iterator[Finding]:
    """Too little room in front of a thread for the carriage's slack to come out."""
    for _, passes, setting in _threads(view):
        least = _LEAST_RUN if setting.left_hand else _LEAST_START
        if setting.start_room_mm >= least * setting.pitch_mm - _SAME:
            continue
        yield finding(
            "thread-start-short",
            "caution",
            f"{setting.text}: the tool starts {view.text(setting.start_room_mm)} in front of it, "
            f"less than {least:g} {'pitch' if least == 1 else 'pitches'}: the carriage's slack may "
            "not be out when it cuts",
            "ask for a wider relief, or hold the carriage's wheel back while the half-nuts close",
            pass_number=passes[0].number,
        )


def tip_radius(view: PlanView) -> Iterator[Finding]:
    """A point that is too round for the thread's root, or sharper than a strong root."""
    for _, passes, setting in _threads(view):
        tool, thread = view.tool(passes[0].tool), _thread(passes[0], setting)
        radius = tool.nose_radius_mm
        if radius > thread.greatest_tip_radius + _SAME:
            yield finding(
                "thread-tip-round",
                "caution",
                f"T{tool.number} has a tip of r {view.fine(radius)}; {setting.text} takes "
                f"{view.fine(thread.greatest_tip_radius)} at most: the mate's crests bind on the "
                "round of its root",
                "take a sharper point",
                pass_number=passes[0].number,
            )
        elif radius < thread.least_tip_radius - _SAME:
            yield finding(
                "thread-tip-sharp",
                "note",
                f"T{tool.number} has a tip of r {view.fine(radius)}; {thread.standard} asks for "
                f"{view.fine(thread.least_tip_radius)} in the root of a strong {setting.text}: the "
                "thread fits, but is notched",
                "nothing to do where the bolt carries little; else stone the tip rounder",
                pass_number=passes[0].number,
            )


def point_too_short(view: PlanView) -> Iterator[Finding]:
    """A pitch outside the range that the tool's point is made for."""
    for _, passes, setting in _threads(view):
        tool = view.tool(passes[0].tool)
        least, most = tool.pitch_range_mm
        if not most or least - _SAME <= setting.pitch_mm <= most + _SAME:
            continue
        yield finding(
            "thread-point",
            "caution",
            f"T{tool.number} ({tool.name}) is made for pitches from {least:g} to {most:g} mm, and "
            f"{setting.text} has {pitch_words(view, setting.pitch_mm)}",
            "take a point for this pitch",
            pass_number=passes[0].number,
        )


def thread_too_fast(view: PlanView) -> Iterator[Finding]:
    """A spindle speed at which a hand can't stop the run in the room that there is."""
    for _, passes, setting in _threads(view):
        rpm = max(p.rpm for p in passes)
        if rpm <= setting.hand_rpm + 0.5:
            continue
        room = setting.hand_rpm * setting.pitch_mm / 60
        if room <= 0:
            continue  # told once: there is no room to run out in
        yield finding(
            "thread-too-fast",
            "caution",
            f"{setting.text}: {rpm:.0f} rpm is faster than a hand follows: "
            f"{setting.hand_rpm:.0f} rpm at most ({view.text(room)} of room, 1 s to see and stop; "
            "common practice)",
            "set a lower speed, turn the last turns by hand, or ask for a wider relief",
            pass_number=passes[0].number,
        )


def tap_or_die_short(view: PlanView) -> Iterator[Finding]:
    """A tap or die whose lead leaves the end of the thread without full turns."""
    for operation, passes in view.by_operation("tap", "die"):
        lead = TAP_LEAD_PITCHES if operation.kind == "tap" else DIE_LEAD_PITCHES
        for made in passes:
            place = next((t for t in view.part.threads if t.section == made.section), None)
            if place is None:
                continue
            end = min(m.to.z for m in made.moves if m.kind == "thread")
            short = end + lead * place.pitch - (place.back_z + view.zero)
            if short > _SAME:
                yield finding(
                    "thread-lead",
                    "caution",
                    f"T{operation.tool} stops at {view.z(end)}: the last {view.text(short)} of "
                    f"{place.text} have no full turns, its lead is {lead:g} pitches long",
                    "go on with a bottoming tap"
                    if operation.kind == "tap"
                    else "turn the die round for the last turns: its back has the shorter lead",
                    pass_number=made.number,
                    z=end,
                )


def why_no_thread_pass(view: PlanView, operation: PlannedOperation) -> tuple[str, str, bool]:
    """Return why an operation makes no thread, the remedy, and whether there is nothing to do."""
    tool = view.tool(operation.tool)
    inside = tool.kind in ("inside threading", "tap")
    places = [t for t in view.part.threads if t.inside == inside]
    if operation.kind in ("tap", "die"):
        own = tool_thread(tool)
        same = [t for t in places if (t.major.nominal, t.pitch) == (own.diameter, own.pitch)]
        if not same:
            has = listed(t.text for t in places) or "none"
            return (
                f"T{tool.number} cuts {own.text}, and the print's threads {_side(inside)} are: "
                f"{has}",
                "choose the tool to the thread",
                False,
            )
    if not places:
        return f"the print has no thread {_side(inside)}", "leave it out", True
    if any(t.left_hand for t in places) and operation.kind == "thread":
        return (
            "a left-hand thread is cut from its relief toward the tailstock, and there is no "
            "relief behind it to start in, or it is too narrow",
            "ask for a thread relief, cut it before, or take a die",
            False,
        )
    if operation.kind == "tap":
        return "the hole is not drilled yet, or not deep enough", "drill it before", False
    return (
        "the work is not turned there yet, or the tool or its holder would touch what must stand",
        "move it behind the finishing cuts, or choose a slimmer tool or one with a longer reach",
        False,
    )


def _side(inside: bool) -> str:
    return "in the bore" if inside else "outside"
