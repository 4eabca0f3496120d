"""Threads on the solved part: where each stands, and what is measured.

What the print says at a section is read by `turnsketch.part.thread_sections`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from turnsketch.errors import InputError
from turnsketch.part.outline_records import (
    InspectionRow,
    ResolvedPart,
    ResolvedThread,
    SectionInfo,
    Size,
)
from turnsketch.part.records import PartRecord, Section
from turnsketch.part.text import parse
from turnsketch.part.thread_record import Thread, wire_check
from turnsketch.part.thread_sections import blank_text, section_thread
from turnsketch.units import Units

__all__ = ["resolve_threads", "with_thread_words"]

_SAME_MM = 0.005
_SHORTEST = 0.5
"""A thread is at least so many pitches long."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A recorded section with what it came out as."""

    section: Section
    info: SectionInfo
    path: str
    inside: bool
    back: bool


def resolve_threads(
    part: PartRecord, made: ResolvedPart, units: Units
) -> tuple[tuple[ResolvedThread, ...], tuple[InspectionRow, ...]]:
    """Return the threads of a solved part, outside first, and their rows for the inspection.

    Parameters
    ----------
    made : ResolvedPart
        Sections, bores and grooves solved: a thread ends where a relief begins.

    Raises
    ------
    InputError
        A usable length that can't be read or does not fit its section; the path is named.
    """
    threads: list[ResolvedThread] = []
    rows: list[InspectionRow] = []
    for place in _places(part, made):
        thread = section_thread(place.section, inside=place.inside, path=place.path)
        if thread is None:
            continue
        threads.append(_resolved(place, thread, made, units))
        rows += _rows(place, thread)
    return tuple(threads), tuple(rows)


def _places(part: PartRecord, made: ResolvedPart) -> Iterator[_Place]:
    outside = {info.number: info for info in made.sections}
    for number, section in enumerate(part.sections, start=1):
        yield _Place(section, outside[number], f"part.sections[{number - 1}]", False, False)
    bores = (
        (part.bore, made.bore, "bore", False),
        (part.bore_back, made.bore_back, "bore_back", True),
    )
    for record, bore, field, back in bores:
        if record is None or bore is None:
            continue
        for index, (section, info) in enumerate(zip(record.sections, bore.sections, strict=True)):
            yield _Place(section, info, f"part.{field}.sections[{index}]", True, back)


def _resolved(place: _Place, thread: Thread, made: ResolvedPart, units: Units) -> ResolvedThread:
    """Return a thread with its ends; those of the back bore are told in the part's frame."""
    front, back = place.info.front.z, place.info.back.z
    for low, high in _reliefs(place, made):
        if low <= back + _SAME_MM:
            back = max(back, high)
    text = place.section.thread_length
    if text is not None:
        where = f"{place.path}.thread_length"
        try:
            length = parse(text, units, {"length"}).nominal
        except InputError as error:
            raise error.within(where) from None
        room = place.info.front.z - place.info.back.z
        if not _SHORTEST * thread.pitch <= length <= room + _SAME_MM:
            raise InputError(
                f"the thread is {length:.2f} mm long and its section {room:.2f} mm: give a "
                "length inside the section, of half a pitch at least, or leave it out",
                where,
            )
        back = max(back, front - length)
    if place.back:
        front, back = -made.total_length - back, -made.total_length - front
    return ResolvedThread(
        section=place.info.number,
        text=thread.text,
        inside=thread.inside,
        left_hand=thread.left_hand,
        pitch=thread.pitch,
        major=thread.major,
        pitch_diameter=thread.pitch_diameter,
        minor=thread.minor,
        front_z=front,
        back_z=back,
    )


def _reliefs(place: _Place, made: ResolvedPart) -> Iterator[tuple[float, float]]:
    """Yield the z range of every groove of the section, in the frame of its own end."""
    for groove in made.grooves:
        if groove.section != place.info.number:
            continue
        ends = [p.z for e in groove.elements for p in (e.start, e.end)]
        low, high = min(ends), max(ends)
        if place.back:
            low, high = -made.total_length - high, -made.total_length - low
        yield low, high


# What is measured


def _rows(place: _Place, thread: Thread) -> Iterator[InspectionRow]:
    """Yield the thread's rows: pitch diameter (inside by a plug gauge), outside over wires."""
    number = place.info.number
    name = f"section {number} ({place.section.name})" if place.section.name else f"section {number}"
    size = thread.pitch_diameter
    how = "pitch diameter, by plug gauge" if thread.inside else "pitch diameter"
    yield InspectionRow(f"{name}, {how}", thread.text, size, "thread", False, number)
    if thread.inside:
        return
    wires = wire_check(thread)
    over = Size(wires.aim, wires.lower, wires.upper, wires.aim, f"over wires, {size.source}")
    what = f"{name}, over three wires of {wires.wire:.4f} mm"
    yield InspectionRow(what, thread.text, over, "thread", False, number)


def with_thread_words(
    part: PartRecord, made: ResolvedPart, rows: Sequence[InspectionRow]
) -> ResolvedPart:
    """Return the part with threaded sections named by their threads, and `rows` in its inspection.

    The diameter of a section that the thread gave is told as the blank before threading.
    """
    named: dict[int, Thread] = {}
    for place in _places(part, made):
        thread = section_thread(place.section, inside=place.inside, path=place.path)
        if thread is not None:
            named[place.info.number] = thread
    if not named:
        return made
    bores = [
        None
        if bore is None
        else replace(bore, sections=tuple(_labelled(s, named, part) for s in bore.sections))
        for bore in (made.bore, made.bore_back)
    ]
    return replace(
        made,
        sections=tuple(_labelled(s, named, part) for s in made.sections),
        bore=bores[0],
        bore_back=bores[1],
        inspection=tuple(_row(r, named) for r in (*made.inspection, *rows)),
    )


def _labelled(info: SectionInfo, named: dict[int, Thread], part: PartRecord) -> SectionInfo:
    thread = named.get(info.number)
    if thread is None:
        return info
    given = [*part.sections]
    for bore in (part.bore, part.bore_back):
        given += bore.sections if bore is not None else ()
    name = given[info.number - 1].name
    return replace(info, label=f"{name} {thread.text}".strip())


def _row(row: InspectionRow, named: dict[int, Thread]) -> InspectionRow:
    thread = named.get(row.section or 0)
    plain = row.what.removesuffix(", diameter")
    if thread is None or row.what == plain or row.text != blank_text(thread).split(" aim ")[0]:
        return row
    source = thread.blank.source
    size = replace(row.size, nominal=thread.blank.nominal, source=source)
    what = f"{plain}, Ø {'bored' if thread.inside else 'turned'} before the thread"
    return replace(row, what=what, text=thread.text, size=size)
