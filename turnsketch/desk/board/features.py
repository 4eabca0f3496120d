"""What the board draws of a part beside its outside: bores, grooves, threads, knurls. No arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from turnsketch.desk.board.bore_meeting import trimmed
from turnsketch.document.bore_pencil import BorePencil, bore_pencil, pencilled_part
from turnsketch.document.bores import CHAINS
from turnsketch.document.pencil import Pencil
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import (
    Outline,
    OutlineElement,
    ResolvedBore,
    ResolvedGroove,
    ResolvedKnurl,
    ResolvedPart,
    ResolvedThread,
)
from turnsketch.part.records import PartRecord
from turnsketch.part.turned import bore_grooves

__all__ = ["DrawnBore", "Features", "features_of", "has_features"]

_MOVED = 0.05
"""As for the outside: where solver and pencil are farther apart, the solver is right."""


@dataclass(frozen=True, slots=True)
class DrawnBore:
    """A bore on the board, part frame."""

    pencil: BorePencil
    void: tuple[OutlineElement, ...]
    """All around its void but for the axis, grooves included."""
    wall: tuple[OutlineElement, ...]
    """What is to be seen of it: not what the other bore has taken."""


@dataclass(frozen=True, slots=True)
class Features:
    """Beside the outside's chain; all in the part's frame."""

    elements: tuple[OutlineElement, ...]
    """The outside with its grooves."""
    bores: tuple[DrawnBore, ...] = ()
    grooves: tuple[ResolvedGroove, ...] = ()
    threads: tuple[ResolvedThread, ...] = ()
    knurls: tuple[ResolvedKnurl, ...] = ()


def has_features(part: PartRecord) -> bool:
    """Return whether a part has anything beside the outside's chain."""
    if part.bore is not None or part.bore_back is not None or part.grooves:
        return True
    return any(
        s.thread is not None or s.knurl is not None or _named_thread(s.diameter)
        for s in part.sections
    )


def _named_thread(text: str | None) -> bool:
    from turnsketch.part.thread_sections import looks_like_thread

    return text is not None and looks_like_thread(text)


def features_of(job: Job, pencil: Pencil, part: ResolvedPart | None) -> Features:
    """Return the features of `job`; `part` is its solved part, None while there is none."""
    elements = pencil.elements if part is None else part.aim.elements
    if not has_features(job.part):
        return Features(elements)
    length = -min(p.z for p in pencil.vertices) if part is None else part.total_length
    found = (bore_pencil(job.part, job.units, chain, length) for chain in CHAINS[1:])
    bores = tuple(bore for bore in found if bore is not None)
    made = part if part is not None else pencilled_part(job.part, job.units, pencil, bores)
    drawn = [_drawn(bore, made) for bore in bores]
    return Features(
        _grooved(Outline(elements, made.aim.joins), made.grooves, inside=False).elements,
        tuple(_trimmed(drawn)),
        made.grooves,
        made.threads,
        made.knurls,
    )


def _trimmed(bores: list[DrawnBore]) -> list[DrawnBore]:
    """Return the bores, each without the stretch of wall that the other one has taken."""
    if len(bores) < 2:
        return bores
    return [
        replace(bore, wall=trimmed(bore.void, other.void, back=bore.pencil.back))
        for bore, other in zip(bores, bores[::-1], strict=True)
    ]


def _drawn(bore: BorePencil, part: ResolvedPart) -> DrawnBore:
    told = part.bore_back if bore.back else part.bore
    if told is None:
        void = bore.placed(bore.void)
        return DrawnBore(bore, void, void)
    void = bore.placed(_grooved(told.aim, bore_grooves(part, back=bore.back), inside=True))
    return DrawnBore(_as_solved(bore, told, part.total_length), void, void)


def _as_solved(bore: BorePencil, told: ResolvedBore, length: float) -> BorePencil:
    """Return a bore's pencil with the solver's places where it only guessed."""
    vertices = list(bore.pencil.vertices)
    for info in told.sections:
        index = bore.pencil.sketch.index_of(info.number - bore.offset)
        for vertex, place in ((index, info.front), (index + 1, info.back)):
            if vertices[vertex].distance(place) > _MOVED:
                vertices[vertex] = place
    return replace(bore, pencil=replace(bore.pencil, vertices=tuple(vertices)), length=length)


def _grooved(outline: Outline, grooves: Sequence[ResolvedGroove], *, inside: bool) -> Outline:
    """Return the outline with the grooves that find their place in it."""
    for groove in grooves:
        try:
            outline = grooved(outline, (groove,), inside=inside)
        except InputError:
            continue
    return outline
