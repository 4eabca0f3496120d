"""Findings about the threads of the print: made or not, pitch, blank, chamfer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from turnsketch.findings.thread_causes import why_not_made
from turnsketch.findings.view import PlanView, finding
from turnsketch.part.outline_records import ResolvedThread, SectionInfo
from turnsketch.part.thread_sections import thread_of
from turnsketch.plan_records import Finding, Pass

__all__ = ["blank_off", "no_lead_chamfer", "special_thread", "thread_not_made"]

_KINDS: Final = ("thread", "tap", "die")
_SAME: Final = 1e-3


def thread_not_made(view: PlanView) -> Iterator[Finding]:
    """A thread of the print that no pass makes, and why."""
    for place in view.part.threads:
        if any(p.section == place.section and p.operation in _KINDS for p in _all(view)):
            continue
        middle = (place.front_z + place.back_z) / 2
        at = view.at(view.maker(middle, place.section))
        reason, remedy = why_not_made(at, place)
        yield finding(
            "thread-not-made",
            "caution",
            f"no pass makes the thread {place.text}: {reason}",
            remedy,
            z=middle + at.zero,
            setup=at.setup.number,
        )


def _all(view: PlanView) -> Iterator[Pass]:
    for setup in view.plan.setups:
        yield from setup.passes


def special_thread(view: PlanView) -> Iterator[Finding]:
    """A pitch that no standard has for this diameter: a misprint, perhaps."""
    for place in view.part.threads:
        note = thread_of(place).note
        if note:
            at = view.at(view.maker(place.front_z, place.section))
            yield finding(
                "thread-special",
                "note",
                f"{place.text}: {note}",
                "ask whether the print means it: no gauge and no nut of the trade fits",
                z=place.front_z + at.zero,
                setup=at.setup.number,
            )


def blank_off(view: PlanView) -> Iterator[Finding]:
    """The print's own diameter for a threaded cylinder lies outside the thread's limits."""
    for place in view.part.threads:
        info = _section(view, place.section)
        if info is None:
            continue
        blank, is_now = thread_of(place).blank, 2 * info.front.r
        if blank.lower - _SAME <= is_now <= blank.upper + _SAME:
            continue
        word = "bored" if place.inside else "turned"
        thick = is_now > blank.upper
        harm = _harm(inside=place.inside, thick=thick)
        at = view.at(view.maker(place.front_z, place.section))
        yield finding(
            "thread-blank",
            "caution",
            f"{place.text} is {word} to Ø{view.text(is_now)} before threading; its limits there "
            f"are {view.fine(blank.lower)} to {view.fine(blank.upper)}: {harm}",
            "leave the diameter out beside the thread: the program takes the thread's own",
            z=place.front_z + at.zero,
            setup=at.setup.number,
        )


def _harm(*, inside: bool, thick: bool) -> str:
    if inside:
        return "its crests are thin" if thick else "a bolt's roots bind in it"
    return "a nut binds on its crests" if thick else "its crests are thin"


def _section(view: PlanView, number: int) -> SectionInfo | None:
    bores = (b.sections for b in (view.part.bore, view.part.bore_back) if b is not None)
    every = [*view.part.sections, *(s for sections in bores for s in sections)]
    return next((s for s in every if s.number == number), None)


def no_lead_chamfer(view: PlanView) -> Iterator[Finding]:
    """An outside thread that begins at a sharp corner."""
    for place in view.part.threads:
        info = _section(view, place.section)
        if place.inside or info is None:
            continue
        for end in (info.front, info.back):
            free = _free_end(view, info, front=end is info.front)
            if not free or any(c.at.distance(end) < _SAME for c in view.part.corners):
                continue
            at = view.at(view.maker(end.z, place.section))
            yield finding(
                "thread-no-chamfer",
                "note",
                f"the print shows no chamfer where {place.text} begins: its first turn is a burr, "
                "and a nut does not start on it",
                f"ask for a chamfer of 45° down to the root, about {view.text(_lead(place))}",
                z=end.z + at.zero,
                setup=at.setup.number,
            )


def _lead(place: ResolvedThread) -> float:
    return max(0.0, (place.major.nominal - place.minor.lower) / 2)


def _free_end(view: PlanView, info: SectionInfo, *, front: bool) -> bool:
    """Return whether an end of a section is the part's own end."""
    z = info.front.z if front else info.back.z
    return abs(z) < _SAME if front else abs(z + view.part.total_length) < _SAME
