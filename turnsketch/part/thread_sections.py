"""Threads as the print writes them at a section, and the diameter before threading.

A print writes a thread where a diameter would stand ("M12x1.75-6g"), or beside it. What is turned
before it is the blank: the limits of its major diameter, in a bore those of its minor diameter.
The solver gets the blank as dimension text and need know nothing of threads.
"""

from __future__ import annotations

import re
from functools import lru_cache

import msgspec

from turnsketch.errors import InputError
from turnsketch.part.drills import drill_sizes, tap_drill
from turnsketch.part.outline_records import ResolvedThread
from turnsketch.part.records import Section
from turnsketch.part.text import parse
from turnsketch.part.thread_record import Thread
from turnsketch.part.threads import read_thread
from turnsketch.units import Units

__all__ = ["blank_text", "looks_like_thread", "section_thread", "thread_of", "with_blank"]

_SAME_MM = 0.005

_THREAD_LIKE = re.compile(
    r"\s*(?:[mM]\s*\d|#\s*\d|.*\d.*\bUN(?:C|F|EF|S)?\b|\d+(?:[ -]\d+)?\s*/\s*\d+\s*-\s*\d)",
)


def looks_like_thread(text: str) -> bool:
    """Return whether text in a diameter's place is a thread's designation: "M12", "1/2-13 UNC"."""
    return _THREAD_LIKE.match(text) is not None


def section_thread(section: Section, *, inside: bool, path: str = "") -> Thread | None:
    """Return the thread that the print gives at a section; None: it has none.

    Parameters
    ----------
    section : Section
        Its field `thread` counts, or a designation in its `diameter`.
    inside : bool
        It stands in a bore.
    path : str
        Of the section in the job, for errors.

    Raises
    ------
    InputError
        With the path of the field: no thread, one of the other side, or on a section that is no
        cylinder.
    """
    field, text = "thread", section.thread
    if text is None:
        field, text = "diameter", section.diameter
        if section.kind != "cylinder" or text is None or not looks_like_thread(text):
            _check_no_length(section, path)
            return None
    elif section.kind != "cylinder":
        raise InputError(
            f"a thread stands on a cylinder, and this is {_article(section.kind)}: leave it out, "
            "or make the section a cylinder",
            f"{path}.{field}",
        )
    try:
        return _read(text, inside)
    except InputError as error:
        raise error.within(f"{path}.{field}") from None


def _article(kind: str) -> str:
    return f"an {kind}" if kind == "arc" else f"a {kind}"


def _check_no_length(section: Section, path: str) -> None:
    if section.thread_length is not None:
        raise InputError(
            'a thread\'s length needs its thread: write it, such as "M12", or leave the length out',
            f"{path}.thread_length",
        )


@lru_cache(maxsize=512)
def _read(text: str, inside: bool) -> Thread:
    return read_thread(text, inside=inside)


def thread_of(place: ResolvedThread) -> Thread:
    """Return the full record of a thread that stands somewhere on the part."""
    return _read(place.text, place.inside)


def with_blank(section: Section, *, inside: bool, path: str = "") -> Section:
    """Return a section whose diameter is the one before threading.

    A diameter typed beside the thread holds, unless it is its bare nominal one: "12" beside "M12"
    names the thread and no size to turn.

    Raises
    ------
    InputError
        As `section_thread`.
    """
    thread = section_thread(section, inside=inside, path=path)
    if thread is None:
        return section
    typed = section.diameter
    if typed is not None and looks_like_thread(typed):
        _check_same(typed, thread, inside, f"{path}.diameter")
    elif typed is not None and not _is_nominal(typed, thread):
        return section
    return msgspec.structs.replace(section, diameter=blank_text(thread))


def _check_same(typed: str, thread: Thread, inside: bool, path: str) -> None:
    """Refuse a thread in the diameter's place that is another than the section's."""
    try:
        other = _read(typed, inside)
    except InputError as error:
        raise error.within(path) from None
    if other != thread:
        raise InputError(
            f"the diameter says {other.text}, the thread {thread.text}: leave one of them out", path
        )


def _is_nominal(text: str, thread: Thread) -> bool:
    units: tuple[Units, ...] = ("mm", "inch")
    for unit in units:
        try:
            typed = parse(text, unit, {"diameter"})
        except InputError:
            continue  # "1/2" is no size in millimetres
        bare = typed.lower is None and typed.upper is None and typed.aim is None
        if bare and abs(typed.nominal - thread.diameter) < _SAME_MM:
            return True
    return False


def blank_text(thread: Thread) -> str:
    """Return the diameter before threading as dimension text, in millimetres.

    A bore is aimed at the tapping drill of ISO 2306 where that lies inside its limits.
    """
    blank = thread.blank
    aim = blank.aim
    if thread.inside:
        drill = tap_drill(thread, drill_sizes("mm"))
        if drill is not None and blank.lower <= drill.diameter <= blank.upper:
            aim = drill.diameter
    return f"{blank.lower:.4f}/{blank.upper:.4f} mm aim {aim:.4f}"
