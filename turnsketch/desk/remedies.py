"""Remedies that the program can carry out itself, finding by finding. No Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import msgspec

from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.suggestions import bar_text, part_size, stocked, suggested
from turnsketch.job import Job
from turnsketch.part.text import parse
from turnsketch.plan_records import Finding
from turnsketch.shop.records import Chuck, Shop
from turnsketch.units import from_mm, to_mm

__all__ = ["Remedy", "remedy_for"]


@dataclass(frozen=True, slots=True)
class Remedy:
    """A job in which the finding is gone, and what to call the step."""

    job: Job
    words: str


def remedy_for(job: Job, finding: Finding, shop: Shop) -> Remedy | None:
    """Return the remedy of a finding; None where a person has to decide."""
    make = _REMEDIES.get(finding.code)
    found = None if make is None or (finding.setup or 1) != 1 else make(job, shop)
    return None if found is None or found.job == job else found


def _longer_blank(job: Job, shop: Shop) -> Remedy | None:
    """Make the blank as long as part, parting cut and clearances need with the present grip."""
    size, holding = part_size(job.part, job.units), job.setups[0].holding
    if size is None or holding.grip is None:
        return None
    better = suggested(job, shop, size)
    grips = [parse(g, job.units, {"length"}).nominal for g in (holding.grip, _grip_of(better))]
    length = parse(better.blank.length, job.units, {"length"}).nominal + grips[0] - grips[1]
    text = length_text(length, job.units)
    return Remedy(_with_blank(job, length=text), f"Cut the blank {text} long")


def _grip_of(job: Job) -> str:
    return job.setups[0].holding.grip or "0"


def _thicker_bar(job: Job, shop: Shop) -> Remedy | None:
    size = part_size(job.part, job.units)
    if size is None:
        return None
    blank = suggested(job, shop, size).blank
    made = _with_blank(job, diameter=blank.diameter, skin=blank.skin)
    return Remedy(made, f"Take Ø{blank.diameter} {blank.skin}")


def _bright_bar(job: Job, shop: Shop) -> Remedy | None:
    """Take the thinnest bright bar that is as thick as the black one."""
    now = parse(job.blank.diameter, job.units, {"diameter"}).nominal
    for diameter, bar in stocked(shop, job.part.material):
        if bar.skin == "bright" and diameter >= now - 1e-6:
            text = bar_text(bar, job.units)
            return Remedy(_with_blank(job, diameter=text, skin="bright"), f"Take Ø{text} bright")
    return None


def _least_grip(job: Job, shop: Shop) -> Remedy | None:
    """Grip as much as the shop asks for, and make the blank so much longer."""
    chuck = _chuck(job, shop)
    grip, holding = _grip_of(job), job.setups[0].holding
    if chuck is None or holding.grip is None:
        return None
    step = 1.0 if job.units == "mm" else 1 / 16
    whole = -(-from_mm(chuck.least_grip_mm, job.units) // step) * step
    wanted = to_mm(whole, job.units)
    more = wanted - parse(grip, job.units, {"length"}).nominal
    length = parse(job.blank.length, job.units, {"length"}).nominal + more
    made = _with_blank(job, length=length_text(length, job.units))
    text = length_text(wanted, job.units)
    return Remedy(_with_grip(made, text), f"Grip {text}")


def _shorter_grip(job: Job, shop: Shop) -> Remedy | None:
    """Grip no more than the jaws are long, and cut the blank so much shorter."""
    chuck = _chuck(job, shop)
    if chuck is None or job.setups[0].holding.grip is None:
        return None
    less = parse(_grip_of(job), job.units, {"length"}).nominal - chuck.jaw_length_mm
    length = parse(job.blank.length, job.units, {"length"}).nominal - less
    made = _with_blank(job, length=length_text(length, job.units))
    text = length_text(chuck.jaw_length_mm, job.units)
    return Remedy(_with_grip(made, text), f"Grip {text}")


def _larger_lathe(job: Job, shop: Shop) -> Remedy | None:
    diameter = parse(job.blank.diameter, job.units, {"diameter"}).nominal
    fitting = [lathe for lathe in shop.lathes if lathe.swing_mm >= diameter]
    if not fitting:
        return None
    lathe = min(fitting, key=lambda record: record.swing_mm)
    return Remedy(msgspec.structs.replace(job, lathe=lathe.name), f"Take {lathe.name}")


def _chuck(job: Job, shop: Shop) -> Chuck | None:
    device = job.setups[0].holding.device
    return next((chuck for chuck in shop.chucks if chuck.name == device), None)


def _with_blank(job: Job, **changes: str) -> Job:
    return msgspec.structs.replace(job, blank=msgspec.structs.replace(job.blank, **changes))


def _with_grip(job: Job, grip: str) -> Job:
    first = job.setups[0]
    holding = msgspec.structs.replace(first.holding, grip=grip)
    setups = (msgspec.structs.replace(first, holding=holding), *job.setups[1:])
    return msgspec.structs.replace(job, setups=setups)


_REMEDIES: dict[str, Callable[[Job, Shop], Remedy | None]] = {
    "blank-too-short": _longer_blank,
    "blank-too-small": _thicker_bar,
    "black-skin": _bright_bar,
    "grip-short": _least_grip,
    "grip-long": _shorter_grip,
    "jaws-in-the-cut": _longer_blank,
    "near-the-jaws": _longer_blank,
    "swing": _larger_lathe,
}
