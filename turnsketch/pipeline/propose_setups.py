"""The program's proposal of setups: which end first, from what blank, and where the second grips.

Rules after common practice. Both ends are made where the print needs both. What stands between
the front end and the back of the thickest section is made first, the rest with the part turned
around; surfaces that the print ties together stay in one holding. A part of which the back needs
little more than its face comes off the bar first; else the blank is cut to length. The second
holding takes the thickest cylinder that is long enough, in a collet or soft jaws where it is
finished. Slender parts and parts held in their bore have modules of their own.
"""

from __future__ import annotations

import msgspec

from turnsketch.blank_sizes import blank_sizes
from turnsketch.job import Job
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.turned import turned_part
from turnsketch.pipeline.lengths import rounded_down, rounded_up, said
from turnsketch.pipeline.proposal_parts import (
    FACED_MM,
    RAW_MM,
    SAME_MM,
    ProposedSetups,
    back_corner,
    bar_chuck,
    bar_grip,
    behind_part,
    cut_to_length,
    first_setup,
    holds_bar,
    on_bar,
    parts_bar,
    parts_off,
    second_setup,
    sections_to,
    thickest_end,
    tied_across,
    with_setups,
)
from turnsketch.pipeline.propose_inside_grip import (
    bored_then_turned,
    mandrel_setups,
    ring_setups,
)
from turnsketch.pipeline.propose_slender import slender_setups, stands_out
from turnsketch.pipeline.request import planned_part
from turnsketch.pipeline.second_grip import best_grip
from turnsketch.shop.records import Chuck, Shop

__all__ = ["ProposedSetups", "needs_both_ends", "propose_setups"]

_FACED_AWAY_MM = 5.0
"""A blank with steps may be so much longer than its part behind it: that much is faced away."""


def needs_both_ends(part: ResolvedPart) -> bool:
    """Return whether the part's back end needs more than parting off: a setup turned around."""
    back = -part.total_length
    corners = any(c.convex and c.at.z < back + SAME_MM for c in part.corners)
    mouth = part.bore is not None and part.bore.through
    return corners or mouth or part.bore_back is not None or thickest_end(part) > back + SAME_MM


def propose_setups(job: Job, shop: Shop) -> ProposedSetups:
    """Return `job` with setups for both ends of its part, or with one where the front is enough.

    The first setup's device, lathe and bar stay; operation lists are left to the program. In this
    order: one holding for what the print ties together, a mandrel where no holding makes bore and
    outside; the part short in its chuck; supported by centres or pulled out where it is slender;
    held in its bore where nothing outside can be gripped.

    Raises
    ------
    InputError
        When the part's text cannot be read, or a record of the shop file is missing.
    """
    part, chuck = planned_part(job), bar_chuck(job, shop)
    tied = bored_then_turned(job, part)
    if tied:
        made = mandrel_setups(job, shop, part, chuck, tied)
        made = made or ring_setups(job, shop, part, chuck, tied)
        if made is not None:
            return made
    both = needs_both_ends(part)
    short = _short(job, shop, part, chuck, both)
    limit = shop.limits.unsupported_ratio
    ratio = 0.0 if short is None else stands_out(short.job, part)
    opened = ring_setups(job, shop, part, chuck) if short is None or short.tight else None
    if short is not None and ratio <= limit + SAME_MM:
        return opened or short
    across = tied_across(job, part, thickest_end(part))
    slim = None
    if ratio > limit:
        slim = slender_setups(job, shop, part, chuck, both=both, whole=bool(across))
        slim = None if slim is None else _told(slim, across)
    made = slim or opened or short or _one(job, shop, part, chuck)
    if slim is None and ratio > limit:
        why = (
            f"it stands out {ratio:.1f} times its diameter, and neither centre nor pull-out fits: "
            "set a steady rest, or take light cuts"
        )
        return ProposedSetups(made.job, (*made.reasons, why), made.tight)
    return made


def _short(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, both: bool
) -> ProposedSetups | None:
    """Return the setups in chucks alone; None where the other end finds no hold."""
    if not both:
        if _too_short_for_the_blade(job, shop, part, chuck):
            made = _cut_to_length(job, shop, part, chuck, turned=True)
            made = made or _cut_to_length(job, shop, part, chuck, turned=False)
            if made is not None:
                return made
        return _one(job, shop, part, chuck)
    tied = tied_across(job, part, thickest_end(part))
    if thickest_end(part) <= -part.total_length + SAME_MM or tied:
        made = _off_the_bar(job, shop, part, chuck, turned=False)
        if made is not None and parts_off(shop, part):
            return _told(made, tied)
    for turned in (False, True):
        made = _cut_to_length(job, shop, part, chuck, turned=turned)
        if made is not None:
            return made
    found = [_off_the_bar(job, shop, part, chuck, turned=turned) for turned in (False, True)]
    off = [made for made in found if made is not None]
    # Of those that no blade parts the first is better than none: a finding tells of it.
    best = next((made for made in off if not made.tight), off[0] if off else None)
    return None if best is None else _told(best, tied)


