"""The figures of what is cut: each operation of a setup, and the part in its blank."""

from __future__ import annotations

from collections.abc import Sequence

from turnsketch.geometry.elements import Point
from turnsketch.picture.canvas import Figure, Margins
from turnsketch.picture.display_list import DisplayList, Stroke
from turnsketch.picture.held_work import (
    KNURL_MM,
    draw_axis,
    draw_blank,
    draw_body,
    draw_holding,
    working_box,
)
from turnsketch.picture.knurls import knurl_strokes
from turnsketch.picture.layers import Layer
from turnsketch.picture.shapes import around, clipped, hatching, kinks, mirrored, profile
from turnsketch.picture.silhouette import silhouette
from turnsketch.picture.threads import thread_strokes
from turnsketch.plan_records import Ring, SetupPlan
from turnsketch.units import Units, from_mm

__all__ = ["operation_picture", "part_in_blank"]


def operation_picture(
    setup: SetupPlan, cuts: Sequence[Layer], operation: int, width_mm: float, height_mm: float
) -> DisplayList:
    """Return the small picture of one operation: what it takes, and what stands after it.

    Parameters
    ----------
    setup : SetupPlan
        The setup.
    cuts : sequence of Layer
        All its layers (`turnsketch.picture.layers.layers`).
    operation : int
        Number of the operation in the setup's list, from 1.
    width_mm, height_mm : float
        Room on paper.
    """
    figure = Figure(working_box(setup), width_mm, height_mm, Margins(2.5, 2.5, 1, 1))
    own = [layer for layer in cuts if layer.operation_number == operation]
    before = [layer for layer in cuts if layer.operation_number <= operation]
    standing = own[-1].remaining if own else before[-1].remaining if before else setup.blank
    draw_holding(figure, setup, by_pass=max((layer.pass_number for layer in before), default=0))
    draw_body(figure, standing)
    _tinted(figure, own, (1, -1))
    figure.add(*thread_strokes(setup, operation))
    figure.add(*knurl_strokes(setup, figure.paper(KNURL_MM), operation))
    draw_blank(figure, setup)
    draw_axis(figure)
    return figure.finished(f"operation {operation}")


def _tinted(figure: Figure, cuts: Sequence[Layer], halves: Sequence[int]) -> None:
    """Draw layers in sand, the first one lightest."""
    for index, layer in enumerate(cuts):
        level = index / max(len(cuts) - 1, 1)
        for half in halves:
            rings = [r if half > 0 else mirrored(r) for r in layer.removed]
            figure.fill(rings, "layer", level)
            for ring in rings:
                for line in profile(ring):
                    figure.add(Stroke(line, "layer"))


def part_in_blank(
    setup: SetupPlan,
    cuts: Sequence[Layer],
    width_mm: float,
    height_mm: float,
    units: Units = "mm",
) -> DisplayList:
    """Return the part in its blank: above the axis the cut half with its layers, below the body.

    Layers are tinted in the order in which they come off. Jaws stand where they hold. `units` is
    for the blank's label alone.
    """
    figure = Figure(working_box(setup), width_mm, height_mm, Margins(3, 3, 9, 8))
    draw_holding(figure, setup)
    whole = clipped(setup.blank[0], figure.model) if setup.blank else ()
    figure.fill([whole], "paper")
    _tinted(figure, cuts, (1,))
    figure.fill(setup.part, "part")
    figure.add(*hatching(setup.part, figure.paper(2.2)))
    body = silhouette(setup.part)
    _shaded(figure, body)
    # Below the axis it is seen from outside: a bore does not show.
    for ring in (*setup.part, *(mirrored(ring) for ring in body)):
        for line in profile(ring):
            figure.add(Stroke(line, "outline"))
    figure.add(*thread_strokes(setup))
    draw_blank(figure, setup)
    draw_axis(figure)
    top = figure.model.high.r
    figure.write(Point(setup.jaw_face_z, top), "jaws", role="faint", offset=(-2, 3), anchor="end")
    blank = from_mm(2 * around(setup.blank).high.r, units)
    label = f"blank Ø{blank:.4g} {'mm' if units == 'mm' else 'in'}"
    figure.write(Point(figure.model.high.z, top), label, role="faint", anchor="end", offset=(0, 3))
    return figure.finished("part in blank")


def _shaded(figure: Figure, part: Sequence[Ring], bands: int = 14) -> None:
    """Draw the half below the axis as a turned body: the ring drawn in, band by band."""
    lower = [mirrored(ring) for ring in part]
    for band in range(bands):
        share = 1 - band / bands
        level = 0.12 + 0.88 * share**3
        squeezed = [tuple(Point(p.z, p.r * share) for p in ring) for ring in lower]
        figure.fill(squeezed, "shade", level)
    for ring in part:
        for corner in kinks(ring, figure.paper(0.5)):
            figure.line("narrow", Point(corner.z, 0.0), Point(corner.z, -corner.r))
