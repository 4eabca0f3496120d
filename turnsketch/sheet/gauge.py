"""The gauge page: profiles of arcs and tapers in true size, to be cut out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import LineString
from shapely import Point as ShapelyPoint

from turnsketch.geometry.elements import Arc, Point
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.picture.gauge import check_bar, gauge_picture
from turnsketch.picture.shapes import around
from turnsketch.plan_records import Pass, SetupPlan, ToolRecord
from turnsketch.sheet.blocks import Block, Drawing, Grid, GridRow, Heading, NewPage, Space, Words
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput
from turnsketch.units import INCH_MM

__all__ = ["gauge_blocks"]

_CHORD = 0.01
_SHAPES = ("arc", "taper")
_BESIDE_MM = 5.0
"""How far a gauge reaches over the neighbours of its arc or taper."""
_GRIP_MM = 14.0
"""Paper above the profile, to hold it by."""


def gauge_blocks(
    given: SheetInput, numbers: Numbers, width: float, height: float
) -> Iterator[Block]:
    """Yield a gauge page for each setup that turns arcs or tapers, in that setup's own frame."""
    several = len(given.plan.setups) > 1
    for setup in given.plan.setups:
        part = given.part_in(setup)
        windows = _windows(part, width - 8.0, _turned_in(given, setup))
        if not windows:
            continue
        yield NewPage()
        of = f"Gauge for setup {setup.number}" if several else "Gauge"
        yield Heading(f"{of}, true size: cut out, lay on the work, look for light")
        shift = around(setup.part).high.z if setup.part else 0.0
        line = _profile(part, shift)
        marks = [z for step in setup.passes for z in _contacts(setup, step, line, numbers)]
        yield from _how_to_cut(numbers, width, marked=bool(marks))
        for low, high in windows:
            place = (low + shift, high + shift)
            picture = gauge_picture(line, marks, place, _GRIP_MM, numbers.near)
            if picture.height_mm < height - 30.0:
                yield Space(3.0)
                yield Grid((width,), (GridRow((Drawing(picture),)),), ruled=False)


def _how_to_cut(numbers: Numbers, width: float, *, marked: bool) -> Iterator[Block]:
    """Yield the bar to be measured first, and what holds for cutting a gauge out."""
    bar, name = (50.0, "50 mm") if numbers.units == "mm" else (2 * INCH_MM, "2 in")
    yield Grid((width,), (GridRow((Drawing(check_bar(bar, f"this bar measures {name}")),)),),
               ruled=False)  # fmt: skip
    marks = "Marks: where each step of the table meets the work. " if marked else ""
    good = "0.2 mm" if numbers.units == "mm" else ".008 in"
    yield Words(
        "Print at 100 %, not fitted to the page, and measure the bar first. Cut along the line "
        "beside the hatching; the hatched side is the work, the chuck on its left. "
        f"{marks}Lay it on with the spindle stopped. Paper is good to {good}: sizes are measured, "
        "the gauge shows the shape.",
        10.0,
    )


def _turned_in(given: SheetInput, setup: SetupPlan) -> frozenset[int]:
    """Return the arcs and tapers that a setup turns; the first one keeps those that none turns."""
    cut = {
        one.number: {p.section for p in one.passes if p.last_on_surface and not p.inside}
        for one in given.plan.setups
    }
    known = {section.number for section in given.part.sections if section.kind in _SHAPES}
    own = {number for number in known if number in cut[setup.number]}
    if setup is given.plan.setups[0]:
        own |= known - set().union(*cut.values())
    return frozenset(own)


def _contacts(setup: SetupPlan, step: Pass, line: list[Point], numbers: Numbers) -> Iterator[float]:
    """Yield Z at which each step of a last step table makes the profile.

    The table holds readings of the tool's reference; what touches the profile is the point of it
    that lies nearest to the nose's centre, or to that of a blade's corner that lies nearer.
    """
    tool = next((t for t in setup.tools if t.number == step.tool), None)
    if step.steps is None or tool is None or not step.last_on_surface:
        return
    unit = 1.0 if numbers.units == "mm" else INCH_MM
    nose, shifts = tool.nose_radius, _nose_centres(tool)
    profile = LineString([(p.z, p.r) for p in line])
    for row in step.steps.rows:
        places = [ShapelyPoint(row.z * unit + s, row.x * unit / 2 + nose) for s in shifts]
        centre = min(places, key=profile.distance)
        yield float(profile.interpolate(profile.project(centre)).x)


def _nose_centres(tool: ToolRecord) -> tuple[float, ...]:
    """Return how far along Z the centres of a tool's noses stand from its reference."""
    nose = tool.nose_radius
    if tool.kind == "parting":
        ends = [p.z for piece in tool.pieces if piece.cuts for p in piece.ring]
        return min(ends) + nose, max(ends) - nose
    return ({"left": nose, "centre": 0.0, "right": -nose}[tool.reference],)


def _windows(
    part: ResolvedPart, widest: float, wanted: frozenset[int]
) -> list[tuple[float, float]]:
    """Return places on Z, in the part's own frame, around neighbouring sections of these."""
    spans: list[list[float]] = []
    # A part turned around lists its sections from the back.
    for section in sorted(part.sections, key=lambda s: -max(s.front.z, s.back.z)):
        if section.number in wanted:
            ends = [
                z
                for element in part.aim.elements
                if element.section == section.number
                for z in (element.shape.start.z, element.shape.end.z)
            ] or [section.front.z, section.back.z]
            low = max(math.floor(min(ends) - _BESIDE_MM), -part.total_length)
            high = min(math.ceil(max(ends) + _BESIDE_MM), 0.0)
            if spans and spans[-1][0] <= high and spans[-1][1] - low <= widest:
                spans[-1][0] = low
            else:
                spans.append([low, high])
    windows: list[tuple[float, float]] = []
    for low, high in spans:
        top = high
        while top - low > widest:
            windows.append((top - widest, top))
            top -= widest
        windows.append((low, top))
    return windows


def _profile(part: ResolvedPart, shift: float) -> list[Point]:
    """Return the outline that can be seen from beside, without the faces on the axis."""
    points: list[Point] = []
    for element in part.aim.elements:
        shape = element.shape
        chords = shape.chords(_CHORD) if isinstance(shape, Arc) else [shape.start, shape.end]
        points += [Point(p.z + shift, p.r) for p in (chords if not points else chords[1:])]
    return points
