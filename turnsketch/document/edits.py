"""Edits of the part: each takes a job and returns a new one; nothing is worked out or checked here.

Sections have numbers from 1, as in the part record; those of bores run on. Text is stored as typed
(without the space around it); empty text takes a dimension away. Where sections come or go, every
number that points to one (lengths, setups, operations) moves with it.
`turnsketch.document.vertices` moves the outline's vertices.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any, Literal

import msgspec

from turnsketch.document.bores import (
    CHAINS,
    Chain,
    all_sections,
    bore_of,
    chain_of,
    chain_record,
    chain_sections,
    offset_of_chain,
    with_chain_record,
    with_chain_sections,
)
from turnsketch.document.numbering import renumbered
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section

__all__ = [
    "add_length_dimension",
    "add_section",
    "change_section",
    "delete_sections",
    "remove_length",
    "set_corner",
    "set_diameter",
    "set_field",
    "set_length",
    "set_length_text",
    "set_part",
    "set_title",
]

End = Literal["front", "back"]

_TEXTS = frozenset(
    {
        "diameter",
        "front_diameter",
        "back_diameter",
        "length",
        "angle",
        "radius",
        "centre_diameter",
        "front_corner",
        "back_corner",
        "roughness",
        "thread",
        "thread_length",
        "knurl",
    }
)


def _text(text: str | None) -> str | None:
    return (text or "").strip() or None


def _with_part(job: Job, part: PartRecord) -> Job:
    return job if part == job.part else msgspec.structs.replace(job, part=part)


def set_part(job: Job, **fields: str | None) -> Job:
    """Return `job` with fields of the part changed: name, number, material, tolerance ..."""
    return _with_part(job, msgspec.structs.replace(job.part, **fields))


def set_title(job: Job, title: str) -> Job:
    """Return `job` with another title."""
    return msgspec.structs.replace(job, title=title.strip())


def _section(job: Job, number: int) -> Section:
    sections = all_sections(job.part)
    if not 1 <= number <= len(sections):
        raise InputError(f"the part has no section {number}; they go from 1 to {len(sections)}")
    return sections[number - 1]


# Sections


def add_section(job: Job, section: Section, at: int | None = None, chain: Chain = "outside") -> Job:
    """Return `job` with a section put in so that it gets the number `at`.

    Without a number it stands behind the last one of its chain, the outside or a bore. The first
    one in a bore makes the bore, which goes through.

    Raises
    ------
    InputError
        There is no such place.
    """
    sections, before = chain_sections(job.part, chain), offset_of_chain(job.part, chain)
    last = before + len(sections) + 1
    number = last if at is None else at
    if not before < number <= last:
        raise InputError(f"a section can stand at {before + 1} to {last}, not at {number}")
    count = len(all_sections(job.part))
    job = renumbered(job, {n: n + (n >= number) for n in range(1, count + 1)})
    index = number - before - 1
    together = (*sections[:index], section, *sections[index:])
    return _with_part(job, with_chain_sections(job.part, chain, together))


def change_section(job: Job, number: int, section: Section) -> Job:
    """Return `job` with another section in the place of the one with that number."""
    _section(job, number)
    chain = chain_of(job.part, number)
    assert chain is not None
    sections = list(chain_sections(job.part, chain))
    sections[number - offset_of_chain(job.part, chain) - 1] = section
    return _with_part(job, with_chain_sections(job.part, chain, sections))


def delete_sections(job: Job, numbers: Collection[int]) -> Job:
    """Return `job` without these sections, and without the lengths that begin or end at them.

    Grooves in them go as well; a bore that loses its last section is none any more. A through
    bore that loses its innermost one is blind, at the end of the section before it.
    """
    count = len(all_sections(job.part))
    gone = {n for n in numbers if 1 <= n <= count}
    if not gone:
        return job
    part = before = job.part
    left = {
        chain: [
            section
            for n, section in enumerate(
                chain_sections(part, chain), offset_of_chain(part, chain) + 1
            )
            if n not in gone
        ]
        for chain in CHAINS
    }
    kept = [n for n in range(1, count + 1) if n not in gone]
    job = renumbered(job, {n: place for place, n in enumerate(kept, 1)})
    part = job.part
    for chain in CHAINS:
        part = with_chain_sections(part, chain, left[chain])
        if offset_of_chain(before, chain) + len(chain_sections(before, chain)) in gone:
            part = _closed(part, chain)
    return _with_part(job, part)


def _closed(part: PartRecord, chain: Chain) -> PartRecord:
    """Return the part with a bore made blind that has lost the section which came out.

    Where nothing says how deep the one before it is, that one goes through now.
    """
    bore = bore_of(part, chain)
    if bore is None or not bore.through:
        return part
    last = bore.sections[-1]
    if last.length is None and last.drawn is None and not bore.lengths:
        return part
    return msgspec.structs.replace(part, **{chain: msgspec.structs.replace(bore, through=False)})


# Dimensions


def set_field(job: Job, number: int, field: str, value: object) -> Job:
    """Return `job` with one field of a section changed; for text, empty takes it away.

    Raises
    ------
    InputError
        There is no such section or field.
    """
    section = _section(job, number)
    if field not in section.__struct_fields__:
        raise InputError(f'a section has no "{field}"', f"part.sections[{number - 1}]")
    if field in _TEXTS:
        value = _text(None if value is None else str(value))
    changes: dict[str, Any] = {field: value}
    return change_section(job, number, msgspec.structs.replace(section, **changes))


def set_diameter(job: Job, number: int, text: str | None, end: End = "back") -> Job:
    """Return `job` with a diameter of a section: a cylinder's own, else the one at that end."""
    kind = _section(job, number).kind
    if kind == "cylinder":
        return set_field(job, number, "diameter", text)
    return set_field(job, number, "back_diameter" if kind == "face" else f"{end}_diameter", text)


