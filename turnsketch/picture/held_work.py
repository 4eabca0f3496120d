"""Work in its holding as the figures draw it: jaws, blank, solid metal, axis.

Jaws, blank and part are shown with both halves, so the pictures are right for a tool in front of
the work as for one behind it.
"""

from __future__ import annotations

from collections.abc import Sequence

from turnsketch.geometry.elements import Point
from turnsketch.picture.canvas import Figure
from turnsketch.picture.display_list import Box, Stroke
from turnsketch.picture.shapes import around, clipped, kinks, mirrored, profile
from turnsketch.plan_records import Obstacle, Ring, SetupPlan

__all__ = [
    "INSIDE",
    "KNURL_MM",
    "both_halves",
    "draw_axis",
    "draw_blank",
    "draw_body",
    "draw_holding",
    "working_box",
]

_AHEAD_OF_FACE_MM = 3.0
_BEHIND_JAWS_MM = 6.0

KNURL_MM = 1.6
"""Distance of a knurl's lines on paper."""

INSIDE = ("jaws in the bore", "mandrel")
"""Obstacles that hold the work from inside; the chuck's body begins where they do."""

_JAW_SHARE = 1.75
"""Jaws are cut off at this share of the blank's radius: the work is what matters."""


def working_box(setup: SetupPlan) -> Box:
    """Return what a picture of `setup` should show: blank and jaws, cut behind the jaws."""
    blank = around(setup.blank)
    radius = blank.high.r
    front, back = blank.high.z, blank.low.z
    for obstacle in setup.obstacles:
        if _is_body(obstacle):
            continue
        box = around([obstacle.ring])
        if obstacle.name in INSIDE:
            back = min(back, box.low.z)
        elif box.high.z <= setup.jaw_face_z + 1e-6:
            radius = max(radius, min(box.high.r, _JAW_SHARE * blank.high.r))
            back = max(min(back, box.low.z), box.low.z - _BEHIND_JAWS_MM)
        else:
            front = max(front, min(box.high.z, blank.high.z + 40.0))
    front = max(front, setup.raw_front_z) + _AHEAD_OF_FACE_MM
    return Box(Point(back - _BEHIND_JAWS_MM, -radius), Point(front, radius))


def _is_body(obstacle: Obstacle) -> bool:
    return "body" in obstacle.name


def draw_holding(
    figure: Figure, setup: SetupPlan, halves: Sequence[int] = (1, -1), by_pass: int | None = None
) -> None:
    """Draw jaws, chuck body and centre, cut off at the picture's edge.

    With `by_pass` only what is in place when that pass is cut: a centre needs its hole first.
    """
    for obstacle in sorted(setup.obstacles, key=lambda o: not _is_body(o)):
        ring = clipped(obstacle.ring, figure.model)
        waits = by_pass is not None and by_pass < (obstacle.from_pass or 0)
        if not ring or waits:
            continue
        for half in halves:
            shown = ring if half > 0 else mirrored(ring)
            figure.fill([shown], "jaws")
            figure.add(Stroke(shown, "jaws", closed=True))


def both_halves(rings: Sequence[Ring]) -> list[Ring]:
    """Return rings with their mirror images below the axis."""
    return [*rings, *(mirrored(ring) for ring in rings)]


def draw_body(figure: Figure, rings: Sequence[Ring], *, wide: bool = True) -> None:
    """Draw solid metal with both halves: fill, edges across it, outline."""
    inside = [ring for ring in (clipped(r, figure.model) for r in rings) if ring]
    for half in (inside, [mirrored(ring) for ring in inside]):
        figure.fill(half, "part")
    for ring in inside:
        for corner in kinks(ring, figure.paper(0.5)):
            figure.line("narrow", corner, Point(corner.z, -corner.r))
    for ring in both_halves(inside):
        for line in profile(ring):
            figure.add(Stroke(line, "outline" if wide else "edge"))


def draw_axis(figure: Figure) -> None:
    """Draw the axis a little beyond the picture's ends."""
    box = figure.model
    figure.line(
        "axis",
        Point(box.low.z - figure.paper(2), 0.0),
        Point(box.high.z + figure.paper(2), 0.0),
    )


def draw_blank(figure: Figure, setup: SetupPlan, halves: Sequence[int] = (1, -1)) -> None:
    """Draw the outline of the blank, cut off at the picture's edge."""
    for ring in setup.blank:
        inside = clipped(ring, figure.model)
        if inside:
            for half in halves:
                for line in profile(inside if half > 0 else mirrored(inside)):
                    figure.add(Stroke(line, "blank"))
