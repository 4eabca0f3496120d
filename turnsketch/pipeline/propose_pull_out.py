"""Setups that pull the bar out step by step: each piece is cut beside the jaws. Common practice.

For a slender part whose end may keep no centre hole, of bar that goes through the chuck.
"""

from __future__ import annotations

import msgspec

from turnsketch.blank_sizes import blank_sizes
from turnsketch.job import Job, Setup
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.pipeline.lengths import length_of, rounded_up, said
from turnsketch.pipeline.proposal_parts import (
    FACED_MM,
    SAME_MM,
    ProposedSetups,
    back_corner,
    bar_grip,
    behind_part,
    first_setup,
    on_bar,
    second_setup,
    sections_to,
    times_as_long,
    with_setups,
)
from turnsketch.pipeline.second_grip import best_grip
from turnsketch.shop.records import Chuck, Shop

__all__ = ["pulled_out"]


def pulled_out(
    job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, both: bool
) -> ProposedSetups | None:
    """Return the part made piece by piece beside the jaws, the bar pulled out in between."""
    bar = blank_sizes(job.blank, job.units)
    if 2 * bar.radius > chuck.bore_mm + SAME_MM or job.blank.shape in ("steps", "tube"):
        return None
    clear = shop.clearances.never_beyond_jaws
    more = FACED_MM if both else 0.0
    last = part.total_length + behind_part(shop, part, more)
    outs = _stick_outs(part, bar.front, shop.limits.unsupported_ratio * 2 * bar.radius, clear, last)
    held = best_grip(job, shop, part, chuck, -part.total_length + back_corner(part))
    if outs is None or len(outs) < 2 or (both and held is None):
        return None
    reach = [rounded_up(out, job) for _, out in outs]
    grip = bar_grip(job, chuck)
    job = on_bar(job, shop, part, grip, more)
    length = blank_sizes(job.blank, job.units).length
    grips = [length - bar.front - out for out in reach]
    setups = [first_setup(job, chuck, grips[0], "Front end, short in the chuck")]
    setups[0] = msgspec.structs.replace(setups[0], sections=outs[0][0])
    for number, (sections, _) in enumerate(outs[1:], 1):
        holding = msgspec.structs.replace(setups[0].holding, grip=None)
        pulled = length_of(grips[number - 1] - grips[number], job)
        end = number == len(outs) - 1
        name = f"Pulled out {said(grips[number - 1] - grips[number], job)}"
        setups.append(Setup(holding, name, pull_out=pulled, sections=None if end else sections))
    unit = "stays short in the chuck and is pulled out through it"
    whys = [
        f"it is {times_as_long(job, part)} and has no centre: the bar {unit}, so that each "
        f"piece is cut within {shop.limits.unsupported_ratio:g} diameters of the jaws",
        "after each pull Z is found again on the finished front face",
    ]
    if both and held is not None:
        setups.append(second_setup(job, held, turned=True))
        whys.append(held.why)
    return ProposedSetups(with_setups(job, *setups), tuple(whys))


def _stick_outs(
    part: ResolvedPart, front: float, most: float, clear: float, last: float
) -> list[tuple[tuple[int, ...], float]] | None:
    """Return for each piece the sections to its end, and how far the bar stands out for it.

    The stick-out is measured from the finished front face; None where one section alone is longer
    than may stand out.
    """
    ends = sorted({-s.back.z for s in part.sections if s.kind != "face"})
    found: list[tuple[tuple[int, ...], float]] = []
    start = -front
    while ends:
        whole = last if ends[-1] >= part.total_length - SAME_MM else ends[-1] + clear
        if whole - start <= most + SAME_MM:
            found.append((sections_to(part, -ends[-1]), whole))
            return found
        within = [end for end in ends[:-1] if end + clear - start <= most + SAME_MM]
        if not within:
            return None
        end = max(within)
        found.append((sections_to(part, -end), end + clear))
        start, ends = end, [e for e in ends if e > end + SAME_MM]
    return None
