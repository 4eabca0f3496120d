"""Edits of the part's grooves: each takes a job and returns a new one; nothing is worked out here.

Grooves have numbers from 1, as in the part record; operations that name one follow it.
"""

from __future__ import annotations

from typing import Any

import msgspec

from turnsketch.document.numbering import groove_renumbered
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.records import Groove

__all__ = ["add_groove", "change_groove", "remove_groove"]

_TEXTS = frozenset(
    {"from_front", "from_back", "width", "diameter", "corner", "angle", "size"},
)


def add_groove(job: Job, groove: Groove) -> Job:
    """Return `job` with one more groove behind the last."""
    return _with(job, (*job.part.grooves, groove))


def change_groove(job: Job, number: int, **fields: Any) -> Job:
    """Return `job` with fields of one groove changed; empty text takes a size away.

    Raises
    ------
    InputError
        There is no such groove.
    """
    grooves = list(job.part.grooves)
    if not 1 <= number <= len(grooves):
        raise InputError(f"the part has no groove {number}; it has {len(grooves)}")
    for name in _TEXTS & fields.keys():
        fields[name] = (fields[name] or "").strip() or None
    grooves[number - 1] = msgspec.structs.replace(grooves[number - 1], **fields)
    return _with(job, tuple(grooves))


def remove_groove(job: Job, number: int) -> Job:
    """Return `job` without one of its grooves; operations lose its number."""
    count = len(job.part.grooves)
    if not 1 <= number <= count:
        return job
    kept = [n for n in range(1, count + 1) if n != number]
    job = groove_renumbered(job, {n: place for place, n in enumerate(kept, 1)})
    return _with(job, tuple(job.part.grooves[n - 1] for n in kept))


def _with(job: Job, grooves: tuple[Groove, ...]) -> Job:
    return msgspec.structs.replace(job, part=msgspec.structs.replace(job.part, grooves=grooves))
