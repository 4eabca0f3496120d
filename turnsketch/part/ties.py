"""Surfaces that the print ties together: read, checked, and as rows of the inspection."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.errors import InputError
from turnsketch.part.outline_records import InspectionRow, Size
from turnsketch.part.records import PartRecord, Section, Tie
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = ["tie_name", "tie_rows"]


def tie_rows(part: PartRecord, units: Units) -> tuple[InspectionRow, ...]:
    """Return an inspection row for every tie: nothing is aimed at, the value is the upper limit.

    Raises
    ------
    InputError
        A tie of fewer than two sections, of one that does not exist, or a value that is no length.
    """
    return tuple(_rows(part, units))


def _rows(part: PartRecord, units: Units) -> Iterator[InspectionRow]:
    for index, tie in enumerate(part.ties):
        where = f"part.ties[{index}]"
        if len(set(tie.sections)) < 2:
            raise InputError("a tie names two sections or more", f"{where}.sections")
        for number in tie.sections:
            if not 1 <= number <= len(_sections(part)):
                last = len(_sections(part))
                raise InputError(
                    f"there is no section {number}; the last is {last}", f"{where}.sections"
                )
        try:
            value = parse(tie.value, units, {"length"}).nominal
        except InputError as error:
            raise error.within(f"{where}.value") from None
        yield InspectionRow(
            what=tie_name(part, tie),
            text=tie.value,
            size=Size(0.0, 0.0, value, 0.0, "print"),
            quantity="tie",
            reference=False,
            section=tie.sections[0],
        )


def tie_name(part: PartRecord, tie: Tie) -> str:
    """Return a tie for people: "run-out, seat to journal"."""
    sections = _sections(part)
    names = [
        sections[number - 1].name or f"section {number}"
        for number in tie.sections
        if 1 <= number <= len(sections)
    ]
    return f"{tie.kind}, {' to '.join(names)}"


def _sections(part: PartRecord) -> list[Section]:
    """Return all sections in the order of their numbers: outside, bore, bore of the back end."""
    bores = [bore for bore in (part.bore, part.bore_back) if bore is not None]
    return [*part.sections, *(section for bore in bores for section in bore.sections)]
