"""Edits of the setups: each takes a job and returns a new one; nothing is planned here.

Setups have an index from 0. Where one comes, goes or changes its place, the others stay held
where they were: how far the bar is pulled out is reckoned anew, or told as a grip.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import msgspec

from turnsketch.errors import InputError
from turnsketch.job import Job, Setup
from turnsketch.part.text import parse
from turnsketch.units import from_mm

__all__ = [
    "add_setup",
    "change_holding",
    "change_setup",
    "grips_mm",
    "move_setup",
    "remove_setup",
    "set_grip_mm",
]

_SAME_MM = 1e-6


def change_setup(job: Job, index: int, **fields: Any) -> Job:
    """Return `job` with fields of one setup changed.

    Raises
    ------
    InputError
        There is no such setup.
    """
    _check(job, index)
    changed = msgspec.structs.replace(job.setups[index], **fields)
    return _with(job, (*job.setups[:index], changed, *job.setups[index + 1 :]))


def change_holding(job: Job, index: int, **fields: Any) -> Job:
    """Return `job` with fields of one setup's holding changed."""
    _check(job, index)
    holding = msgspec.structs.replace(job.setups[index].holding, **fields)
    return change_setup(job, index, holding=holding)


def add_setup(job: Job, setup: Setup, at: int) -> Job:
    """Return `job` with a setup put in so that it gets the index `at`.

    Raises
    ------
    InputError
        There is no such place.
    """
    if not 0 <= at <= len(job.setups):
        raise InputError(f"a setup can stand at 1 to {len(job.setups) + 1}, not at {at + 1}")
    grips = list(grips_mm(job))
    before = grips[at - 1] if at > 0 else None
    grips.insert(at, _own_grip(setup, before, job))
    return _held(job, (*job.setups[:at], setup, *job.setups[at:]), grips)


def remove_setup(job: Job, index: int) -> Job:
    """Return `job` without one of its setups.

    Raises
    ------
    InputError
        It is the only one, or there is no such setup.
    """
    _check(job, index)
    if len(job.setups) == 1:
        raise InputError("a job has at least one setup: change this one instead")
    return _taken(job, [i for i in range(len(job.setups)) if i != index])


def move_setup(job: Job, index: int, by: int) -> Job:
    """Return `job` with a setup moved so many places later (negative: earlier)."""
    _check(job, index)
    order = list(range(len(job.setups)))
    order.insert(max(0, min(len(order) - 1, index + by)), order.pop(index))
    return _taken(job, order)


def set_grip_mm(job: Job, index: int, grip: float) -> Job:
    """Return `job` with a setup that holds so much of the blank (mm): pulled out less, or gripped.

    Setups after it that pull the bar out go on from there.
    """
    _check(job, index)
    setup, before = job.setups[index], grips_mm(job)[index - 1] if index else None
    if setup.pull_out is not None:
        setup = _pulled(setup, grip, before, job)
    else:
        holding = msgspec.structs.replace(setup.holding, grip=_text(grip, job))
        setup = msgspec.structs.replace(setup, holding=holding)
    return change_setup(job, index, pull_out=setup.pull_out, holding=setup.holding)


def grips_mm(job: Job) -> tuple[float | None, ...]:
    """Return how much of the blank each setup holds, mm; None where the job does not say."""
    grips: list[float | None] = []
    for setup in job.setups:
        grips.append(_own_grip(setup, grips[-1] if grips else None, job))
    return tuple(grips)


def _own_grip(setup: Setup, before: float | None, job: Job) -> float | None:
    pulled = _length(setup.pull_out, job)
    if pulled is None:
        return _length(setup.holding.grip, job)
    return None if before is None else before - pulled


def _length(text: str | None, job: Job) -> float | None:
    try:
        return None if text is None else parse(text, job.units, {"length"}).nominal
    except InputError:
        return None


def _taken(job: Job, order: Sequence[int]) -> Job:
    grips = grips_mm(job)
    return _held(job, [job.setups[i] for i in order], [grips[i] for i in order])


def _held(job: Job, setups: Iterable[Setup], grips: Sequence[float | None]) -> Job:
    """Return `job` with these setups, each holding as much of the blank as `grips` says."""
    made: list[Setup] = []
    for index, setup in enumerate(setups):
        grip, before = grips[index], grips[index - 1] if index else None
        if setup.pull_out is not None and grip is not None:
            setup = _pulled(setup, grip, before, job)
        made.append(setup)
    return _with(job, made)


def _pulled(setup: Setup, grip: float, before: float | None, job: Job) -> Setup:
    """Return a pulled-out setup with the way that the bar goes now; without one, with its grip."""
    if before is not None and before - grip > _SAME_MM:
        same = _length(setup.pull_out, job)
        if same is not None and abs(before - grip - same) <= _SAME_MM:
            return setup
        text = _text(before - grip, job)
        holding = msgspec.structs.replace(setup.holding, grip=None)
        return msgspec.structs.replace(setup, pull_out=text, holding=holding)
    holding = msgspec.structs.replace(setup.holding, grip=_text(max(grip, 0.0), job))
    return msgspec.structs.replace(setup, pull_out=None, holding=holding)


def _text(millimetres: float, job: Job) -> str:
    decimals = 3 if job.units == "mm" else 4
    return f"{from_mm(millimetres, job.units):.{decimals}f}".rstrip("0").rstrip(".") or "0"


def _with(job: Job, setups: Iterable[Setup]) -> Job:
    return msgspec.structs.replace(job, setups=tuple(setups))


def _check(job: Job, index: int) -> None:
    if not 0 <= index < len(job.setups):
        raise InputError(f"the job has no setup {index + 1}; they go from 1 to {len(job.setups)}")
