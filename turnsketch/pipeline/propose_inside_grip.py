"""Setups that hold a bored part in its bore: on a mandrel, or in jaws that open. Common practice.

The bore is finished first. On a mandrel the outside runs true to it, as a print that ties the two
asks for; jaws in the bore hold a ring that leaves nothing outside to grip.
"""

from __future__ import annotations

import msgspec

from turnsketch.job import Holding, Job, Setup
from turnsketch.part.outline_records import ResolvedBore, ResolvedPart, SectionInfo
from turnsketch.part.turned import turned_part
from turnsketch.pipeline.lengths import length_of, rounded_down, said
from turnsketch.pipeline.proposal_parts import (
    FACED_MM,
    RAW_MM,
    SAME_MM,
    ProposedSetups,
    bar_grip,
    cut_to_length,
    first_setup,
    on_bar,
    parts_bar,
    thickest_end,
    with_setups,
)
from turnsketch.shop.records import Chuck, Shop

__all__ = ["bored_then_turned", "mandrel_setups", "ring_setups"]

_TOOL_ROOM_MM = 10.0
"""Between the chuck's body and the back of work that is held in its bore."""

_END_MM = 0.5
"""Jaws end so far before the end of the cylinder that they open in."""

_FRONT_FREE_MM = 4.0
"""A mandrel ends so far behind the face that is cut in front of it."""


def bored_then_turned(job: Job, part: ResolvedPart) -> str:
    """Return the outside and the bore that no single holding makes though the print ties them.

    Empty: there is no such tie. What stands behind the thickest section is not reached together
    with the bore.
    """
    seen = _bore_in_front(part)
    if seen is None or seen.bore is None:
        return ""
    split, outside = thickest_end(seen), {s.number: s for s in seen.sections}
    inner = {s.number: s for s in seen.bore.sections}
    for tie in job.part.ties:
        bored = [inner[n] for n in tie.sections if n in inner]
        behind = [
            s for n in tie.sections if (s := outside.get(n)) and (s.front.z + s.back.z) / 2 < split
        ]
        if bored and behind:
            return f"{behind[0].label} and {bored[0].label}"
    return ""


def _bore_in_front(part: ResolvedPart) -> ResolvedPart | None:
    """Return the part with the end in front from which its through bore is made."""
    for seen in (part, turned_part(part)):
        if seen.bore is not None and seen.bore.through:
            return seen
    return None


def mandrel_setups(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, tied: str
) -> ProposedSetups | None:
    """Return the bore made first and all the outside on a mandrel; None where none fits."""
    seen = _bore_in_front(part)
    if seen is None or seen.bore is None:
        return None
    narrow = min(min(s.front.r, s.back.r) for s in seen.bore.sections)
    length = sum(
        s.front.z - s.back.z
        for s in seen.bore.sections
        if s.kind == "cylinder" and s.front.r < narrow + 1e-3
    )
    fitting = [
        c
        for c in shop.chucks
        if c.kind == "mandrel"
        and c.inside_smallest_mm <= 2 * narrow <= c.inside_largest_mm
        and c.least_grip_mm <= length
    ]
    if not fitting:
        return None
    mandrel = fitting[0]
    grip = rounded_down(min(mandrel.jaw_length_mm, seen.total_length - _FRONT_FREE_MM), job)
    bored = _bored(job, shop, seen, chuck, turned=seen is not part, whole=False)
    if bored is None:
        return None
    first, job = bored
    holding = Holding(mandrel.name, length_of(grip, job))
    second = Setup(holding, "Outside, on the mandrel", turned=not first.turned)
    whys = (
        f"{tied} are tied by the print and no holding makes both: the bore is finished first",
        f"the second setup holds the bore on {mandrel.name}, so that the whole outside runs true "
        "to it",
    )
    return ProposedSetups(with_setups(job, first, second), whys)


