"""The chains of a part: its outside, and the bores from both ends; edits of a bore as a whole.

Section numbers run on: those outside first, then those of the front end's bore, then those of the
back end's. A bore can be told as the record of a body of its own, its sections numbered from 1,
so that whatever edits the outside edits a bore as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

import msgspec

from turnsketch.job import Job
from turnsketch.part.records import Bore, LengthDimension, PartRecord, Place, Section

__all__ = [
    "CHAINS",
    "Chain",
    "all_sections",
    "bore_of",
    "chain_of",
    "chain_record",
    "chain_sections",
    "offset_of_chain",
    "set_bore",
    "with_chain_record",
    "with_chain_sections",
]

Chain = Literal["outside", "bore", "bore_back"]
"""Outside, the hole in the front end, the hole in the back end."""

CHAINS: Final[tuple[Chain, ...]] = ("outside", "bore", "bore_back")


def bore_of(part: PartRecord, chain: Chain) -> Bore | None:
    """Return the bore that a chain is; None for the outside, and where the part has none."""
    if chain == "outside":
        return None
    return part.bore if chain == "bore" else part.bore_back


def chain_sections(part: PartRecord, chain: Chain) -> tuple[Section, ...]:
    """Return the sections of a chain; none where the part has no such bore."""
    if chain == "outside":
        return part.sections
    bore = bore_of(part, chain)
    return () if bore is None else bore.sections


def all_sections(part: PartRecord) -> tuple[Section, ...]:
    """Return the sections of all chains in the order of their numbers."""
    return tuple(section for chain in CHAINS for section in chain_sections(part, chain))


def offset_of_chain(part: PartRecord, chain: Chain) -> int:
    """Return the number of the section before a chain's first one."""
    before = CHAINS[: CHAINS.index(chain)]
    return sum(len(chain_sections(part, other)) for other in before)


def chain_of(part: PartRecord, number: int) -> Chain | None:
    """Return the chain in which the section with that number stands; None: there is none."""
    for chain in CHAINS:
        first = offset_of_chain(part, chain)
        if first < number <= first + len(chain_sections(part, chain)):
            return chain
    return None


def with_chain_sections(part: PartRecord, chain: Chain, sections: Sequence[Section]) -> PartRecord:
    """Return the part with other sections in a chain; a bore without any is no bore.

    The numbers of sections elsewhere are left as they are. A new bore goes through.
    """
    made = tuple(sections)
    if chain == "outside":
        return msgspec.structs.replace(part, sections=made)
    old = bore_of(part, chain)
    bore: Bore | None = None
    if made:
        bore = msgspec.structs.replace(old or Bore((), through=True), sections=made)
    return msgspec.structs.replace(part, **{chain: bore})


def chain_record(part: PartRecord, chain: Chain) -> PartRecord:
    """Return a chain as the record of a body: its sections numbered from 1, its lengths."""
    if chain == "outside":
        return part
    bore, shift = bore_of(part, chain), -offset_of_chain(part, chain)
    return PartRecord(
        name=part.name,
        sections=chain_sections(part, chain),
        lengths=() if bore is None else _shifted(bore.lengths, shift),
        general_tolerance=part.general_tolerance,
        inside_corners=part.inside_corners,
        roughness=part.roughness,
    )


def with_chain_record(part: PartRecord, chain: Chain, record: PartRecord) -> PartRecord:
    """Return the part with sections and lengths of a body's record in the place of a chain.

    The record has as many sections as the chain.
    """
    if chain == "outside":
        return msgspec.structs.replace(part, sections=record.sections, lengths=record.lengths)
    part = with_chain_sections(part, chain, record.sections)
    bore = bore_of(part, chain)
    if bore is None:
        return part
    lengths = _shifted(record.lengths, offset_of_chain(part, chain))
    return msgspec.structs.replace(part, **{chain: msgspec.structs.replace(bore, lengths=lengths)})


def set_bore(job: Job, chain: Chain, *, through: bool, bottom: str | None = None) -> Job:
    """Return `job` with the end of a bore told: through, or blind with a bottom.

    A bottom is the included angle of its cone ("118°"), or None for a flat one. Where the part
    has no such bore, nothing changes.
    """
    bore = bore_of(job.part, chain)
    if bore is None:
        return job
    text = None if through else (bottom or "").strip() or None
    bore = msgspec.structs.replace(bore, through=through, bottom=text)
    part = msgspec.structs.replace(job.part, **{chain: bore})
    return job if part == job.part else msgspec.structs.replace(job, part=part)


def _shifted(lengths: Sequence[LengthDimension], by: int) -> tuple[LengthDimension, ...]:
    return tuple(
        LengthDimension(
            Place(d.start.section + by, d.start.at), Place(d.end.section + by, d.end.at), d.text
        )
        for d in lengths
    )