def _told(made: ProposedSetups, tied: str) -> ProposedSetups:
    if not tied:
        return made
    one = made.job.setups[0].holding.kind == "chuck"
    why = f"{tied} are tied by the print: " + (
        "the first setup makes them in one holding"
        if one
        else "both setups run on the same centre holes"
    )
    return ProposedSetups(made.job, (*made.reasons, why), made.tight)


def _one(job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck) -> ProposedSetups:
    """Return the job with one setup, parted off; to be sawn off where no blade is to do it."""
    grip = bar_grip(job, chuck)
    job = on_bar(job, shop, part, grip, 0.0)
    long = shop.limits.unsupported_ratio * 2 * blank_sizes(job.blank, job.units).radius
    if parts_off(shop, part) and part.total_length <= long + SAME_MM:
        setup = first_setup(job, chuck, grip, "Turned and parted off")
        why = "the front end and parting off make all of it: one setup is enough"
    else:
        setup = first_setup(job, chuck, grip, "Turned, to be sawn off")
        why = "all but its back is made in one setup; it is sawn off, and its back faced after that"
    return ProposedSetups(with_setups(job, setup), (why,))


def _off_the_bar(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, *, turned: bool
) -> ProposedSetups | None:
    """Return the job with all but one end made on the bar, and that end after parting off.

    `turned`: the part's back end stands in front on the bar.
    """
    seen, end = (turned_part(part), "back") if turned else (part, "front")
    whole, split = -seen.total_length + back_corner(seen), thickest_end(seen)
    sections = None
    held = None
    apart = split > -seen.total_length + SAME_MM and not tied_across(job, seen, split)
    if apart and parts_bar(job, shop):
        held, sections = best_grip(job, shop, seen, chuck, split), sections_to(seen, split)
    if held is None:
        held, sections = best_grip(job, shop, seen, chuck, whole), None
    if held is None:
        return None
    grip = bar_grip(job, chuck)
    job = on_bar(job, shop, part, grip, FACED_MM)
    name = "Back end, parted off" if turned else "Front end, parted off"
    first = msgspec.structs.replace(
        first_setup(job, chuck, grip, name), turned=turned, sections=sections
    )
    second = second_setup(job, held, turned=not turned)
    what = "everything" if sections is None else "all to the thickest section"
    whys = (
        f"the first setup makes {what} that is reached from the {end}, on the bar, and parts "
        f"it off with {said(FACED_MM, job)} more at its other end",
        held.why,
    )
    tight = held.tight or not parts_off(shop, seen)
    return ProposedSetups(with_setups(job, first, second), whys, tight)


def _behind(job: Job, part: ResolvedPart) -> float:
    """Return what a blank that may be cut to length has behind the finished back face."""
    if job.blank.shape != "steps":
        return RAW_MM
    sizes = blank_sizes(job.blank, job.units)
    return sizes.length - sizes.front - part.total_length


def _too_short_for_the_blade(job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck) -> bool:
    """Return whether nothing of a blank with steps is left to hold while the part comes off."""
    needed = behind_part(shop, part, 0.0) + chuck.least_grip_mm
    return job.blank.shape == "steps" and _behind(job, part) < needed - SAME_MM


def _cut_to_length(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, *, turned: bool
) -> ProposedSetups | None:
    """Return the job on a blank cut to length: one end to the thickest section, then the other.

    `turned`: the back end is made first. None where neither end can be gripped so.
    """
    seen = turned_part(part) if turned else part
    split, clear = thickest_end(seen), shop.clearances.never_beyond_jaws
    if not 0 <= _behind(job, part) <= _FACED_AWAY_MM:
        return None
    stepped = turned and job.blank.shape == "steps"
    more = blank_sizes(job.blank, job.units).front if stepped else _behind(job, part)
    room = seen.total_length + split + more - clear
    least = rounded_up(chuck.least_grip_mm, job)
    if room < least - SAME_MM or not holds_bar(job, chuck):
        return None
    grip = min(rounded_down(room, job), bar_grip(job, chuck))
    held = best_grip(job, shop, seen, chuck, split)
    if held is None:
        return None
    job = cut_to_length(job, seen.total_length + 2 * RAW_MM, RAW_MM)
    sections = sections_to(seen, split)
    name = "Back end" if turned else "Front end"
    first = msgspec.structs.replace(
        first_setup(job, chuck, grip, name), turned=turned, sections=sections
    )
    second = second_setup(job, held, turned=not turned)
    end = "back" if turned else "front"
    unit = "in" if job.units == "inch" else "mm"
    cut = "" if job.blank.shape == "steps" else "cut to length, "
    whys = (
        f"the blank is {cut}{job.blank.length} {unit} long: both ends are turned",
        f"the first setup makes the {end} end as far as the thickest section, so that each end "
        "is turned toward the chuck",
        held.why,
    )
    return ProposedSetups(with_setups(job, first, second), whys, held.tight)
