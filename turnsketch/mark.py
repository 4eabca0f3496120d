"""The mark: eight hex digits that name a state of a job on screen and paper."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import Protocol, TypeVar

import msgspec

from turnsketch.job import Job
from turnsketch.shop.records import Shop

__all__ = ["mark"]


class _Named(Protocol):
    @property
    def name(self) -> str: ...


R = TypeVar("R", bound=_Named)


def mark(job: Job, shop: Shop, version: str) -> str:
    """Return the mark of `job` as planned with `shop` by this `version` of the program.

    It is a label that tells two sheets apart, not a proof: the first eight hex digits of SHA-256
    over canonical JSON (keys in order, no spaces) of the job, of what the plan can take from the
    shop file (its lathe, chucks, material, tools, clearances and limits) and of the version.
    Records that the job cannot reach do not change it.
    """
    devices = {setup.holding.device for setup in job.setups}
    used = {
        "job": job,
        "lathes": _named(shop.lathes, {job.lathe}),
        "chucks": _named(shop.chucks, devices),
        "drivers": _named(shop.drivers, devices),
        "materials": _named(shop.materials, {job.part.material}),
        "tools": _tools(job, shop),
        "clearances": shop.clearances,
        "limits": shop.limits,
        "version": version,
    }
    canonical = msgspec.json.encode(used, order="sorted")
    return hashlib.sha256(canonical).hexdigest()[:8]


def _named(records: Iterable[R], names: set[str]) -> list[R]:
    return [record for record in records if record.name in names]


def _tools(job: Job, shop: Shop) -> list[object]:
    """Return the tools that a plan of `job` may use: all of them where it is left to propose."""
    numbers: set[int | None] = set()
    for setup in job.setups:
        for operation in setup.operations or ():
            numbers.add(operation.tool)
        if setup.operations is None:
            numbers.add(None)
    return [tool for tool in shop.tools if None in numbers or tool.number in numbers]
