"""Findings about the holding: grip and jaws."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.findings.gripping import least_grip
from turnsketch.findings.metal import region, top_of
from turnsketch.findings.room import Room, blade_left_of, room_behind
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import them
from turnsketch.plan_records import Finding, Pass

__all__ = ["grip_too_long", "grip_too_short", "jaws_in_the_cut", "near_the_jaws"]

_FAR_MM = 1e4
"""Farther back than any bar goes."""


def grip_too_short(view: PlanView) -> Iterator[Finding]:
    """The jaws hold less than the shop file asks for."""
    grip, least = view.setup.grip_mm, least_grip(view)
    if grip < least - 1e-9:
        yield finding(
            "grip-short",
            "stop",
            f"{view.chuck.name} grips only {view.text(grip)}; this shop asks for at least "
            f"{view.text(least)}, or the work may be pulled out",
            f"let the blank reach {view.text(least - grip)} further into the jaws",
            z=view.setup.jaw_face_z,
        )


def grip_too_long(view: PlanView) -> Iterator[Finding]:
    """What is to reach further in than the jaws are long is too thick for the chuck's bore."""
    grip, jaws, bore = view.setup.grip_mm, view.chuck.jaw_length_mm, view.chuck.bore_mm
    behind = 2 * top_of(region(view.setup.blank), -_FAR_MM, view.setup.jaw_face_z - jaws)
    # A dog stands anywhere on what lies behind it; in a bore the planner asks for no more.
    other = view.chuck.kind == "driver" or view.setup_held_inside
    if not other and grip > jaws + 1e-9 and behind > bore + 1e-9:
        yield finding(
            "grip-long",
            "caution",
            f"the grip of {view.text(grip)} cannot be set: the jaws of {view.chuck.name} are "
            f"{view.text(jaws)} long, and Ø{view.text(behind)} does not enter its bore of "
            f"Ø{view.text(bore)}",
            f"grip at most {view.text(jaws)}, or take a shorter blank",
            z=view.setup.jaw_face_z,
        )


def jaws_in_the_cut(view: PlanView) -> Iterator[Finding]:
    """Part or parting cut reach the jaws; a part that does is told of a short blank too."""
    room = room_behind(view)
    if room.missing <= 0 or not (room.from_grip or room.into_jaws > 0):
        return
    yield finding(
        "jaws-in-the-cut",
        "stop" if room.into_jaws > 0 else "caution",
        _reaches(view, room),
        _more_room(view, room),
        z=view.back_z,
    )


def _more_room(view: PlanView, room: Room) -> str:
    grip, least = view.setup.grip_mm, view.chuck.least_grip_mm
    longer = f"cut the blank {view.text(room.missing)} longer"
    if room.from_grip:
        return f"grip {view.text(grip - room.missing)} in place of {view.text(grip)}, or {longer}"
    if grip <= least + 1e-6:
        return longer
    return f"{longer}, or {view.text(room.short_mm)} longer with a grip of {view.text(least)}"


def _reaches(view: PlanView, room: Room) -> str:
    if room.into_jaws > 0:
        return f"the part reaches {view.text(room.into_jaws)} into the jaws"
    gap = view.back_z - view.setup.jaw_face_z
    what = "the part's end" if room.blade_mm == 0 else f"a blade of {view.text(room.blade_mm)}"
    return (
        f"only {view.text(gap)} stand between the part's back and the jaws: no room for {what} "
        f"and {view.text(view.shop.clearances.cut_to_jaws)} of clearance"
    )


def near_the_jaws(view: PlanView) -> Iterator[Finding]:
    """A cut goes beyond the line that is never to be passed."""
    line = view.setup.never_beyond_z
    # Drills and bars go on inside the work, where the jaws are not.
    outside = [p for p in view.setup.passes if not (p.inside or p.direction == "drill")]
    beyond = [(z, p) for p in outside if (z := _lowest_cut(view, p)) < line - 1e-6]
    if not beyond:
        return
    z, nearest = min(beyond, key=lambda pair: pair[0])
    yield finding(
        "near-the-jaws",
        "caution",
        f"{them([p.number for _, p in beyond], 'goes', 'go')} beyond {view.z(line)}, the line "
        f"that no cut is to pass: {view.text(z - view.setup.jaw_face_z)} stay to the jaws",
        f"let the blank stand out {view.text(line - z)} further, and set the carriage stop",
        pass_number=nearest.number,
        z=z,
    )


def _lowest_cut(view: PlanView, made: Pass) -> float:
    if (made.inside or made.direction == "drill") and not view.setup_held_inside:
        return math.inf  # inside the work: the jaws stand around it
    lowest = min((m.to.z for m in made.moves if m.kind != "position"), default=math.inf)
    return blade_left_of(view, made.tool, lowest) if made.operation == "part off" else lowest
