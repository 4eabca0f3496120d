"""Edits that move the wall of a bore, by the edits of the outside: a void is told as a body."""

from __future__ import annotations

import msgspec

from turnsketch.document.bore_pencil import BorePencil
from turnsketch.document.bores import bore_of, chain_record, with_chain_record
from turnsketch.document.edits import add_section
from turnsketch.document.vertices import move_vertex, split_section
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Section

__all__ = ["move_bore_vertex", "split_bore_section"]


def move_bore_vertex(job: Job, bore: BorePencil, vertex: int, to: Point) -> Job:
    """Return `job` with one vertex of a bore moved, as `vertices.move_vertex` does outside.

    The end of a through bore stays where the part ends.

    Parameters
    ----------
    job, bore : Job, BorePencil
        The job and its bore's chain.
    vertex : int
        A vertex of the bore's sketch, from 0.
    to : Point
        Where it shall be, part frame, millimetres.
    """
    pencil, at = bore.pencil, bore.in_part(to)
    record = bore_of(job.part, bore.chain)
    if record is not None and record.through:
        last = len(pencil.vertices) - 1
        if last in pencil.level(vertex):
            at = Point(pencil.vertices[vertex].z, at.r)
    body = _body(job, bore)
    made = move_vertex(body, pencil, vertex, at)
    return job if made == body else _placed(job, bore, made)


def split_bore_section(job: Job, bore: BorePencil, number: int, z: float) -> Job:
    """Return `job` with a section of a bore cut in two at `z`, part frame.

    `number` is the section's in the part. Errors as `vertices.split_section`.
    """
    at = bore.in_part(Point(z, 0.0)).z
    made = split_section(_body(job, bore), bore.pencil, number - bore.offset, at)
    longer = add_section(job, Section("cylinder"), number + 1, bore.chain)
    return _placed(longer, bore, made)


def _body(job: Job, bore: BorePencil) -> Job:
    return msgspec.structs.replace(job, part=chain_record(job.part, bore.chain))


def _placed(job: Job, bore: BorePencil, body: Job) -> Job:
    return msgspec.structs.replace(job, part=with_chain_record(job.part, bore.chain, body.part))
