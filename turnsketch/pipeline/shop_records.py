"""The shop's records that a job names: lathe, chuck or driver, material."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Protocol, TypeVar

from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.shop.records import Chuck, Driver, Lathe, Material, Shop

__all__ = ["chuck_of", "driver_of", "lathe_of", "material_of"]


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
    """Return what holds a setup's work: chuck, collet, or a driver told as one.

    InputError when the shop file has it not.
    """
    holding = job.setups[setup].holding
    if holding.kind == "between centres":
        return _as_chuck(driver_of(job, shop, setup))
    return _find(shop.chucks, holding.device, "chuck or collet", _device(setup))


def driver_of(job: Job, shop: Shop, setup: int = 0) -> Driver:
    """Return the driver of a setup between centres; InputError when the shop file has it not."""
    name = job.setups[setup].holding.device
    return _find(shop.drivers, name, "driver", _device(setup))


def _as_chuck(driver: Driver) -> Chuck:
    """Return a driver in the words of a chuck: its dog grips, its plate is the body."""
    return Chuck(
        driver.name,
        "driver",
        driver.smallest_mm,
        driver.largest_mm,
        driver.dog_width_mm,
        driver.dog_height_mm,
        driver.plate_diameter_mm,
        driver.plate_thickness_mm,
        driver.greatest_rpm,
        driver.dog_width_mm,
    )


def material_of(job: Job, shop: Shop) -> Material | None:
    """Return the part's material, or None when the job names none."""
    if not job.part.material:
        return None
    return _find(shop.materials, job.part.material, "material", "part.material")


def _device(setup: int) -> str:
    return f"setups[{setup}].holding.device"
