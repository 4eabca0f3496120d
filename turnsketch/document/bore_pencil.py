"""The bores as the pencil has them, and with them grooves, threads and knurls: plain Python.

As `turnsketch.document.pencil` does for the outside: it takes what the dimensions say, else what
was drawn, else a guess, and what makes no outline is left out instead of refused.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace

from turnsketch.document.bores import Chain, bore_of, offset_of_chain
from turnsketch.document.chain_pencil import ChainPencil
from turnsketch.document.pencil import Pencil, pencil_of
from turnsketch.errors import InputError
from turnsketch.geometry.intersect import r_extent, z_extent
from turnsketch.part.bores import bored, void_record
from turnsketch.part.grooves import resolve_grooves
from turnsketch.part.knurl_places import resolve_knurls
from turnsketch.part.outline_records import (
    JoinKind,
    Outline,
    OutlineElement,
    ResolvedBore,
    ResolvedPart,
    SectionInfo,
)
from turnsketch.part.records import PartRecord
from turnsketch.part.thread_places import resolve_threads
from turnsketch.part.turned import turned_element
from turnsketch.units import Units

__all__ = ["BorePencil", "bore_pencil", "pencilled_part"]


@dataclass(frozen=True, slots=True)
class BorePencil(ChainPencil):
    """A bore's chain, told as if the void were a body."""

    void: Outline
    """With the corner at its mouth and its bottom, sections numbered in the part."""

    def placed(self, void: Outline) -> tuple[OutlineElement, ...]:
        """Return elements of its own frame in the part's, from one end of the chain on."""
        if not self.back:
            return void.elements
        return tuple(
            replace(e, shape=turned_element(e.shape, self.length)) for e in reversed(void.elements)
        )


def bore_pencil(part: PartRecord, units: Units, chain: Chain, length: float) -> BorePencil | None:
    """Return the chain of a bore; None where there is none, or nothing of it can be read.

    `length` is that of the whole part, millimetres.
    """
    bore, offset = bore_of(part, chain), offset_of_chain(part, chain)
    if bore is None or not bore.sections:
        return None
    try:
        pencil = pencil_of(void_record(part, bore, length, offset, units), units)
    except InputError:
        return None
    chain_only = _outline(pencil.elements)
    try:
        void = bored(chain_only, bore, part.general_tolerance, offset, units)
    except InputError:
        void = Outline(
            tuple(
                replace(e, section=None if e.section is None else e.section + offset)
                for e in chain_only.elements
            ),
            chain_only.joins,
        )
    return BorePencil(chain, offset, pencil, length, len(bore.sections), void)


def pencilled_part(
    part: PartRecord, units: Units, pencil: Pencil, bores: tuple[BorePencil, ...]
) -> ResolvedPart:
    """Return as much of a solved part as grooves, threads and knurls stand on, and those.

    Without limits and without an inspection: this is for the drawing alone. What cannot be read
    or placed yet is left out.
    """
    shapes = [e.shape for e in pencil.elements]
    made = ResolvedPart(
        name=part.name,
        aim=_outline(pencil.elements),
        nominal=_outline(pencil.elements),
        corners=(),
        sections=_sections(pencil, 0),
        inspection=(),
        issues=(),
        inside_corner_mm=None,
        total_length=-min((z_extent(shape)[0] for shape in shapes), default=0.0),
        greatest_diameter=2.0 * max((r_extent(shape)[1] for shape in shapes), default=0.0),
    )
    for bore in bores:
        told = _resolved_bore(bore, part)
        made = replace(made, bore_back=told) if bore.back else replace(made, bore=told)
    with suppress(InputError):
        made = replace(made, grooves=resolve_grooves(part, made, units)[0])
    with suppress(InputError):
        made = replace(made, threads=resolve_threads(part, made, units)[0])
    with suppress(InputError):
        made = replace(made, knurls=resolve_knurls(part, made, units)[0])
    return made


def _outline(elements: tuple[OutlineElement, ...]) -> Outline:
    unknown: JoinKind = "convex"  # a drawing asks for none
    return Outline(elements, tuple(unknown for _ in elements[1:]))


def _sections(pencil: Pencil, offset: int) -> tuple[SectionInfo, ...]:
    return tuple(
        SectionInfo(
            number=section.number + offset,
            kind=section.kind,
            label=section.name or section.kind,
            front=pencil.vertices[i],
            back=pencil.vertices[i + 1],
            fixed=section.number in pencil.fixed,
        )
        for i, section in enumerate(pencil.sketch.sections)
        if section.number is not None
    )


def _resolved_bore(bore: BorePencil, part: PartRecord) -> ResolvedBore:
    record = bore_of(part, bore.chain)
    return ResolvedBore(
        aim=bore.void,
        nominal=bore.void,
        corners=(),
        sections=_sections(bore.pencil, bore.offset),
        depth=-min((z_extent(e.shape)[0] for e in bore.void.elements), default=0.0),
        through=record is not None and record.through,
        plain=bore.void,
    )
