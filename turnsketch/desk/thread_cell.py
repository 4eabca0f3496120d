"""The thread or the knurl of a cylinder as text, and the section that typed text makes. No Qt."""

from __future__ import annotations

import re
from typing import Final

import msgspec

from turnsketch.errors import InputError
from turnsketch.part.records import Section
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = [
    "feature_text",
    "is_knurl",
    "is_thread",
    "thread_text",
    "with_knurl",
    "with_thread",
]

_LONG: Final = re.compile(r"^(?P<thread>.*?)[,;]?\s+(?P<length>\S+(?:\s+\S+)?)\s+long$")
_KNURL: Final = re.compile(r"^(?:DIN ?82 ?[- ] ?)?R[A-Z]{2}\s*\d", re.IGNORECASE)


def is_thread(text: str) -> bool:
    """Return whether text is a thread's designation: "M12x1.75-6g", "1/2-13 UNC-2A"."""
    from turnsketch.part.thread_sections import looks_like_thread

    return looks_like_thread(text)


def is_knurl(text: str) -> bool:
    """Return whether text is a knurl's designation after DIN 82: "RGE 1.0"."""
    return _KNURL.match(text) is not None


def thread_text(section: Section) -> str:
    """Return a section's thread with its usable length behind it; empty when it has none."""
    if section.thread is None:
        return ""
    length = "" if section.thread_length is None else f", {section.thread_length} long"
    return section.thread + length


def feature_text(section: Section) -> str:
    """Return what stands beside a cylinder's diameter: its thread, or its knurl.

    A thread in the diameter's own place is shown there.
    """
    beside = thread_text(section) if section.diameter is not None else ""
    return beside or section.knurl or ""


def with_thread(
    section: Section, text: str, units: Units, *, inside: bool, alone: bool = False
) -> Section:
    """Return the cylinder with a thread: "M12", or with its usable length "M12, 18 long".

    `alone` says that it takes the diameter's place: that of the blank follows from the thread.

    Raises
    ------
    InputError
        It is no thread, or its length does not read.
    """
    from turnsketch.part.threads import read_thread

    found = _LONG.match(text)
    length = None if found is None else found["length"]
    named = text if found is None else found["thread"]
    read_thread(named, inside=inside)
    if length is not None:
        parse(length, units, {"length"})
    return msgspec.structs.replace(
        section,
        diameter=None if alone else section.diameter,
        thread=named,
        thread_length=length,
        knurl=None,
    )


def with_knurl(section: Section, text: str, *, inside: bool) -> Section:
    """Return the cylinder with a knurl; its diameter is the one over the knurl.

    Raises
    ------
    InputError
        It is no knurl of DIN 82, or it stands in a bore.
    """
    from turnsketch.part.knurls import read_knurl

    if inside:
        raise InputError("a knurl is pressed in from outside: a bore takes none")
    read_knurl(text.upper())
    return msgspec.structs.replace(section, knurl=text.upper(), thread=None, thread_length=None)
