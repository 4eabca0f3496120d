"""The program's proposal of setups: which end first, from what blank, and where the second grips.

Rules after common practice. Both ends are made where the print needs both. What stands between
the front end and the back of the thickest section is made first, the rest with the part turned
around; surfaces that the print ties together stay in one holding. A part of which the back needs
little more than its face comes off the bar first; else the blank is cut to length. The second
holding takes the thickest cylinder that is long enough, in a collet or soft jaws where it is
finished.
"""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from turnsketch.blank_sizes import blank_sizes
from turnsketch.job import Holding, Job, Setup
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.turned import turned_part
from turnsketch.pipeline.lengths import length_of, rounded_down, rounded_up, said
from turnsketch.pipeline.request import chuck_of, planned_part
from turnsketch.pipeline.second_grip import AROUND, Grip, best_grip
from turnsketch.shop.records import Chuck, Shop

__all__ = ["ProposedSetups", "needs_both_ends", "propose_setups"]

_SAME_MM = 1e-6
_STEP_MM = 0.01
_FACED_MM = 0.5
"""Left on the back of a part that comes off the bar, to be faced off (common practice)."""

_RAW_MM = 1.0
"""Left on each end of a blank that is cut to length (common practice)."""

_GRIP_SHARE = 0.75
"""Grip of the bar in diameters (common practice: two thirds to one)."""

_BLADE_MM = 3.0


@dataclass(frozen=True, slots=True)
class ProposedSetups:
    """A job with the proposed blank and setups, and why they are so."""

    job: Job
    reasons: tuple[str, ...]


def needs_both_ends(part: ResolvedPart) -> bool:
    """Return whether the part's back end needs more than parting off: a setup turned around."""
    back = -part.total_length
    corners = any(c.convex and c.at.z < back + _SAME_MM for c in part.corners)
    mouth = part.bore is not None and part.bore.through
    return corners or mouth or part.bore_back is not None or _thickest_end(part) > back + _SAME_MM


def propose_setups(job: Job, shop: Shop) -> ProposedSetups:
    """Return `job` with setups for both ends of its part, or with one where the front is enough.

    The first setup's device, lathe and bar stay; operation lists are left to the program.

    Raises
    ------
    InputError
        When the part's text cannot be read, or a record of the shop file is missing.
    """
    part, chuck = planned_part(job), _bar_chuck(job, shop)
    if not needs_both_ends(part):
        return _one(job, shop, part, chuck)
    tied = _tied(job, part, _thickest_end(part))
    if _thickest_end(part) <= -part.total_length + _SAME_MM or tied:
        made = _off_the_bar(job, shop, part, chuck, turned=False)
        if made is not None:
            return _told(made, tied)
    for turned in (False, True):
        made = _cut_to_length(job, shop, part, chuck, turned=turned)
        if made is not None:
            return made
    for turned in (False, True):
        made = _off_the_bar(job, shop, part, chuck, turned=turned)
        if made is not None:
            return _told(made, tied)
    return _one(job, shop, part, chuck)


def _told(made: ProposedSetups, tied: str) -> ProposedSetups:
    if not tied:
        return made
    why = f"{tied} are tied by the print: the first setup makes them in one holding"
    return ProposedSetups(made.job, (*made.reasons, why))


def _thickest_end(part: ResolvedPart) -> float:
    """Return the z behind the last section that has the greatest diameter."""
    most = max(max(s.front.r, s.back.r) for s in part.sections)
    ends = [
        min(s.front.z, s.back.z)
        for s in part.sections
        if s.kind != "face" and max(s.front.r, s.back.r) > most - _STEP_MM
    ]
    return min(ends, default=-part.total_length)


def _tied(job: Job, part: ResolvedPart, split: float) -> str:
    """Return the surfaces that the print ties together across `split`; empty: none."""
    sections = {s.number: s for s in part.sections}
    for tie in job.part.ties:
        tied = [sections[n] for n in tie.sections if n in sections]
        sides = {(s.front.z + s.back.z) / 2 > split for s in tied}
        if len(sides) > 1:
            return " and ".join(s.label for s in tied)
    return ""


def _one(job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck) -> ProposedSetups:
    """Return the job with one setup, parted off."""
    grip = _bar_grip(job, chuck)
    job = _on_bar(job, shop, part, grip, 0.0)
    setup = _first(job, chuck, grip, "Turned and parted off")
    why = "the front end and parting off make all of it: one setup is enough"
    return ProposedSetups(_with(job, setup), (why,))


def _off_the_bar(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, *, turned: bool
) -> ProposedSetups | None:
    """Return the job with all but one end made on the bar, and that end after parting off.

    `turned`: the part's back end stands in front on the bar.
    """
    seen, end = (turned_part(part), "back") if turned else (part, "front")
    whole, split = -seen.total_length + _back_work(seen), _thickest_end(seen)
    sections = None
    held = None
    apart = split > -seen.total_length + _SAME_MM and not _tied(job, seen, split)
    if apart and _parts_whole_bar(job, shop):
        held, sections = best_grip(job, shop, seen, chuck, split), _sections_to(seen, split)
    if held is None:
        held, sections = best_grip(job, shop, seen, chuck, whole), None
    if held is None:
        return None
    grip = _bar_grip(job, chuck)
    job = _on_bar(job, shop, part, grip, _FACED_MM)
    name = "Back end, parted off" if turned else "Front end, parted off"
    first = msgspec.structs.replace(
        _first(job, chuck, grip, name), turned=turned, sections=sections
    )
    second = _second(job, held, turned=not turned)
    what = "everything" if sections is None else "all to the thickest section"
    whys = (
        f"the first setup makes {what} that is reached from the {end}, on the bar, and parts "
        f"it off with {said(_FACED_MM, job)} more at its other end",
        held.why,
    )
    return ProposedSetups(_with(job, first, second), whys)


