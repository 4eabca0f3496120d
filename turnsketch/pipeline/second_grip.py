"""Where a part that is turned around is held: on the best cylinder that the first setup made."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from turnsketch.job import Job
from turnsketch.part.outline_records import ResolvedPart, SectionInfo
from turnsketch.pipeline.lengths import rounded_down, said
from turnsketch.shop.records import Chuck, Shop

__all__ = ["AROUND", "Grip", "best_grip"]

AROUND = ("three-jaw", "four-jaw", "collet")
"""Kinds of chucks that hold work from outside."""

_SAME_MM = 1e-6
_STEP_MM = 0.01
_SHOULDER_MM = 0.5
"""Between the jaws' face and a shoulder that they would come against."""

_TOOL_ROOM_MM = 10.0
"""Between the jaws and what the second setup cuts, where there is room: a tool and its holder."""

_STEADY_SHARE = 0.75
"""A hold so long, in diameters, is preferred to a thicker one that is shorter."""


@dataclass(frozen=True, slots=True)
class Grip:
    """Where the second setup holds the part, seen from the end made first."""

    section: SectionInfo
    chuck: Chuck
    soft: bool
    length: float
    """How far the part reaches into it."""
    touch: float
    """How much of that it touches."""
    why: str
    tight: bool = False
    """No tool and its holder stand between the jaws and what is cut."""


def best_grip(job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, worked: float) -> Grip | None:
    """Return the best hold on what the first setup made.

    Parameters
    ----------
    part : ResolvedPart
        With the end made first in front.
    worked : float
        z at which the second setup begins to cut: the jaws stay in front of it.
    """
    for room in (_TOOL_ROOM_MM, shop.clearances.never_beyond_jaws):
        found = list(_grips(job, shop, part, chuck, worked + room))
        if found:
            # Long enough first, then the thickest, then what does not mark it.
            best = max(
                found,
                key=lambda g: (
                    g.touch >= _STEADY_SHARE * 2 * g.section.front.r,
                    round(g.section.front.r, 2),
                    g.soft or g.chuck.kind == "collet",
                    g.touch,
                ),
            )
            return replace(best, tight=room < _TOOL_ROOM_MM)
    return None


def _grips(job: Job, shop: Shop, part: ResolvedPart, chuck: Chuck, line: float) -> Iterator[Grip]:
    """Yield every cylinder that can be held in front of `line`, in each device that takes it."""
    broken = {t.section for t in part.threads} | {g.section for g in part.grooves}
    for section in part.sections:
        edges = _edges(part, section)
        start, end = -section.front.z + edges[0], -section.back.z - edges[1]
        if section.kind != "cylinder" or section.number in broken or section.front.z <= line:
            continue
        before = [s for s in part.sections if s.back.z > section.front.z - _SAME_MM]
        if any(max(s.front.r, s.back.r) > section.front.r + _STEP_MM for s in before):
            continue
        follows = [s for s in part.sections if abs(s.front.z - section.back.z) < _SAME_MM]
        shoulder = any(max(s.front.r, s.back.r) > section.front.r + _STEP_MM for s in follows)
        most = min(end - (_SHOULDER_MM if shoulder else 0.0), -line)
        for device in (chuck, *(c for c in shop.chucks if c.kind == "collet")):
            found = _in_device(job, section, device, start, most)
            if found is not None:
                yield found


def _edges(part: ResolvedPart, section: SectionInfo) -> tuple[float, float]:
    """Return how much of a cylinder the chamfers or rounds at its two ends take away."""
    corners = [c for c in part.corners if c.convex]
    front = (c.size for c in corners if c.between[1] == section.number)
    back = (c.size for c in corners if c.between[0] == section.number)
    return max(front, default=0.0), max(back, default=0.0)


def _in_device(
    job: Job, section: SectionInfo, chuck: Chuck, start: float, most: float
) -> Grip | None:
    """Return the hold on one cylinder in one chuck or collet; None where it is too short."""
    size = 2 * section.front.r
    if chuck.kind not in AROUND or not chuck.smallest_mm <= size <= chuck.largest_mm:
        return None
    soft = chuck.soft_jaws and chuck.kind != "collet"
    least = chuck.soft_least_grip_mm if soft and chuck.soft_least_grip_mm else chuck.least_grip_mm
    reach = most if size <= chuck.bore_mm else min(most, chuck.jaw_length_mm)
    length = rounded_down(min(reach, start + chuck.jaw_length_mm), job)
    if length - start < least - _SAME_MM:
        return None
    how = "in soft jaws bored to it" if soft else f"in {chuck.name}"
    unmarked = soft or chuck.kind == "collet"
    why = (
        f"the second setup grips {section.label}, the thickest that is long enough, over "
        f"{said(length - start, job)}, {how}"
        + (": it is finished and must not be marked" if unmarked else "")
    )
    return Grip(section, chuck, soft, length, length - start, why)
