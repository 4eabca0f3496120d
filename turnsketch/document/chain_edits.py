"""Edits on the board of any chain: a bore's void is told as a body, so that one edit serves all."""

from __future__ import annotations

import msgspec

from turnsketch.document.bores import Chain, bore_of, chain_record, set_bore, with_chain_record
from turnsketch.document.chain_pencil import ChainPencil
from turnsketch.document.edits import add_section
from turnsketch.document.vertices import LEAST_MM, bend, move_vertex, split_section
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Section

__all__ = ["bend_in_chain", "draw_in_chain", "move_in_chain", "split_in_chain"]


def move_in_chain(job: Job, chain: ChainPencil, vertex: int, to: Point) -> Job:
    """Return `job` with one vertex of a chain moved, as `vertices.move_vertex` does.

    The end of a through bore stays where the part ends; a blind one stays short of it.

    Parameters
    ----------
    job, chain : Job, ChainPencil
        The job and its chain.
    vertex : int
        A vertex of the chain's sketch, from 0.
    to : Point
        Where it shall be, part frame, millimetres.
    """
    pencil, at = chain.pencil, chain.in_part(to)
    if chain.inside:
        at = Point(_kept_inside(job, chain, vertex, at.z), at.r)
    body = _body(job, chain)
    made = move_vertex(body, pencil, vertex, at)
    return job if made == body else _placed(job, chain, made)


def _kept_inside(job: Job, chain: ChainPencil, vertex: int, z: float) -> float:
    pencil, record = chain.pencil, bore_of(job.part, chain.chain)
    if len(pencil.vertices) - 1 not in pencil.level(vertex):
        return z
    if record is not None and record.through:
        return pencil.vertices[vertex].z
    return max(z, LEAST_MM - chain.length)


def split_in_chain(job: Job, chain: ChainPencil, number: int, z: float) -> Job:
    """Return `job` with a section of a chain cut in two at `z`, part frame.

    `number` is the section's in the part. Errors as `vertices.split_section`.
    """
    at = chain.in_part(Point(z, 0.0)).z
    made = split_section(_body(job, chain), chain.pencil, number - chain.offset, at)
    longer = add_section(job, Section("cylinder"), number + 1, chain.chain)
    return _placed(longer, chain, made)


def bend_in_chain(job: Job, chain: ChainPencil, number: int, bulge: float) -> Job:
    """Return `job` with a section of a chain bent, as `vertices.bend` does.

    `number` is the section's in the part; the bulge is told in the chain's own frame, where a
    positive one makes body or void fuller. Errors as `vertices.bend`.
    """
    made = bend(_body(job, chain), chain.pencil, number - chain.offset, bulge)
    return _placed(job, chain, made)


def draw_in_chain(job: Job, section: Section, chain: Chain, *, through: bool = False) -> Job:
    """Return `job` with a section drawn behind the last one of a chain.

    Parameters
    ----------
    section : Section
        As drawn: `drawn` in the frame that has the chain's mouth in front.
    through : bool
        Of a bore: with this section it comes out at the other end, or into the other end's bore.
        Else it is blind; a bottom that it has stays.

    Raises
    ------
    InputError
        A bore is drawn where there is no outside yet.
    """
    if chain == "outside":
        return add_section(job, section)
    if not job.part.sections:
        raise InputError("draw the outside first: a bore goes into it")
    job = add_section(job, section, chain=chain)
    bore = bore_of(job.part, chain)
    return set_bore(job, chain, through=through, bottom=None if bore is None else bore.bottom)


def _body(job: Job, chain: ChainPencil) -> Job:
    return msgspec.structs.replace(job, part=chain_record(job.part, chain.chain))


def _placed(job: Job, chain: ChainPencil, body: Job) -> Job:
    return msgspec.structs.replace(job, part=with_chain_record(job.part, chain.chain, body.part))
