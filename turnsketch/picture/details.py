"""Small figures of one tool and of one way: reference corners, tapers, arcs and step tables."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Literal

from turnsketch.geometry.elements import Arc, Point
from turnsketch.picture.canvas import Figure, Margins
from turnsketch.picture.display_list import Arrow, Box, DisplayList, Fill, Role, Spot, Stroke
from turnsketch.picture.shapes import around, clipped, mirrored, profile, turned_over
from turnsketch.plan_records import Pass, Ring, SetupPlan, ToolRecord

__all__ = ["path_picture", "tool_picture"]

_CHORD = 0.02


def tool_picture(
    tool: ToolRecord,
    width_mm: float,
    height_mm: float,
    corner: Point | None = None,
    touches: Literal["left", "right", "straight edge"] = "left",
) -> DisplayList:
    """Return the end of a tool with its reference corner, seen from where one stands.

    The work is at the top of the picture and the chuck on its left. The two thin lines are what X
    and Z belong to; where they cross is the place that the readout shows.

    Parameters
    ----------
    tool : ToolRecord
        The tool.
    width_mm, height_mm : float
        Room on paper.
    corner : Point, optional
        The corner of the work that is touched for Z, seen from the reference (r upward from it,
        away from the axis); at r = 0 or less the face goes on along the tool. None: no work.
    touches : str
        Side of the tool that touches; or a straight edge on the face touches its right side.
    """
    model = _tool_window(tool)
    figure = Figure(model, width_mm, height_mm, Margins(1, 8, 5, 1))
    if corner is not None:
        _work(figure, corner, touches)
    for passive in (True, False):
        for piece in tool.pieces:
            ring = clipped(turned_over(piece.ring), model)
            if ring and piece.cuts != passive:
                role: Role = "tool" if piece.cuts else "holder"
                figure.add(Fill((ring,), role), Stroke(ring, role, closed=True))
    figure.line("chosen", Point(model.low.z, 0.0), Point(model.high.z, 0.0))
    figure.line("chosen", Point(0.0, model.low.r), Point(0.0, model.high.r))
    # Not the names of axes: along the level line X is the same, along the upright one Z.
    figure.write(Point(model.high.z, 0.0), "X =", anchor="start", offset=(0.6, 0.0), bold=True)
    figure.write(Point(0.0, model.high.r), "Z =", offset=(0.0, 2.5), bold=True)
    figure.add(Spot(Point(0.0, 0.0), "chosen", 1.8))
    return figure.finished(f"T{tool.number}")


def _tool_window(tool: ToolRecord) -> Box:
    """Return what is shown of a tool: its corner, large, and all of a small tool's end."""
    cutting = [piece.ring for piece in tool.pieces if piece.cuts]
    box = around(cutting or [piece.ring for piece in tool.pieces])
    reach = max(7 * tool.nose_radius, 4.0)
    if tool.kind not in ("turning", "round"):
        reach = max(1.4 * box.width, 4.0)
    elif tool.kind == "round":
        reach = max(2.4 * tool.nose_radius, 3.0)
    reach = min(reach, 14.0)
    left, right = {"left": (0.45, 1.05), "centre": (0.75, 0.75), "right": (1.05, 0.45)}[
        tool.reference
    ]
    top = max(0.3 * reach, -1.3 * box.low.r)
    return Box(Point(-left * reach, -0.95 * reach), Point(right * reach, top))


def _work(figure: Figure, corner: Point, touches: str) -> None:
    """Draw the touched work, or the straight edge on its face; turned over like the tool."""
    model = figure.model
    if touches == "straight edge":
        thick = 0.18 * model.width
        side = Box(Point(corner.z, model.low.r), Point(corner.z + thick, model.high.r))
        work = Box(Point(model.low.z, 0.45 * model.high.r), Point(corner.z, model.high.r))
        _block(figure, work, "part")
        _block(figure, side, "jaws")
        return
    low = -corner.r if corner.r > 0 else 0.45 * model.low.r
    ends = (model.low.z, corner.z) if touches == "left" else (corner.z, model.high.z)
    _block(figure, Box(Point(ends[0], low), Point(ends[1], model.high.r)), "part")


