"""What proposals of setups are made of: the bar and what holds it, a first and a second setup."""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from turnsketch.blank_sizes import blank_sizes
from turnsketch.job import Holding, Job, Setup
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.pipeline.lengths import length_of, rounded_down, rounded_up
from turnsketch.pipeline.second_grip import AROUND, Grip
from turnsketch.pipeline.shop_records import chuck_of
from turnsketch.shop.bar_room import blade_width_mm, clear_of_jaws_mm, wanted_grip_mm
from turnsketch.shop.records import Chuck, Shop

__all__ = [
    "FACED_MM",
    "RAW_MM",
    "SAME_MM",
    "ProposedSetups",
    "back_corner",
    "bar_chuck",
    "bar_grip",
    "behind_part",
    "cut_to_length",
    "first_setup",
    "holds_bar",
    "on_bar",
    "parts_bar",
    "parts_off",
    "second_setup",
    "sections_to",
    "thickest_end",
    "tied_across",
    "times_as_long",
    "with_setups",
]

SAME_MM = 1e-6
_STEP_MM = 0.01
FACED_MM = 0.5
"""Left on the back of a part that comes off the bar, to be faced off (common practice)."""

RAW_MM = 1.0
"""Left on each end of a blank that is cut to length (common practice)."""


@dataclass(frozen=True, slots=True)
class ProposedSetups:
    """A job with the proposed blank and setups, and why they are so."""

    job: Job
    reasons: tuple[str, ...]
    tight: bool = False
    """The jaws of the second setup stand close to what it cuts, or no blade parts the bar."""


def thickest_end(part: ResolvedPart) -> float:
    """Return the z behind the last section that has the greatest diameter."""
    most = max(max(s.front.r, s.back.r) for s in part.sections)
    ends = [
        min(s.front.z, s.back.z)
        for s in part.sections
        if s.kind != "face" and max(s.front.r, s.back.r) > most - _STEP_MM
    ]
    return min(ends, default=-part.total_length)


def tied_across(job: Job, part: ResolvedPart, split: float) -> str:
    """Return the surfaces that the print ties together across `split`; empty: none."""
    sections = {s.number: s for s in part.sections}
    for tie in job.part.ties:
        tied = [sections[n] for n in tie.sections if n in sections]
        sides = {(s.front.z + s.back.z) / 2 > split for s in tied}
        if len(sides) > 1:
            return " and ".join(s.label for s in tied)
    return ""


def sections_to(part: ResolvedPart, split: float) -> tuple[int, ...]:
    """Return the numbers of the sections in front of `split`, part frame."""
    return tuple(s.number for s in part.sections if min(s.front.z, s.back.z) >= split - SAME_MM)


def parts_bar(job: Job, shop: Shop, hole: float = 0.0) -> bool:
    """Return whether a blade of the shop goes through the bar, down to a hole of this radius."""
    return _reaches(shop, blank_sizes(job.blank, job.units).radius - hole)


def parts_off(shop: Shop, part: ResolvedPart) -> bool:
    """Return whether a blade of the shop parts off the turned part, down to its through bore."""
    back = -part.total_length + SAME_MM
    radius = max((s.back.r for s in part.sections if s.back.z < back), default=0.0)
    bored = () if part.bore is None or not part.bore.through else part.bore.sections
    hole = min((min(s.front.r, s.back.r) for s in bored), default=0.0)
    return _reaches(shop, radius - hole)


def _reaches(shop: Shop, depth: float) -> bool:
    """Return whether a blade of the shop goes so deep, its holder clear of the metal; mm."""
    room = shop.clearances.holder_to_metal
    blades = (t for t in shop.tools if t.kind == "parting")
    return any(t.reach_mm - room - t.corner_radius_mm >= depth for t in blades)


def bar_chuck(job: Job, shop: Shop) -> Chuck:
    """Return what holds the bar: the job's own device where it can, else the first that can."""
    own = chuck_of(job, shop)
    fitting = [c for c in (own, *shop.chucks) if holds_bar(job, c)]
    return fitting[0] if fitting else own


def holds_bar(job: Job, chuck: Chuck) -> bool:
    """Return whether a chuck or collet holds the job's bar, by kind and size."""
    sizes = blank_sizes(job.blank, job.units)
    across = 2 * (sizes.flat_radius or sizes.radius)
    kinds = ("four-jaw",) if job.blank.shape == "square" else AROUND
    return chuck.kind in kinds and chuck.smallest_mm <= across <= chuck.largest_mm


def bar_grip(job: Job, chuck: Chuck) -> float:
    """Return the grip of the bar: three quarters of its diameter, at most the jaws; millimetres."""
    size = 2 * blank_sizes(job.blank, job.units).radius
    wanted = rounded_up(wanted_grip_mm(size, chuck), job)
    return min(wanted, rounded_down(chuck.jaw_length_mm, job))


def behind_part(shop: Shop, part: ResolvedPart, more: float) -> float:
    """Return what stands between the part's back and the jaws: `more`, the blade and its room."""
    return more + blade_width_mm(shop, part.greatest_diameter) + clear_of_jaws_mm(shop)


def on_bar(job: Job, shop: Shop, part: ResolvedPart, grip: float, more: float) -> Job:
    """Return the job with a bar just long enough to part off from."""
    if job.blank.shape == "steps":
        return job  # its steps make its length
    front = blank_sizes(job.blank, job.units).front
    needed = front + part.total_length + behind_part(shop, part, more) + grip
    cut = msgspec.structs.replace(job.blank, length=length_of(rounded_up(needed, job), job))
    return msgspec.structs.replace(job, blank=cut)


def cut_to_length(job: Job, length: float, raw: float) -> Job:
    """Return the job on a blank of this length, `raw` of it in front of the finished face.

    A blank with steps is what it is: nothing is cut off it.
    """
    if job.blank.shape == "steps":
        return job
    text = length_of(rounded_up(length, job) if raw else length, job)
    blank = msgspec.structs.replace(job.blank, length=text, front=length_of(raw, job))
    return msgspec.structs.replace(job, blank=blank)


def first_setup(job: Job, chuck: Chuck, grip: float, name: str) -> Setup:
    """Return the setup that holds the blank plainly in a chuck; grip in millimetres."""
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


def second_setup(job: Job, held: Grip, *, turned: bool) -> Setup:
    """Return the setup that holds what the first has made."""
    holding = Holding(held.chuck.name, length_of(held.length, job), soft_jaws=held.soft)
    return Setup(holding, "Back end" if turned else "Front end", turned=turned)


def with_setups(job: Job, *setups: Setup) -> Job:
    """Return the job with these setups in place of its own."""
    return msgspec.structs.replace(job, setups=setups)


def times_as_long(job: Job, part: ResolvedPart) -> str:
    """Return in words how slender a part is."""
    size = 2 * blank_sizes(job.blank, job.units).radius
    return f"{part.total_length / size:.1f} times as long as the bar is thick"


def back_corner(part: ResolvedPart) -> float:
    """Return the axial length of the corner at the part's back end; 0: it has none."""
    back = -part.total_length + SAME_MM
    return max((c.size for c in part.corners if c.convex and c.at.z < back), default=0.0)
