"""What the program would take: the next larger bar in stock, its length, the grip. No Qt.

A blank that is the suggested one stays the suggested one when the part changes; what somebody
has chosen otherwise is left alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import msgspec

from turnsketch.blank_sizes import FLATS
from turnsketch.desk.dimension_text import length_text
from turnsketch.errors import InputError
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord
from turnsketch.part.text import parse
from turnsketch.shop.bar_room import blade_width_mm, clear_of_jaws_mm, wanted_grip_mm
from turnsketch.shop.records import Bar, Chuck, Shop
from turnsketch.units import Units, to_mm

__all__ = ["PartSize", "bar_text", "following", "new_job", "part_size", "stocked", "suggested"]

_TURN_OFF_MM = 1.0
"""On diameter, taken off a bright bar at least so that the surface is turned (common practice)."""
_BLACK_MM = 2.0
"""The same for black bar: under its skin."""
_EMPTY_LENGTH_MM = 50.0


@dataclass(frozen=True, slots=True)
class PartSize:
    """What a blank must hold. Millimetres."""

    diameter: float
    length: float


def part_size(part: PartRecord, units: Units) -> PartSize | None:
    """Return the greatest diameter and the length of a part; None when it has no outline yet."""
    from turnsketch.part.resolve import resolve

    if not part.sections:
        return None
    try:
        resolved = resolve(part, units)
    except InputError:
        return None
    return PartSize(resolved.greatest_diameter, resolved.total_length)


def stocked(shop: Shop, material: str) -> list[tuple[float, Bar]]:
    """Return the bars of the rack in `material` with their diameters (mm), thinnest first."""
    found = [
        (parse(bar.size, "mm", {"diameter"}).nominal, bar)
        for bar in shop.bars
        if not bar.materials or not material or material in bar.materials
    ]
    return sorted(found, key=lambda pair: (pair[0], pair[1].skin != "bright"))


def bar_text(bar: Bar, units: Units) -> str:
    """Return the bar's size as it stands in a job: a bar without a unit is one in millimetres."""
    named = bar.size.rstrip().endswith(("in", "mm", '"'))
    return bar.size if named or units == "mm" else f"{bar.size} mm"


def suggested(job: Job, shop: Shop, size: PartSize | None, setup: int = 0) -> Job:
    """Return `job` with the bar, its length and the grip that the program would take."""
    chuck = next((c for c in shop.chucks if c.name == job.setups[setup].holding.device), None)
    diameter_mm, blank = _bar(job, shop, size)
    grip_mm = _grip_mm(diameter_mm, chuck, job.units)
    front_mm = parse(blank.front, job.units, {"length"}).nominal
    length_mm = _EMPTY_LENGTH_MM if size is None else size.length
    behind = blade_width_mm(shop, diameter_mm) + clear_of_jaws_mm(shop)
    stick_out = front_mm + length_mm + behind
    if blank.shape != "steps":  # whose steps make its length
        longer = length_text(_rounded_up(stick_out + grip_mm, job.units), job.units)
        blank = msgspec.structs.replace(blank, length=longer)
    holding = msgspec.structs.replace(
        job.setups[setup].holding, grip=length_text(grip_mm, job.units)
    )
    setups = list(job.setups)
    setups[setup] = msgspec.structs.replace(setups[setup], holding=holding)
    return msgspec.structs.replace(job, blank=blank, setups=tuple(setups))


def _bar(job: Job, shop: Shop, size: PartSize | None) -> tuple[float, Blank]:
    wanted = 20.0 if size is None else size.diameter
    if job.blank.shape != "round":
        return _other_bar(job, wanted)
    for diameter, bar in stocked(shop, job.part.material):
        room = _TURN_OFF_MM if bar.skin == "bright" else _BLACK_MM
        if diameter >= wanted + room - 1e-9:
            text = bar_text(bar, job.units)
            blank = msgspec.structs.replace(job.blank, diameter=text, skin=bar.skin)
            return diameter, blank
    thick = _rounded_up(wanted + _TURN_OFF_MM, job.units)
    text = length_text(thick, job.units)
    return thick, msgspec.structs.replace(job.blank, diameter=text, skin="bright")


def _other_bar(job: Job, wanted_mm: float) -> tuple[float, Blank]:
    """Return a blank that is no round bar: the same, across more flats where it is too thin."""
    own = parse(job.blank.diameter, job.units, {"diameter"}).nominal
    flats = FLATS.get(job.blank.shape)
    if flats is None:
        return own, job.blank
    across = wanted_mm * math.cos(math.pi / flats)
    if own >= across - 1e-9:
        return own, job.blank
    thick = _rounded_up(across, job.units)
    return thick, msgspec.structs.replace(job.blank, diameter=length_text(thick, job.units))


def _grip_mm(diameter_mm: float, chuck: Chuck | None, units: Units) -> float:
    wanted = _rounded_up(wanted_grip_mm(diameter_mm, chuck), units)
    return wanted if chuck is None else min(wanted, -_rounded_up(-chuck.jaw_length_mm, units))


def _rounded_up(value_mm: float, units: Units) -> float:
    step = 1.0 if units == "mm" else to_mm(0.125, "inch")
    return math.ceil(value_mm / step - 1e-6) * step


def following(before: Job, after: Job, shop: Shop) -> Job:
    """Return `after` with the suggested blank, if `before` had the one suggested for it.

    Only an edit of the part or of the chuck moves the blank along; whoever types a size of the
    blank has the last word.
    """
    if before.blank.shape != "round":  # no other shape is suggested
        return after
    moved = (before.part, _devices(before)) != (after.part, _devices(after))
    if not moved or before.blank != after.blank or len(after.setups) != len(before.setups):
        return after
    if suggested(before, shop, part_size(before.part, before.units)) != before:
        return after
    return suggested(after, shop, part_size(after.part, after.units))


def _devices(job: Job) -> tuple[str, ...]:
    return tuple(setup.holding.device for setup in job.setups)


def new_job(shop: Shop, units: Units, lathe: str, device: str, material: str) -> Job:
    """Return an empty job with the last choices, as far as the shop still has them."""

    def known(name: str, names: list[str]) -> str:
        return name if name in names else (names[0] if names else "")

    job = Job(
        part=PartRecord(
            "New part",
            (),
            material=known(material, [m.name for m in shop.materials]),
            general_tolerance="ISO 2768-m" if units == "mm" else "decimals",
        ),
        blank=Blank("20", "50", front="1" if units == "mm" else ".04"),
        lathe=known(lathe, [record.name for record in shop.lathes]),
        setups=(Setup(Holding(known(device, [c.name for c in shop.chucks]), "20")),),
        units=units,
    )
    return suggested(job, shop, None)
