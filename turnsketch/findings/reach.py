"""Findings about metal that stays although it is not part."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed
from turnsketch.geometry.elements import Point
from turnsketch.part.outline_records import Outline, SectionInfo
from turnsketch.part.turned import turned_point
from turnsketch.plan_records import Finding, LeftOver
from turnsketch.units import from_mm, to_mm

__all__ = ["corners_left", "cusps_left", "left_over", "off_size"]

ALLOWED_OFF_MM = 0.005
"""How far the exact moves may leave the aimed surface outside reported left-overs."""

_TOLD = ("cusp", "groove", "ring corner")
"""Causes that have findings of their own, or need none."""

_TOOL = re.compile(r"T\d+ \([^)]*\)")
"""A tool with its radius, as reasons name it."""

_NEAR_CORNER = 2.0
"""The corner of a left-over is looked for so many of its radii around it."""


def corners_left(view: PlanView) -> Iterator[Finding]:
    """Inside corners keep the nose's radius: a note where the print allows it."""
    allowed = view.part.inside_corner_mm
    groups: dict[tuple[bool, str], list[LeftOver]] = {}
    for left in view.left_over:
        if _in_corner(left):
            within = allowed is not None and (left.fillet_mm or 0.0) <= allowed + 1e-9
            # What the print allows needs one note, whichever tools leave it.
            groups.setdefault((within, "" if within else left.reason), []).append(left)
    for (within, _), found in groups.items():
        worst = max(found, key=lambda left: left.height_mm)
        reason = _together(found)
        places = listed(view.z(_corner_z(view, left)) for left in found)
        yield finding(
            "left-over-nose",
            "note" if within else "caution",
            f"{_in_corners(reason, len(found))} at {places}, {view.text(worst.height_mm)} high "
            f"at most; {_print_says(view, within)}",
            "nothing to do" if within else _remedies(found),
            z=_corner_z(view, worst),
        )


def _together(found: Sequence[LeftOver]) -> str:
    """Return the reason of several corners, each tool named once."""
    reasons = list(dict.fromkeys(left.reason for left in found))
    if len(reasons) == 1:
        return reasons[0]
    tools = listed(dict.fromkeys(tool for reason in reasons for tool in _TOOL.findall(reason)))
    return f"the corners of {tools} stay in the inside corner"


def _in_corner(left: LeftOver) -> bool:
    """Return whether a left-over is what a nose leaves in a corner.

    In a square corner it stands 0.41 of the radius high, in one of 60 degrees the whole radius.
    """
    return (
        left.cause == "nose"
        and left.fillet_mm is not None
        and left.height_mm <= left.fillet_mm + 1e-3
    )


def _in_corners(reason: str, count: int) -> str:
    """Return the reason for several corners."""
    told = reason.replace(" stays in ", " leaves its radius in ")
    told = told.replace(" stay in ", " leave their radii in ")
    return told if count == 1 else told.replace("the inside corner", f"{count} inside corners")


def _print_says(view: PlanView, within: bool) -> str:
    allowed = view.part.inside_corner_mm
    if allowed is None:
        return "the print does not say what may stay there"
    size = f"{from_mm(allowed, view.job.units):.3g}"
    return f"the print allows R{size}" if within else f"the print allows no more than R{size}"


def _corner_z(view: PlanView, left: LeftOver) -> float:
    """Return z of the inside corner that a left-over stands in; its middle when there is none."""
    corners = [view.place(place).z for place in _inside_corners(view)]
    middle = (left.z[0] + left.z[1]) / 2
    nearest = min(corners, key=lambda z: abs(z - middle), default=middle)
    reach = _NEAR_CORNER * (left.fillet_mm or 0.0)
    return nearest if abs(nearest - middle) <= reach else middle


def _inside_corners(view: PlanView) -> Iterator[Point]:
    """Yield the inside corners of the metal; a bore's chain tells its void the other way round."""
    part, length = view.part, view.part.total_length
    yield from _joined(part.aim, "reflex")
    if part.bore is not None:
        yield from _joined(part.bore.aim, "convex")
    if part.bore_back is not None:
        yield from (turned_point(p, length) for p in _joined(part.bore_back.aim, "convex"))


def _joined(outline: Outline, wanted: str) -> Iterator[Point]:
    for index, join in enumerate(outline.joins):
        if join == wanted:
            yield outline.elements[index].shape.end


def cusps_left(view: PlanView) -> Iterator[Finding]:
    """What the steps of a step table leave between them."""
    found = [left for left in view.left_over if left.cause == "cusp"]
    if not found:
        return
    worst = max(found, key=lambda left: left.height_mm)
    surfaces = [p.surface for p in view.setup.passes if p.steps is not None]
    yield finding(
        "left-over-cusp",
        "note",
        f"the step table leaves cusps on {listed(surfaces)}, {view.fine(worst.height_mm)} high "
        "at most",
        "file them off to the gauge",
        z=_middle(worst),
    )


def left_over(view: PlanView) -> Iterator[Finding]:
    """Metal that stands although it is not part: its place, cause and remedy."""
    groups: dict[tuple[str, str], list[LeftOver]] = {}
    for left in view.left_over:
        if left.cause not in _TOLD and not _in_corner(left):
            groups.setdefault((left.cause, left.reason), []).append(left)
    for (cause, reason), found in groups.items():
        worst = max(found, key=lambda left: left.volume_mm3)
        high = max(left.height_mm for left in found)
        yield finding(
            f"left-over-{cause.replace(' ', '-') or 'metal'}",
            "caution",
            f"metal stays {_stretches(view, found)}, {view.text(high)} high at most, "
            f"{view.volume(sum(left.volume_mm3 for left in found))}: {reason}",
            _remedies(found),
            z=_middle(worst),
        )


def _stretches(view: PlanView, found: Sequence[LeftOver]) -> str:
    return "from " + listed(f"{view.z(left.z[1])} to {view.z(left.z[0])}" for left in found)


def _remedies(found: Sequence[LeftOver]) -> str:
    return "; ".join(dict.fromkeys(left.remedy for left in found if left.remedy))


def _middle(left: LeftOver) -> float:
    return (left.z[0] + left.z[1]) / 2


def off_size(view: PlanView) -> Iterator[Finding]:
    """A surface that comes out further from its aim than it may, though nothing is left over."""
    step = to_mm(max(view.rounder.x_step / 2, view.rounder.z_step), view.job.units)
    for finished, how, allowed in (
        (view.plan.finished, "", ALLOWED_OFF_MM),
        (view.plan.finished_as_read, " with the readings as rounded", ALLOWED_OFF_MM + step),
    ):
        if finished.over_mm <= allowed:
            continue
        worst = max(finished.sections, key=lambda d: d.over_mm, default=None)
        section = view.section(worst.section) if worst else None
        if not view.makes(section) if section else view.index > 0:
            return  # said of the setup that makes it
        yield _over(view, section, finished.over_mm, how)
        return


def _over(view: PlanView, section: SectionInfo | None, over: float, how: str) -> Finding:
    return finding(
        "over-size",
        "caution",
        f"{section.label if section else 'a surface'} comes out {view.fine(over)} over what is "
        f"aimed at{how}",
        "measure it, and take the rest in one more cut",
        z=view.place(section.front).z if section else None,
    )
