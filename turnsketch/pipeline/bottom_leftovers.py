"""Why metal stays at the bottom of a blind bore, or where nothing bored it: told as it is."""

from __future__ import annotations

from turnsketch.geometry.elements import Point
from turnsketch.part.drills import drill_to_size, drills_of, tap_drill
from turnsketch.part.outline_records import ResolvedBore, SectionInfo
from turnsketch.part.thread_sections import thread_of
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.fold import Planned
from turnsketch.planning.inside import bore_threads

__all__ = ["after_drills", "at_the_bottom"]

_Cause = tuple[str, str, str, float | None]

_SHORT_MM = 0.05
_OUTER = 0.6
"""What lies farther out than this share of the bottom's radius is its corner, not its middle."""


def after_drills(bore: ResolvedBore, planned: Planned, *, bottom: bool) -> _Cause:
    """Return why metal stays in a bore in which no bar works.

    Parameters
    ----------
    bottom : bool
        It lies at the bottom.
    """
    drilled = _drills(planned)
    last = drilled[-1] if drilled else None
    if last is not None and _too_short(bore, last) and bottom:
        reason = f"the flutes of T{last.tool} end before the bottom"
        return "reach", reason, "take a longer drill, or make the rest from the other end", None
    if drilled and bottom and _is_flat(bore):
        return _drill_point()
    return "not planned", "no operation makes it to size", _what_makes_it(bore, planned), None


def at_the_bottom(bore: ResolvedBore, place: Point, bar: int) -> _Cause:
    """Return why metal stays at a blind bottom that the bar `bar` works at."""
    if not _is_flat(bore):
        return (
            "drill cone",
            f"beside the drill's cone a ring of the print's wider one stays: the edge of T{bar} "
            "does not follow it",
            "finish with a drill of the bore's size, or ask whether the ring may stay",
            None,
        )
    if place.r > _OUTER * bore.sections[-1].back.r:
        reason = f"the head of T{bar} does not get into the corner at the bottom"
        return "holder", reason, "a slimmer bar, or ask whether it may stay", None
    return _drill_point()


def _drill_point() -> _Cause:
    reason = "the drill's point, which the bar does not reach, stays at the bottom"
    return "drill point", reason, "take it out with a flat-ended drill, or ask the print", None


def _is_flat(bore: ResolvedBore) -> bool:
    return bore.aim.elements[-1].role == "face"


def _drills(planned: Planned) -> list[DraftPass]:
    return [p for s in planned.steps if s.operation.kind == "drill" for p in s.passes]


def _too_short(bore: ResolvedBore, last: DraftPass) -> bool:
    """Return whether a drill ends before it reaches what the print asks for."""
    if last.quill is None or last.quill.full_z is None:
        return False
    end = last.quill.tip_z if _is_flat(bore) and not bore.through else last.quill.full_z
    return end > -bore.depth + _SHORT_MM


def _what_makes_it(bore: ResolvedBore, planned: Planned) -> str:
    """Return the remedy where nothing makes a bore: a tap with its drill, a drill, or bars."""
    ctx = planned.ctx
    stock = drills_of(ctx.units)
    for place in bore_threads(ctx, bore):
        thread = thread_of(place)
        drill = tap_drill(thread, stock)
        if drill is not None:
            return f"drill {drill.name} and tap it, or choose boring bars that go in"
    narrow = min(bore.sections, key=lambda s: min(s.front.r, s.back.r))
    named = _drill_name(narrow, planned)
    if named:
        return f"drill {named}: the print's tolerance lets it do; or choose boring bars that go in"
    return "choose boring bars for it: the shop has none that goes in, or the list names none"


def _drill_name(section: SectionInfo, planned: Planned) -> str:
    size = section.diameter
    if size is None or section.kind != "cylinder":
        return ""
    drill = drill_to_size(size, drills_of(planned.ctx.units))
    return "" if drill is None else drill.name
