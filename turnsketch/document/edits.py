"""Edits of the part: each takes a job and returns a new one; nothing is worked out or checked here.

Sections have numbers from 1, as in the part record. Text is stored as typed (without the space
around it); empty text takes a dimension away. Where sections come or go, every number that points
to one (lengths, setups, operations) moves with it. `turnsketch.document.vertices` moves the
outline's vertices.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Literal

import msgspec

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
    if not 1 <= number <= len(job.part.sections):
        raise InputError(
            f"the part has no section {number}; they go from 1 to {len(job.part.sections)}"
        )
    return job.part.sections[number - 1]


# Sections


def add_section(job: Job, section: Section, at: int | None = None) -> Job:
    """Return `job` with a section put in so that it gets the number `at` (None: behind the last).

    Raises
    ------
    InputError
        There is no such place.
    """
    sections = job.part.sections
    number = len(sections) + 1 if at is None else at
    if not 1 <= number <= len(sections) + 1:
        raise InputError(f"a section can stand at 1 to {len(sections) + 1}, not at {number}")
    moved = {n: n + (n >= number) for n in range(1, len(sections) + 1)}
    job = _renumbered(job, moved)
    together = (*sections[: number - 1], section, *sections[number - 1 :])
    return _with_part(job, msgspec.structs.replace(job.part, sections=together))


def change_section(job: Job, number: int, section: Section) -> Job:
    """Return `job` with another section in the place of the one with that number."""
    _section(job, number)
    sections = job.part.sections
    changed = (*sections[: number - 1], section, *sections[number:])
    return _with_part(job, msgspec.structs.replace(job.part, sections=changed))


def delete_sections(job: Job, numbers: Collection[int]) -> Job:
    """Return `job` without these sections, and without the lengths that begin or end at them."""
    gone = {n for n in numbers if 1 <= n <= len(job.part.sections)}
    if not gone:
        return job
    kept = [n for n in range(1, len(job.part.sections) + 1) if n not in gone]
    job = _renumbered(job, {n: place for place, n in enumerate(kept, 1)})
    sections = tuple(s for n, s in enumerate(job.part.sections, 1) if n not in gone)
    return _with_part(job, msgspec.structs.replace(job.part, sections=sections))


def _renumbered(job: Job, moved: Mapping[int, int]) -> Job:
    """Return `job` with every section number replaced; numbers without a place go out."""
    lengths = tuple(
        LengthDimension(
            Place(moved[length.start.section], length.start.at),
            Place(moved[length.end.section], length.end.at),
            length.text,
        )
        for length in job.part.lengths
        if length.start.section in moved and length.end.section in moved
    )

    def chosen(numbers: tuple[int, ...] | None) -> tuple[int, ...] | None:
        found = tuple(moved[n] for n in numbers or () if n in moved)
        return found or None

    setups = tuple(
        msgspec.structs.replace(
            setup,
            sections=chosen(setup.sections),
            operations=None
            if setup.operations is None
            else tuple(
                msgspec.structs.replace(operation, sections=chosen(operation.sections))
                for operation in setup.operations
            ),
        )
        for setup in job.setups
    )
    part = msgspec.structs.replace(job.part, lengths=lengths)
    return msgspec.structs.replace(job, part=part, setups=setups)


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

    Between the two ends of one section it becomes that section's own length. A length between the
    same places that stands there already is replaced.

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
    if start.section == end.section and {start.at, end.at} == {"front", "back"}:
        return set_length(job, start.section, wanted)
    same = ({start, end}, {_beside(start, job), _beside(end, job)})
    kept = [d for d in job.part.lengths if {d.start, d.end} not in same]
    lengths = (*kept, LengthDimension(start, end, wanted))
    return _with_part(job, msgspec.structs.replace(job.part, lengths=lengths))


def _beside(place: Place, job: Job) -> Place:
    """Return the same place seen from the neighbouring section, where there is one."""
    if place.at == "back" and place.section < len(job.part.sections):
        return Place(place.section + 1, "front")
    if place.at == "front" and place.section > 1:
        return Place(place.section - 1, "back")
    return place


def set_length_text(job: Job, index: int, text: str) -> Job:
    """Return `job` with another text of the part's length number `index` (from 0)."""
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
