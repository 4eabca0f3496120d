"""Setups for a part that stands out too far for its diameter. Common practice.

In order of preference: both ends between centres, where the print allows its holes (turned end for
end it runs on them again); chuck and centre; the bar pulled out step by step, where no hole may
stay in the end and the bar goes through the chuck.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec

from turnsketch.blank_sizes import blank_sizes
from turnsketch.job import Holding, Job, Setup
from turnsketch.part.centre_holes import centre_hole, usual_size
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.text import parse
from turnsketch.part.turned import turned_part
from turnsketch.pipeline.lengths import length_of, rounded_down, rounded_up
from turnsketch.pipeline.proposal_parts import (
    FACED_MM,
    RAW_MM,
    SAME_MM,
    ProposedSetups,
    back_corner,
    bar_grip,
    cut_to_length,
    first_setup,
    on_bar,
    second_setup,
    sections_to,
    thickest_end,
    times_as_long,
    with_setups,
)
from turnsketch.pipeline.propose_pull_out import pulled_out
from turnsketch.pipeline.second_grip import best_grip
from turnsketch.planning.centre import RIM_MM, front_face_radius
from turnsketch.shop.records import Chuck, Shop

__all__ = ["slender_setups", "stands_out"]

_SIZES = (1.0, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0)
"""Sizes of centre holes after ISO 866, in millimetres, that a part of this kind has."""

_CENTRED = "Front end, on the centre"
_SAWN = (
    "so long it would whip when it is parted off: it is sawn off with the spindle standing, and "
    "its back is faced short in the chuck"
)
_OUT = "the centre is taken out for parting off, which cuts beside the jaws"


def stands_out(job: Job, part: ResolvedPart) -> float:
    """Return by how many of its diameters the worst held of a job's setups stands out.

    Every setup is one in a chuck; what is driven into the spindle does not stand out.
    """
    bar = blank_sizes(job.blank, job.units)
    length, worst = bar.length, 0.0
    for index, setup in enumerate(job.setups):
        grip = _mm(setup.holding.grip, job)
        size = 2 * bar.radius if index == 0 else part.greatest_diameter
        worst = max(worst, (length - grip) / size)
        length = min(length, part.total_length + FACED_MM)
    return worst


def _mm(text: str | None, job: Job) -> float:
    return 0.0 if text is None else parse(text, job.units, {"length"}).nominal


def slender_setups(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, *, both: bool, whole: bool
) -> ProposedSetups | None:
    """Return setups that support a slender part, or pull it out; None where nothing does.

    Parameters
    ----------
    both : bool
        Its back end needs more than parting off.
    whole : bool
        The print ties surfaces of both ends together: one holding makes them.
    """
    ways: list[Callable[[], ProposedSetups | None]] = []
    if both:
        ways.append(lambda: _between_centres(job, shop, part))
    ways.append(lambda: _on_centre(job, shop, part, chuck, both=both, whole=whole))
    if not whole:
        ways.append(lambda: pulled_out(job, shop, part, chuck, both))
    return next((made for way in ways if (made := way()) is not None), None)


def _hole_size(job: Job, faces: Sequence[float]) -> float | None:
    """Return the size of centre hole for end faces of these radii; None: none fits."""
    usual = usual_size(2 * blank_sizes(job.blank, job.units).radius)
    fitting = [
        size
        for size in _SIZES
        if size <= usual + SAME_MM and centre_hole(size).countersink / 2 + RIM_MM <= min(faces)
    ]
    return max(fitting, default=None)


def _face_radius(part: ResolvedPart) -> float:
    """Return the radius of the flat front face; 0 where it has none or a bore is in it."""
    return front_face_radius(part) if part.bore is None else 0.0


def _between_centres(job: Job, shop: Shop, part: ResolvedPart) -> ProposedSetups | None:
    """Return both ends made between centres: the work is turned end for end on the same holes."""
    bar = blank_sizes(job.blank, job.units)
    lathe = next((m for m in shop.lathes if m.name == job.lathe), None)
    drivers = [d for d in shop.drivers if d.smallest_mm <= 2 * bar.radius <= d.largest_mm]
    allowed = job.part.centre_hole in ("allowed", "required") and job.blank.shape == "round"
    if not allowed or not drivers or lathe is None:
        return None
    if part.total_length > min(lathe.between_centres_mm, shop.limits.centre_ratio * 2 * bar.radius):
        return None
    driver = drivers[0]
    size = _hole_size(job, (_face_radius(part), _face_radius(turned_part(part))))
    grip = rounded_up(driver.dog_width_mm, job)
    room = grip + shop.clearances.never_beyond_jaws
    for turned in (False, True):
        seen = turned_part(part) if turned else part
        sections = sections_to(seen, max(thickest_end(seen), room - seen.total_length))
        made = -min((s.back.z for s in seen.sections if s.number in sections), default=0.0)
        ends = [s for s in seen.sections if -s.front.z < grip and s.kind != "face"]
        thin = min((min(s.front.r, s.back.r) for s in ends), default=0.0)
        if size is None or made < room or 2 * thin < driver.smallest_mm:
            continue
        return _driven(job, part, driver.name, (grip, size), sections, turned=turned)
    return None


def _driven(
    job: Job,
    part: ResolvedPart,
    driver: str,
    sizes: tuple[float, float],
    sections: tuple[int, ...],
    *,
    turned: bool,
) -> ProposedSetups:
    grip, size = sizes
    why = times_as_long(job, part)
    job = cut_to_length(job, part.total_length, 0.0)
    held = Holding(driver, length_of(grip, job), kind="between centres")
    first = Holding(
        driver,
        length_of(grip, job),
        kind="between centres",
        centred_blank=True,
        centre_size=f"{size:g}",
    )
    ends = ("Back end", "Front end") if turned else ("Front end", "Back end")
    setups = (
        Setup(first, ends[0], turned=turned, sections=sections),
        Setup(held, ends[1], turned=not turned),
    )
    whys = (
        f"it is {why}, both its ends are turned and the print allows centre holes: it is held "
        "between centres",
        f"the blank is faced to length and centred A {size:g} at both ends before; turned end for "
        "end it runs on the same holes and needs no truing",
        "the dog stands on what is finished in the second setup: put soft metal under its screw",
    )
    return ProposedSetups(with_setups(job, *setups), whys)


def _on_centre(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, *, both: bool, whole: bool
) -> ProposedSetups | None:
    """Return the part made in chuck and centre; its back end after that, short in the chuck."""
    bar = blank_sizes(job.blank, job.units)
    size = _hole_size(job, (_face_radius(part),))
    drills = [t for t in shop.tools if t.kind == "centre drill"]
    if job.part.centre_hole == "not allowed" or size is None or not drills:
        return None
    grip = bar_grip(job, chuck)
    if part.total_length + bar.front > shop.limits.centre_ratio * 2 * bar.radius:
        return None
    why = f"it is {times_as_long(job, part)}: a centre supports its front end, in a hole that the "
    why += "print allows" if job.part.centre_hole else "print is to be asked about"
    if both:
        return _centred_then_turned(job, shop, part, chuck, why, whole=whole)
    job = on_bar(job, shop, part, grip, 0.0)
    if part.total_length > shop.limits.unsupported_ratio * 2 * bar.radius + SAME_MM:
        alone = _on_the_centre(first_setup(job, chuck, grip, _CENTRED))
        return ProposedSetups(with_setups(job, alone), (why, _SAWN))
    last = first_setup(job, chuck, grip, "Parted off, centre out")
    first = _on_the_centre(msgspec.structs.replace(last, name=_CENTRED))
    return ProposedSetups(with_setups(job, first, last), (why, _OUT))


def _centred_then_turned(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, why: str, *, whole: bool
) -> ProposedSetups | None:
    """Return the front end on a centre as far as the thickest section, then the back end.

    `whole`, or where nothing behind that is left to grip: all of it on the centre, then it is
    parted off with the centre out.
    """
    split = thickest_end(part)
    room = part.total_length + split + RAW_MM - shop.clearances.never_beyond_jaws
    if whole or room < rounded_up(chuck.least_grip_mm, job) - SAME_MM:
        return _centred_whole(job, shop, part, chuck, why)
    grip = min(rounded_down(room, job), bar_grip(job, chuck))
    held = best_grip(job, shop, part, chuck, split)
    if held is None:
        return None
    job = cut_to_length(job, part.total_length + 2 * RAW_MM, RAW_MM)
    first = _on_the_centre(first_setup(job, chuck, grip, _CENTRED))
    first = msgspec.structs.replace(first, sections=sections_to(part, split))
    second = second_setup(job, held, turned=True)
    out = part.total_length + RAW_MM - held.length
    if out > shop.limits.unsupported_ratio * part.greatest_diameter:
        if _hole_size(job, (_face_radius(turned_part(part)),)) is None:
            return None
        second = _on_the_centre(second)
    return ProposedSetups(with_setups(job, first, second), (why, held.why))


def _centred_whole(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, why: str
) -> ProposedSetups | None:
    """Return all that is reached from the front on the centre, parted off without it, faced."""
    held = best_grip(job, shop, part, chuck, -part.total_length + back_corner(part))
    if held is None:
        return None
    grip = bar_grip(job, chuck)
    job = on_bar(job, shop, part, grip, FACED_MM)
    plain = first_setup(job, chuck, grip, "Parted off, centre out")
    first = _on_the_centre(msgspec.structs.replace(plain, name=_CENTRED))
    setups = (first, plain, second_setup(job, held, turned=True))
    return ProposedSetups(with_setups(job, *setups), (why, _OUT, held.why))


def _on_the_centre(setup: Setup) -> Setup:
    holding = msgspec.structs.replace(setup.holding, centre=True)
    return msgspec.structs.replace(setup, holding=holding)
