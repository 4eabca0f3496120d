"""Findings about hexagon and square bar: its flats, and the cut that meets corner after corner."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TypedDict

import shapely

from turnsketch.blank_sizes import blank_sizes
from turnsketch.findings.blank import blank_too_thin
from turnsketch.findings.metal import level_moves, metal_before, region, top_of
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed, them
from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import Finding, Pass

__all__ = ["flats_stay", "interrupted_cut", "shape_not_held"]


class _Place(TypedDict):
    z: float
    setup: int


_SAME_MM = 0.01
_FAR_MM = 1e4
_SLIVER_MM2 = 0.15
"""What a nose's radius leaves in the corner of the bar's wall is no cut above the flats."""

_STRUCK = ("face", "rough", "finish", "groove", "part off")
"""Operations whose passes may cut above the flats, and whose edge is struck there."""


def _flat_radius(view: PlanView) -> float | None:
    return blank_sizes(view.job.blank, view.job.units).flat_radius


def _count(view: PlanView) -> int:
    return blank_sizes(view.job.blank, view.job.units).flats


def interrupted_cut(view: PlanView) -> Iterator[Finding]:
    """Passes above the flats: the edge strikes at every corner."""
    flat = _flat_radius(view)
    if flat is None:
        return
    struck = [p for p in view.passes(*_STRUCK) if _above(view, p, flat)]
    if not struck:
        return
    carbide = sorted({p.tool for p in struck if view.tool(p.tool).material == "carbide"})
    brittle = "; carbide chips under it" if carbide else ""
    tools = listed(f"T{number}" for number in carbide)
    yield finding(
        "interrupted-cut",
        "caution" if carbide else "note",
        f"{them([p.number for p in struck], 'cuts', 'cut')} above the flats of the "
        f"{view.job.blank.shape} ({view.text(2 * flat)} across): the edge is struck "
        f"{_count(view)} times a turn{brittle}",
        "go no faster than the rows say until the work runs round"
        + (f", with a tough grade or a keen HSS tool in place of {tools}" if carbide else "")
        + "; keep clear: chips fly in bursts",
        pass_number=struck[0].number,
    )


def _above(view: PlanView, made: Pass, flat: float) -> bool:
    """Return whether the metal that a pass takes reaches above the flats."""
    if made.inside:
        return False
    spans = [(low, high) for _, low, high, r in level_moves(made)]
    if made.direction == "plunge":
        spans = [(-_FAR_MM, _FAR_MM)] if any(m.kind == "cut" for m in made.moves) else []
    if made.direction == "face":
        spans = [(m.to.z, _FAR_MM) for m in made.moves if m.kind == "cut"]
    if not spans:
        return False
    played = view.exact.setups[view.index].passes
    after = region(next(p.remaining for p in played if p.number == made.number))
    taken = metal_before(view, made.number).difference(after)
    over = (shapely.clip_by_rect(taken, low, flat + _SAME_MM, high, _FAR_MM) for low, high in spans)
    return any(area.area > _SLIVER_MM2 for area in over)


def flats_stay(view: PlanView) -> Iterator[Finding]:
    """Sections larger than the bar across its flats: they do not run round."""
    sizes = blank_sizes(view.job.blank, view.job.units)
    flat = sizes.flat_radius
    if flat is None:
        return
    if blank_too_thin(view):
        return  # told already, and a thicker bar changes all of it
    wide = [s for s in view.part.sections if s.kind != "face" and _top(s) > flat + _SAME_MM]
    as_bar = [s for s in wide if min(s.front.r, s.back.r) >= sizes.radius - _SAME_MM]
    if as_bar:
        yield finding(
            "flats-left",
            "note",
            f"{listed(s.label for s in as_bar)} stays {view.job.blank.shape}, as the bar is",
            "nothing to do",
            **_place(view, as_bar[0]),
        )
    cut = [s for s in wide if s not in as_bar]
    if cut:
        worst = max(cut, key=_top)
        width = 2 * math.sqrt(_top(worst) ** 2 - flat**2)
        yield finding(
            "flats-on-section",
            "caution",
            f"{listed(s.label for s in cut)} is larger than {view.text(2 * flat)} across the "
            f"flats of the bar: {sizes.flats} flats, {view.text(width)} wide at most, stay on it",
            f"take a bar of {view.text(2 * _top(worst))} across flats or more, unless the print "
            "shows the flats",
            **_place(view, worst),
        )


def _place(view: PlanView, section: SectionInfo) -> _Place:
    """Return where a section stands in the setup that makes it."""
    there = view.at(view.maker((section.front.z + section.back.z) / 2, section.number))
    same = there.section(section.number) or section
    return {"z": there.place(same.front).z, "setup": there.setup.number}


def _top(section: SectionInfo) -> float:
    return max(section.front.r, section.back.r)


def shape_not_held(view: PlanView) -> Iterator[Finding]:
    """Three jaws close on a hexagon, never on a square; a round collet on neither."""
    flat, setup = _flat_radius(view), view.setup
    if flat is None or view.setup_held_inside or view.chuck.kind not in ("three-jaw", "collet"):
        return
    gripped = top_of(metal_before(view, 0), setup.jaw_face_z - setup.grip_mm, setup.jaw_face_z)
    if gripped <= flat + _SAME_MM:
        return
    shape, name = view.job.blank.shape, view.chuck.name
    if view.chuck.kind == "collet":
        yield finding(
            "collet-shape",
            "caution",
            f"{name} has to hold a {shape}: a round collet touches it at its corners alone",
            f"put a {shape} collet of {view.text(2 * flat)} in, or take a chuck",
            z=setup.jaw_face_z,
        )
    elif shape == "square":
        others = [c.name for c in view.shop.chucks if c.kind == "four-jaw"]
        yield finding(
            "shape-not-held",
            "stop",
            f"{name} does not hold a square bar: three jaws find no three faces of it, and it "
            "can be thrown out",
            f"take {listed(others) if others else 'a four-jaw chuck'}, or a square collet",
            z=setup.jaw_face_z,
        )
