"""Why no pass makes a thread, told as it is: the pitch, the tip, the bar, or no room to start."""

from __future__ import annotations

from typing import Final

from turnsketch.findings.view import PlanView
from turnsketch.findings.words import listed
from turnsketch.part.drills import drills_of, tap_drill
from turnsketch.part.outline_records import ResolvedThread
from turnsketch.part.thread_record import Thread
from turnsketch.part.thread_sections import thread_of
from turnsketch.shop.gearbox import thread_gearing
from turnsketch.shop.records import Lathe, Tool
from turnsketch.units import INCH_MM

__all__ = ["pitch_words", "why_not_made", "without_pitch"]

_SAME: Final = 1e-6
_PROFILE_DEG: Final = 60.0

_Cause = tuple[str, str]


def pitch_words(view: PlanView, pitch: float) -> str:
    """Return a pitch as the job's units have it: "a pitch of 1.75 mm", "13 threads an inch"."""
    if view.job.units == "inch":
        return f"{INCH_MM / pitch:.4g} threads an inch"
    return f"a pitch of {pitch:.4g} mm"


def without_pitch(view: PlanView, lathe: Lathe, pitch: float) -> str:
    """Return what a gearbox without a pitch has instead."""
    gearing = thread_gearing(lathe, pitch)
    words = f"the gearbox of {lathe.name} does not cut {pitch_words(view, pitch)}"
    if not gearing.nearest or gearing.nearest_pitch is None:
        return words
    metric = "mm" in gearing.nearest
    if view.job.units == "inch" and metric:
        rate = INCH_MM / gearing.nearest_pitch
        return f"{words}; the nearest, {gearing.nearest}, makes {rate:.4g} an inch"
    return f"{words}; the nearest is {gearing.nearest}"


def why_not_made(view: PlanView, place: ResolvedThread) -> _Cause:
    """Return why no pass makes a thread, and the remedy."""
    thread, maker = thread_of(place), "tap" if place.inside else "die"
    if not thread_gearing(view.lathe, place.pitch).possible:
        others = [m.name for m in view.shop.lathes if thread_gearing(m, place.pitch).possible]
        other = f"cut it on {' or '.join(others)}" if others else "take a lathe that cuts it"
        return (
            f"{without_pitch(view, view.lathe, place.pitch)}, and no {maker} made it",
            f"{other}, or {_maker_words(view, place, thread)}",
        )
    kind = "inside threading" if place.inside else "threading"
    tools = [
        t
        for t in view.shop.tools
        if t.kind == kind and abs(t.profile_angle_deg - _PROFILE_DEG) < _SAME
    ]
    if not tools:
        return (
            f"the shop file has no {kind} tool, and no {maker} made it",
            f"enter a threading tool, or {_maker_words(view, place, thread)}",
        )
    cause = _no_tool_suits(view, thread, tools) or _no_place(view, place, thread, tools)
    if cause is not None:
        reason, remedy = cause
        return f"{reason}, and no {maker} made it", (
            f"{remedy}, or {_maker_words(view, place, thread)}"
        )
    return (
        f"no operation does, or no threading tool and no {maker} of the shop file gets to it",
        f"add a threading operation; if there is one, take a slimmer tool or a {maker}",
    )


def _no_tool_suits(view: PlanView, thread: Thread, tools: list[Tool]) -> _Cause | None:
    """Return what keeps every threading tool from the form: its tip, or what it is made for."""
    most = thread.greatest_tip_radius
    keen = min(tools, key=lambda t: t.nose_radius_mm)
    if keen.nose_radius_mm > most + _SAME:
        return (
            f"the tip of T{keen.number}, the sharpest, has r {view.fine(keen.nose_radius_mm)}, and "
            f"{pitch_words(view, thread.pitch)} allows r {view.fine(most)} at most",
            "enter a threading tool with a sharper tip",
        )
    fitting = [t for t in tools if t.nose_radius_mm <= most + _SAME]
    if not any(_made_for(t, thread.pitch) for t in fitting):
        names = listed(f"T{t.number}" for t in fitting)
        words = pitch_words(view, thread.pitch)
        return (
            f"{names} {'is' if len(fitting) == 1 else 'are'} not made for "
            f"{words}, and the others' tips are too round for it"
            if len(fitting) < len(tools)
            else f"no threading tool of the shop file is made for {words}",
            "enter a threading tool for this pitch",
        )
    return None


def _made_for(tool: Tool, pitch: float) -> bool:
    least, most = tool.pitch_range_mm
    return not most or least - _SAME <= pitch <= most + _SAME


def _no_place(
    view: PlanView, place: ResolvedThread, thread: Thread, tools: list[Tool]
) -> _Cause | None:
    """Return what keeps the tools that suit from their place: the bore, or no room to start."""
    if place.inside:
        suited = [t for t in tools if _made_for(t, thread.pitch)]
        slim = min(suited, key=lambda t: t.least_bore_mm)
        bore = thread.minor.upper
        if slim.least_bore_mm > bore + _SAME:
            return (
                f"no threading bar goes into its bore of Ø{view.text(bore)}: T{slim.number}, the "
                f"slimmest for it, goes into bores from Ø{view.text(slim.least_bore_mm)}",
                "enter a slimmer threading bar",
            )
    if place.left_hand:
        return (
            "a left-hand thread is cut away from the chuck, and there is no relief behind it to "
            "start in, or it is too narrow",
            "ask for a thread relief and cut it before",
        )
    return None


def _maker_words(view: PlanView, place: ResolvedThread, thread: Thread) -> str:
    """Return the tap or die to enter, a tap with its drill."""
    if not place.inside:
        return f"enter a die {thread.text} in the shop file"
    drill = tap_drill(thread, drills_of(view.job.units))
    words = "" if drill is None else f" and drill {drill.name} before it"
    return f"enter a tap {thread.text} in the shop file{words}"
