"""The table of sections for any chain: the outside, or the bore of an end. No Qt.

A bore is typed as the outside is. Its "front" is its mouth, and the cell says so: ``12 from
mouth``. In the last section's length ``through`` says that the bore goes to the other end;
a length typed there makes it blind, unless it opens into the other end's bore.
"""

from __future__ import annotations

from typing import Final

import msgspec

from turnsketch.desk.section_cells import cell_text, with_cell
from turnsketch.document.bores import (
    Chain,
    all_sections,
    bore_of,
    chain_of,
    chain_record,
    chain_sections,
    offset_of_chain,
    set_bore,
    with_chain_record,
)
from turnsketch.document.edits import add_section
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.records import PartRecord, Section

__all__ = [
    "BOTTOMS",
    "chain_cell_text",
    "cylinders",
    "end_of_bore",
    "means_through",
    "section_in_chain",
    "with_chain_cell",
]

BOTTOMS: Final = ("through", "flat", "118°", "90°")
"""How a bore ends: through, or blind with a flat bottom or the cone of a drill."""

_THROUGH: Final = "through"


def chain_cell_text(part: PartRecord, chain: Chain, row: int, column: str) -> str:
    """Return what the cell of a chain's section `row` (from 0) shows and edits."""
    if chain == "outside":
        return cell_text(part, row, column)
    body = chain_record(part, chain)
    text = cell_text(body, row, column)
    if column != "length":
        return text
    bore = bore_of(part, chain)
    if not text and bore is not None and bore.through and row == len(body.sections) - 1:
        return _THROUGH
    return text.replace(" from front", " from mouth").replace(" from back", " from bottom")


def with_chain_cell(job: Job, chain: Chain, row: int, column: str, text: str) -> Job:
    """Return `job` with `text` typed into a cell; a row behind the last makes a new section.

    Raises
    ------
    InputError
        When the text cannot be read there: one sentence with the remedy.
    """
    text = " ".join(text.split())
    body = chain_record(job.part, chain)
    if chain != "outside" and column == "length":
        if means_through(text):
            return _made_through(job, chain, row)
        text = _from_ends(text)
    made = with_cell(body, row, column, text, job.units, inside=chain != "outside")
    if len(made.sections) > len(body.sections):
        job = add_section(job, Section("cylinder"), chain=chain)
    job = msgspec.structs.replace(job, part=with_chain_record(job.part, chain, made))
    last = row == len(made.sections) - 1
    if chain != "outside" and column == "length" and text and last:
        other: Chain = "bore_back" if chain == "bore" else "bore"
        if not chain_sections(job.part, other):
            return set_bore(job, chain, through=False, bottom=_bottom(job.part, chain))
    return job


def means_through(text: str) -> bool:
    """Return whether text typed as a bore's length says that it goes through."""
    return bool(text.strip()) and _THROUGH.startswith(text.strip().lower())


def end_of_bore(part: PartRecord, chain: Chain) -> str:
    """Return how a bore ends: one of `BOTTOMS`, or the angle that its record gives."""
    bore = bore_of(part, chain)
    if bore is None or bore.through:
        return _THROUGH
    return bore.bottom or "flat"


def cylinders(part: PartRecord) -> list[int]:
    """Return the numbers of all cylinders, those of bores too: grooves stand in them."""
    return [n for n, section in enumerate(all_sections(part), 1) if section.kind == "cylinder"]


def _bottom(part: PartRecord, chain: Chain) -> str | None:
    bore = bore_of(part, chain)
    return None if bore is None else bore.bottom


def _made_through(job: Job, chain: Chain, row: int) -> Job:
    body = chain_record(job.part, chain)
    if row != len(body.sections) - 1:
        raise InputError("only the innermost section goes through: type it in the last row")
    made = with_cell(body, row, "length", "", job.units)
    job = msgspec.structs.replace(job, part=with_chain_record(job.part, chain, made))
    return set_bore(job, chain, through=True)


def _from_ends(text: str) -> str:
    """Return a place told from a bore's mouth or bottom as one from the front or the back."""
    size, word, side = text.rpartition(" from ")
    if not word:
        return text
    ends = {"mouth": "front", "bottom": "back", "front": "front", "back": "back"}
    found = next((end for name, end in ends.items() if name.startswith(side.lower())), None)
    if found is None:
        raise InputError('say from which end: "12 from mouth" or "5 from bottom"')
    return f"{size} from {found}"


def section_in_chain(part: PartRecord, number: int) -> tuple[Chain, int]:
    """Return the chain and the row in its table of the section with that number."""
    chain = chain_of(part, number) or "outside"
    return chain, number - offset_of_chain(part, chain) - 1