def set_length(job: Job, number: int, text: str | None) -> Job:
    """Return `job` with the length of a section."""
    return set_field(job, number, "length", text)


def set_corner(job: Job, number: int, end: End, text: str | None) -> Job:
    """Return `job` with a chamfer ("1x45°") or a round ("R2") at an end of a section."""
    _section(job, number)
    return set_field(job, number, f"{end}_corner", text)


def add_length_dimension(job: Job, start: Place, end: Place, text: str) -> Job:
    """Return `job` with a length between two places, as the print has it.

    Between the two ends of one section it becomes that section's own length, picked at whichever
    side of a shoulder. A length between the same places that stands there already is replaced.

    Raises
    ------
    InputError
        Both places are the same, or there is no text.
    """
    if start == end:
        raise InputError("a length begins and ends at two places; pick another one")
    wanted = _text(text)
    if wanted is None:
        raise InputError("type the length as the print has it")
    chain = chain_of(job.part, start.section)
    if chain != chain_of(job.part, end.section):
        raise InputError("a length goes along the outside or along one bore: pick both ends there")
    if chain is not None and chain != "outside":
        by = -offset_of_chain(job.part, chain)
        first, last = (Place(p.section + by, p.at) for p in (start, end))
        return _in_chain(job, chain, lambda body: add_length_dimension(body, first, last, wanted))
    spots = sorted(_spots(start, end))
    if len(spots) == 2 and spots[1] - spots[0] == 1 and spots[1] <= len(job.part.sections):
        return set_length(job, spots[1], wanted)
    same = ({start, end}, {_beside(start, job), _beside(end, job)})
    kept = [d for d in job.part.lengths if {d.start, d.end} not in same]
    lengths = (*kept, LengthDimension(start, end, wanted))
    return _with_part(job, msgspec.structs.replace(job.part, lengths=lengths))


def _in_chain(job: Job, chain: Chain, edit: Callable[[Job], Job]) -> Job:
    """Return `job` with a chain edited as the record of a body that it is."""
    body = edit(msgspec.structs.replace(job, part=chain_record(job.part, chain)))
    return _with_part(job, with_chain_record(job.part, chain, body.part))


def _spots(*places: Place) -> set[int]:
    """Return the corners where places lie, 0 at the front face; a centre has none."""
    return {p.section - (p.at == "front") for p in places if p.at != "centre"}


def _beside(place: Place, job: Job) -> Place:
    """Return the same place seen from the neighbouring section, where there is one."""
    if place.at == "back" and place.section < len(job.part.sections):
        return Place(place.section + 1, "front")
    if place.at == "front" and place.section > 1:
        return Place(place.section - 1, "back")
    return place


def set_length_text(job: Job, index: int, text: str, chain: Chain = "outside") -> Job:
    """Return `job` with another text of the length number `index` (from 0) of a chain."""
    if chain != "outside":
        return _in_chain(job, chain, lambda body: set_length_text(body, index, text))
    wanted = _text(text)
    if wanted is None:
        return remove_length(job, index)
    lengths = list(job.part.lengths)
    lengths[index] = msgspec.structs.replace(lengths[index], text=wanted)
    return _with_part(job, msgspec.structs.replace(job.part, lengths=tuple(lengths)))


def remove_length(job: Job, index: int) -> Job:
    """Return `job` without the part's length number `index` (from 0)."""
    lengths = (*job.part.lengths[:index], *job.part.lengths[index + 1 :])
    return _with_part(job, msgspec.structs.replace(job.part, lengths=lengths))
