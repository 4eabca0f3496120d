"""The profile in true size, to be cut out and laid on the work as a gauge.

The paper is the air beside the work: the work's side of the line is cut away. Above the line stand
marks where steps of a step table end, below it, in the waste, nothing.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from turnsketch.geometry.elements import Point
from turnsketch.picture.canvas import Figure, Margins
from turnsketch.picture.display_list import Anchor, Box, DisplayList, Stroke
from turnsketch.picture.shapes import hatching

__all__ = ["check_bar", "gauge_picture"]

_MARGINS = Margins(2.0, 2.0, 2.0, 11.0)
_TICK_MM = 3.0


def gauge_picture(
    line: Sequence[Point],
    marks: Sequence[float],
    window: tuple[float, float],
    depth: float,
    place: Callable[[float], str],
) -> DisplayList:
    """Return a gauge of the profile between two places on Z, at a scale of exactly one.

    Parameters
    ----------
    line : sequence of Point
        The profile, front to back or back to front, in the setup's frame.
    marks : sequence of float
        Z of the steps to be marked.
    window : tuple of float
        Least and greatest Z of the gauge.
    depth : float
        Height of paper kept above the highest point of the profile, millimetres.
    place : callable
        Writes a Z given in millimetres.
    """
    inside = _between(line, *window)
    low, high = min(p.r for p in inside), max(p.r for p in inside)
    base = max(low - 6.0, 0.0)
    model = Box(Point(window[0], base), Point(window[1], high + depth))
    figure = Figure(
        model,
        model.width + _MARGINS.left + _MARGINS.right,
        model.height + _MARGINS.top + _MARGINS.bottom,
        _MARGINS,
    )
    waste = (*inside, Point(inside[-1].z, base), Point(inside[0].z, base))
    figure.add(*hatching([waste], 3.0))
    edge = Point(model.low.z, model.high.r), Point(model.high.z, model.high.r)
    figure.add(Stroke((inside[0], *_lid(inside, edge), inside[-1]), "narrow"))
    figure.add(Stroke(tuple(inside), "edge"))
    for z in marks:
        r = _height(inside, z)
        if r is not None:
            figure.line("narrow", Point(z, r), Point(z, r + _TICK_MM))
    ends: tuple[tuple[float, Anchor, float], ...] = (
        (window[0], "start", -3.5),
        (window[1], "end", -8.0),
    )
    for z, anchor, down in ends:
        figure.write(Point(z, base), f"Z {place(z)}", anchor=anchor, offset=(0.0, down))
    return figure.finished("gauge")


def _lid(inside: Sequence[Point], edge: tuple[Point, Point]) -> tuple[Point, Point]:
    """Return the gauge's upper corners in the order in which the profile runs."""
    return edge if inside[0].z < inside[-1].z else (edge[1], edge[0])


def _between(line: Sequence[Point], low: float, high: float) -> list[Point]:
    """Return the part of a profile between two places on Z, its ends put in exactly."""
    kept: list[Point] = []
    for a, b in itertools.pairwise(line):
        for z in sorted((low, high), reverse=a.z > b.z):
            if (a.z - z) * (b.z - z) < 0:
                kept.append(Point(z, a.r + (z - a.z) / (b.z - a.z) * (b.r - a.r)))
        if low <= b.z <= high:
            kept.append(b)
    if line and low <= line[0].z <= high:
        kept.insert(0, line[0])
    return kept


def _height(line: Sequence[Point], z: float) -> float | None:
    found = [
        a.r + ((z - a.z) / (b.z - a.z) if b.z != a.z else 0.0) * (b.r - a.r)
        for a, b in itertools.pairwise(line)
        if min(a.z, b.z) <= z <= max(a.z, b.z)
    ]
    return max(found, default=None)


def check_bar(length_mm: float, text: str) -> DisplayList:
    """Return a bar of exactly this length on paper, to be measured before the gauge is cut."""
    model = Box(Point(0.0, 0.0), Point(length_mm, 4.0))
    margins = Margins(1.0, 120.0, 1.0, 1.0)
    figure = Figure(model, length_mm + 121.0, 6.0, margins)
    figure.line("outline", Point(0.0, 2.0), Point(length_mm, 2.0))
    for z in (0.0, length_mm):
        figure.line("outline", Point(z, 0.0), Point(z, 4.0))
    figure.write(Point(length_mm, 2.0), text, anchor="start", offset=(3.0, 0.0))
    return figure.finished("check bar")