def _block(figure: Figure, box: Box, role: Role) -> None:
    ring = (box.low, Point(box.high.z, box.low.r), box.high, Point(box.low.z, box.high.r))
    if box.high.z > box.low.z and box.high.r > box.low.r:
        figure.add(Fill((ring,), role), Stroke(ring, "edge", closed=True))


def _way(step: Pass) -> list[Point]:
    """Return the reference point's way through the cuts of a pass."""
    here, way = step.start, list[Point]()
    for move in step.moves:
        if move.kind != "position":
            arc = move.centre is not None and move.turn is not None
            points = (
                Arc(here, move.to, move.centre, move.turn).chords(_CHORD)  # type: ignore[arg-type]
                if arc
                else [here, move.to]
            )
            way += points if not way else points[1:]
        here = move.to
    return way


def path_picture(
    setup: SetupPlan,
    step: Pass,
    width_mm: float,
    height_mm: float,
    marks: Sequence[tuple[Point, str]] = (),
) -> DisplayList:
    """Return a detail of one pass: the part, the way of the reference point, marked places.

    Parameters
    ----------
    setup, step : SetupPlan, Pass
        The setup and its pass.
    width_mm, height_mm : float
        Room on paper.
    marks : sequence of (Point, str)
        Places on the way, in the setup's frame, each with a letter for the table beside it.
    """
    way = _way(step) or [step.start]
    model = _detail_box(way)
    figure = Figure(model, width_mm, height_mm, Margins(4, 4, 3, 7))
    for ring in setup.part:
        for half in (ring, mirrored(ring)):
            inside = clipped(half, model)
            if inside:
                _solid(figure, inside, model)
    if model.high.r > 0:
        figure.line("axis", Point(model.low.z, 0.0), Point(model.high.z, 0.0))
    below = turned_over(way)
    figure.add(Stroke(below, "chosen"))
    if len(below) > 1:
        figure.add(Arrow(below[-2], below[-1], "chosen"))
    for place, text in marks:
        at = Point(place.z, -place.r)
        figure.add(Spot(at, "chosen", 1.6))
        anchor, offset = _beside(at, below)
        figure.write(at, text, offset=offset, bold=True, anchor=anchor)
    return figure.finished(f"pass {step.number}")


def _beside(at: Point, way: Sequence[Point]) -> tuple[Literal["start", "end"], tuple[float, float]]:
    """Return how a label stands beside a place so that the way does not run through it.

    At the front end it stands beyond it on Z; at the other also below, off the part's outline.
    """
    other = way[-1] if at.distance(way[0]) <= at.distance(way[-1]) else way[0]
    right = at.z >= other.z
    return ("start", (1.8, -1.2)) if right else ("end", (-1.4, -3.8))


def _detail_box(way: Sequence[Point]) -> Box:
    """Return a window around the way turned over, with some part beside it."""
    box = around([turned_over(way)])
    margin = max(0.4 * max(box.width, box.height), 2.0)
    low, high = box.low, box.high
    return Box(
        Point(low.z - margin, low.r - 0.6 * margin),
        Point(high.z + margin, min(high.r + margin, 0.25 * margin)),
    )


def _solid(figure: Figure, ring: Ring, edge: Box) -> None:
    """Fill a clipped piece of the part and draw its outline, but not the window's edge."""
    figure.fill([ring], "part")
    for line in profile(ring):
        for a, b in itertools.pairwise(line):
            on_side = a.z == b.z and a.z in (edge.low.z, edge.high.z)
            on_end = a.r == b.r and a.r in (edge.low.r, edge.high.r)
            if not (on_side or on_end):
                figure.line("outline", a, b)