def _parts_whole_bar(job: Job, shop: Shop) -> bool:
    """Return whether a blade of the shop goes through the bar as it comes."""
    radius = blank_sizes(job.blank, job.units).radius
    room = shop.clearances.holder_to_metal
    blades = (t for t in shop.tools if t.kind == "parting")
    return any(t.reach_mm - room - t.corner_radius_mm >= radius for t in blades)


def _sections_to(part: ResolvedPart, split: float) -> tuple[int, ...]:
    return tuple(s.number for s in part.sections if min(s.front.z, s.back.z) >= split - _SAME_MM)


def _back_work(part: ResolvedPart) -> float:
    """Return how far in front of the back face the second setup works on the outside."""
    back = -part.total_length
    sizes = [c.size for c in part.corners if c.convex and c.at.z < back + _SAME_MM]
    return max(sizes, default=0.0)


def _cut_to_length(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, *, turned: bool
) -> ProposedSetups | None:
    """Return the job on a blank cut to length: one end to the thickest section, then the other.

    `turned`: the back end is made first. None where neither end can be gripped so.
    """
    seen = turned_part(part) if turned else part
    split, clear = _thickest_end(seen), shop.clearances.never_beyond_jaws
    room = seen.total_length + split + _RAW_MM - clear
    least = rounded_up(chuck.least_grip_mm, job)
    if room < least - _SAME_MM or not _holds_bar(job, chuck):
        return None
    grip = min(rounded_down(room, job), _bar_grip(job, chuck))
    held = best_grip(job, shop, seen, chuck, split)
    if held is None:
        return None
    length = length_of(rounded_up(seen.total_length + 2 * _RAW_MM, job), job)
    blank = msgspec.structs.replace(job.blank, length=length, front=length_of(_RAW_MM, job))
    job = msgspec.structs.replace(job, blank=blank)
    sections = _sections_to(seen, split)
    name = "Back end" if turned else "Front end"
    first = msgspec.structs.replace(
        _first(job, chuck, grip, name), turned=turned, sections=sections
    )
    second = _second(job, held, turned=not turned)
    end = "back" if turned else "front"
    unit = "in" if job.units == "inch" else "mm"
    whys = (
        f"the blank is cut to length, {length} {unit} long: both ends are turned",
        f"the first setup makes the {end} end as far as the thickest section, so that each end "
        "is turned toward the chuck",
        held.why,
    )
    return ProposedSetups(_with(job, first, second), whys)


def _bar_chuck(job: Job, shop: Shop) -> Chuck:
    """Return what holds the bar: the job's own device where it can, else the first that can."""
    own = chuck_of(job, shop)
    fitting = [c for c in (own, *shop.chucks) if _holds_bar(job, c)]
    return fitting[0] if fitting else own


def _holds_bar(job: Job, chuck: Chuck) -> bool:
    sizes = blank_sizes(job.blank, job.units)
    across = 2 * (sizes.flat_radius or sizes.radius)
    kinds = ("four-jaw",) if job.blank.shape == "square" else AROUND
    return chuck.kind in kinds and chuck.smallest_mm <= across <= chuck.largest_mm


def _bar_grip(job: Job, chuck: Chuck) -> float:
    size = 2 * blank_sizes(job.blank, job.units).radius
    wanted = max(_GRIP_SHARE * size, chuck.least_grip_mm)
    return min(rounded_up(wanted, job), rounded_down(chuck.jaw_length_mm, job))


def _on_bar(job: Job, shop: Shop, part: ResolvedPart, grip: float, more: float) -> Job:
    """Return the job with a bar just long enough to part off from."""
    if job.blank.shape == "steps":
        return job  # its steps make its length
    blank = blank_sizes(job.blank, job.units)
    reach = [
        t.width_mm
        for t in shop.tools
        if t.kind == "parting" and t.reach_mm >= part.greatest_diameter / 2
    ]
    clear = shop.clearances.never_beyond_jaws + shop.clearances.cut_to_jaws
    behind = more + min(reach, default=_BLADE_MM) + clear
    needed = blank.front + part.total_length + behind + grip
    cut = msgspec.structs.replace(job.blank, length=length_of(rounded_up(needed, job), job))
    return msgspec.structs.replace(job, blank=cut)


def _first(job: Job, chuck: Chuck, grip: float, name: str) -> Setup:
    held = job.setups[0].holding
    holding = msgspec.structs.replace(
        held,
        device=chuck.name,
        kind="chuck",
        grip=length_of(grip, job),
        centre=False,
        centred_blank=False,
        inside=False,
        soft_jaws=False,
        steady=None,
    )
    return Setup(holding, name)


def _second(job: Job, held: Grip, *, turned: bool) -> Setup:
    holding = Holding(held.chuck.name, length_of(held.length, job), soft_jaws=held.soft)
    return Setup(holding, "Back end" if turned else "Front end", turned=turned)


def _with(job: Job, *setups: Setup) -> Job:
    return msgspec.structs.replace(job, setups=setups)