def ring_setups(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, tied: str = ""
) -> ProposedSetups | None:
    """Return the bore made first, and the outside with jaws opened in it; None: it has no hold."""
    seen = _bore_in_front(part)
    if seen is None or seen.bore is None:
        return None
    bored = _bored(job, shop, seen, chuck, turned=seen is not part, whole=not tied)
    if bored is None:
        return None
    for holder in (chuck, *shop.chucks):
        found = _opened(job, shop, seen, holder)
        if found is None:
            continue
        (section, reach, touch), (first, job) = found, bored
        holding = Holding(
            holder.name, length_of(reach, job), inside=True, soft_jaws=holder.soft_jaws
        )
        end = "Back end" if not first.turned else "Front end"
        name = f"{'Outside' if first.sections else end}, held in the bore"
        second = Setup(holding, name, turned=not first.turned)
        why = (
            f"{tied} are tied by the print and no holding makes both"
            if tied
            else "outside no cylinder is long enough for jaws beside what the second setup cuts"
        )
        rest = "makes the whole outside" if first.sections else "leaves the outside free"
        done = "the bore is finished" if first.sections else "bore and outside are made on the bar"
        soft = "in soft jaws turned to it: it is finished" if holder.soft_jaws else "in its jaws"
        whys = (
            f"{why}: {done} first",
            f"the second setup opens {holder.name} in {section.label} over {said(touch, job)}, "
            f"{soft}, and {rest}",
        )
        return ProposedSetups(with_setups(job, first, second), whys)
    return None


def _opened(
    job: Job, shop: Shop, seen: ResolvedPart, chuck: Chuck
) -> tuple[SectionInfo, float, float] | None:
    """Return where jaws open in a bore from its mouth: the longest cylinder, reach and touch.

    Jaws get at a cylinder past wider ones alone. They end behind the face that is cut in front of
    them by what the shop keeps clear of jaws, and behind the corner of the mouth there; in a ring
    too short for that by the least that it keeps between cut and jaws.
    """
    bore = seen.bore
    if bore is None or chuck.kind == "mandrel" or chuck.inside_largest_mm <= 0:
        return None
    mouth = _mouth(bore)
    clear = shop.clearances
    for free in (
        max(clear.never_beyond_jaws, mouth + clear.cut_to_jaws),
        mouth + clear.cut_to_jaws,
    ):
        found = _cylinder_for(job, bore, chuck, seen.total_length - free)
        if found is not None:
            return found
    return None


def _mouth(bore: ResolvedBore) -> float:
    """Return how deep the corner at a through bore's far mouth is; 0: it has none."""
    corner = bore.far_mouth
    return 0.0 if corner is None else max(corner.size, 0.0)


def _cylinder_for(
    job: Job, bore: ResolvedBore, chuck: Chuck, most_reach: float
) -> tuple[SectionInfo, float, float] | None:
    soft = chuck.soft_jaws and chuck.soft_least_grip_mm > 0
    least = chuck.soft_least_grip_mm if soft else chuck.least_grip_mm
    found: list[tuple[float, SectionInfo, float]] = []
    narrowest = 1e9
    for section in bore.sections:
        open_to = min(section.front.r, section.back.r)
        # Behind the work a tool needs room in front of the chuck's body, if the jaws allow it.
        most = max(chuck.jaw_length_mm - _TOOL_ROOM_MM, least - section.front.z)
        most = min(most, chuck.jaw_length_mm)
        reach = rounded_down(min(-section.back.z - _END_MM, most, most_reach), job)
        touch = reach + section.front.z
        fits = chuck.inside_smallest_mm <= 2 * open_to <= chuck.inside_largest_mm
        if section.kind == "cylinder" and fits and open_to < narrowest and touch >= least - SAME_MM:
            found.append((touch, section, reach))
        narrowest = min(narrowest, open_to)
    if not found:
        return None
    touch, section, reach = max(found, key=lambda one: one[0])
    return section, reach, touch


def _bored(
    job: Job, shop: Shop, seen: ResolvedPart, chuck: Chuck, *, turned: bool, whole: bool
) -> tuple[Setup, Job] | None:
    """Return the setup that faces the end in front and finishes the bore, and its job.

    It is parted off where a blade goes through; else the blank is cut to length. None where that
    leaves nothing to hold.

    Parameters
    ----------
    whole : bool
        It makes the outside as well, where the part is parted off.
    """
    assert seen.bore is not None
    grip = bar_grip(job, chuck)
    hole = min(min(s.front.r, s.back.r) for s in seen.bore.sections)
    off = parts_bar(job, shop, hole)
    if off:
        job = on_bar(job, shop, seen, grip, FACED_MM)
    elif job.blank.shape != "steps":
        job = cut_to_length(job, seen.total_length + 2 * RAW_MM, RAW_MM)
        room = seen.total_length + RAW_MM - shop.clearances.never_beyond_jaws
        grip = min(grip, rounded_down(room, job))
    if grip < chuck.least_grip_mm - SAME_MM:
        return None
    numbers = None if off and whole else tuple(sorted(seen.bore.numbers))
    end = "Back end" if turned else "Front end"
    first = first_setup(job, chuck, grip, "Bore" if numbers else f"{end}, parted off")
    return msgspec.structs.replace(first, turned=turned, sections=numbers), job
