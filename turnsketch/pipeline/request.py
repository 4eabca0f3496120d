"""From a job and a shop file to what the planner works on."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Protocol, TypeVar

from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.resolve import resolve
from turnsketch.part.text import parse
from turnsketch.planning.context import Context, length_mm
from turnsketch.planning.holding import hold
from turnsketch.shop.records import Chuck, Lathe, Material, Shop
from turnsketch.shop.tool_shape import tool_shape

__all__ = ["chuck_of", "context_of", "lathe_of", "material_of"]


class _Named(Protocol):
    @property
    def name(self) -> str: ...


N = TypeVar("N", bound=_Named)


def _find(records: Iterable[N], name: str, what: str, where: str) -> N:
    known = list(records)
    for record in known:
        if record.name == name:
            return record
    names = [record.name for record in known]
    near = difflib.get_close_matches(name, names, 1)
    hint = f'did you mean "{near[0]}"?' if near else "it has " + ", ".join(names)
    raise InputError(f'the shop file has no {what} "{name}"; {hint}', where)


def lathe_of(job: Job, shop: Shop) -> Lathe:
    """Return the job's lathe; InputError when the shop file has none of that name."""
    return _find(shop.lathes, job.lathe, "lathe", "lathe")


def chuck_of(job: Job, shop: Shop, setup: int = 0) -> Chuck:
    """Return the chuck or collet of a setup; InputError when the shop file has it not."""
    device = job.setups[setup].holding.device
    return _find(shop.chucks, device, "chuck or collet", f"setups[{setup}].holding.device")


def material_of(job: Job, shop: Shop) -> Material | None:
    """Return the part's material, or None when the job names none."""
    if not job.part.material:
        return None
    return _find(shop.materials, job.part.material, "material", "part.material")


def context_of(job: Job, shop: Shop, part: ResolvedPart | None = None) -> Context:
    """Return what the first setup is planned for.

    Raises
    ------
    InputError
        When text cannot be read, a record is missing, or the blank does not fit its holding.
    """
    setup = job.setups[0]
    lathe, chuck = lathe_of(job, shop), chuck_of(job, shop)
    radius = _diameter(job) / 2
    length = length_mm(job.blank.length, job.units, "blank.length")
    front = length_mm(job.blank.front, job.units, "blank.front")
    grip = length_mm(setup.holding.grip, job.units, "setups[0].holding.grip")
    if front < 0:
        raise InputError("the raw face cannot stand behind the finished one", "blank.front")
    return Context(
        job=job,
        setup=setup,
        part=part if part is not None else resolve(job.part, job.units),
        held=hold(radius, length, front, grip, chuck, lathe, setup.holding.centre),
        lathe=lathe,
        chuck=chuck,
        material=material_of(job, shop),
        shop=shop,
        shapes={tool.number: tool_shape(tool) for tool in shop.tools},
    )


def _diameter(job: Job) -> float:
    try:
        return parse(job.blank.diameter, job.units, {"diameter"}).nominal
    except InputError as error:
        raise error.within("blank.diameter") from None
