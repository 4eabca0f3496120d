"""Numbers that follow their sections: what points to one that has moved points there again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from turnsketch.job import Job, Operation
from turnsketch.part.records import Bore, LengthDimension, PartRecord, Place

__all__ = ["groove_renumbered", "renumbered"]


def renumbered(job: Job, moved: Mapping[int, int]) -> Job:
    """Return `job` with every section number replaced; numbers without a place go out.

    Lengths, ties, grooves, setups and operations are looked through; the sections themselves are
    left alone. `moved` gives the new number of every section that stays, those of bores too.
    """
    standing = [n for n, groove in enumerate(job.part.grooves, 1) if groove.section in moved]
    grooves = {number: place for place, number in enumerate(standing, 1)}
    setups = tuple(
        msgspec.structs.replace(
            setup,
            sections=_chosen(setup.sections, moved),
            operations=None
            if setup.operations is None
            else tuple(_operated(o, moved, grooves) for o in setup.operations),
        )
        for setup in job.setups
    )
    return msgspec.structs.replace(job, part=_part_renumbered(job.part, moved), setups=setups)


def groove_renumbered(job: Job, moved: Mapping[int, int]) -> Job:
    """Return `job` with the numbers of grooves in its operations replaced."""
    setups = tuple(
        msgspec.structs.replace(
            setup,
            operations=None
            if setup.operations is None
            else tuple(
                msgspec.structs.replace(o, grooves=_chosen(o.grooves, moved))
                for o in setup.operations
            ),
        )
        for setup in job.setups
    )
    return msgspec.structs.replace(job, setups=setups)


def _chosen(numbers: Sequence[int] | None, places: Mapping[int, int]) -> tuple[int, ...] | None:
    found = tuple(places[n] for n in numbers or () if n in places)
    return found or None


def _operated(
    operation: Operation, moved: Mapping[int, int], grooves: Mapping[int, int]
) -> Operation:
    return msgspec.structs.replace(
        operation,
        sections=_chosen(operation.sections, moved),
        grooves=_chosen(operation.grooves, grooves),
    )


def _part_renumbered(part: PartRecord, moved: Mapping[int, int]) -> PartRecord:
    """Return the part with the lengths, ties and grooves that still have their sections."""
    ties = (
        msgspec.structs.replace(tie, sections=tuple(moved[n] for n in tie.sections if n in moved))
        for tie in part.ties
    )
    grooves = tuple(
        msgspec.structs.replace(groove, section=moved[groove.section])
        for groove in part.grooves
        if groove.section in moved
    )
    return msgspec.structs.replace(
        part,
        lengths=_lengths(part.lengths, moved),
        bore=_bore(part.bore, moved),
        bore_back=_bore(part.bore_back, moved),
        ties=tuple(tie for tie in ties if len(tie.sections) > 1),
        grooves=grooves,
    )


def _bore(bore: Bore | None, moved: Mapping[int, int]) -> Bore | None:
    if bore is None:
        return None
    return msgspec.structs.replace(bore, lengths=_lengths(bore.lengths, moved))


def _lengths(
    lengths: Sequence[LengthDimension], moved: Mapping[int, int]
) -> tuple[LengthDimension, ...]:
    return tuple(
        LengthDimension(
            Place(moved[length.start.section], length.start.at),
            Place(moved[length.end.section], length.end.at),
            length.text,
        )
        for length in lengths
        if length.start.section in moved and length.end.section in moved
    )
