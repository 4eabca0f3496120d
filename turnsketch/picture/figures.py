"""The figures of a setup: the part in its blank, how it is set up, and the job in pictures.

Jaws, blank and part are shown with both halves, so the pictures are right for a tool in front of
the work as for one behind it. The set-up figure is seen from above by someone standing at the
lathe: chuck on the left, X plus toward the reader, which is down.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from turnsketch.geometry.elements import Point
from turnsketch.picture.canvas import Figure, Margins
from turnsketch.picture.display_list import (
    Anchor,
    Arrow,
    Box,
    DisplayList,
    Label,
    Role,
    Spot,
    Stroke,
    text_width_mm,
)
from turnsketch.picture.knurls import knurl_strokes
from turnsketch.picture.layers import Layer
from turnsketch.picture.shapes import (
    around,
    clipped,
    hatching,
    kinks,
    mirrored,
    profile,
)
from turnsketch.picture.silhouette import silhouette
from turnsketch.picture.threads import thread_strokes
from turnsketch.plan_records import Obstacle, Ring, SetupPlan
from turnsketch.units import Units, from_mm

__all__ = ["operation_picture", "part_in_blank", "setup_picture", "working_box"]

_AHEAD_OF_FACE_MM = 3.0
_BEHIND_JAWS_MM = 6.0
_KNURL_MM = 1.6
"""Distance of a knurl's lines on paper."""
_INSIDE = ("jaws in the bore", "mandrel")
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
        if obstacle.name in _INSIDE:
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


def _holding(
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


def _both(rings: Sequence[Ring]) -> list[Ring]:
    return [*rings, *(mirrored(ring) for ring in rings)]


def _body(figure: Figure, rings: Sequence[Ring], *, wide: bool = True) -> None:
    """Draw solid metal with both halves: fill, edges across it, outline."""
    inside = [ring for ring in (clipped(r, figure.model) for r in rings) if ring]
    for half in (inside, [mirrored(ring) for ring in inside]):
        figure.fill(half, "part")
    for ring in inside:
        for corner in kinks(ring, figure.paper(0.5)):
            figure.line("narrow", corner, Point(corner.z, -corner.r))
    for ring in _both(inside):
        for line in profile(ring):
            figure.add(Stroke(line, "outline" if wide else "edge"))


def _axis(figure: Figure) -> None:
    box = figure.model
    figure.line(
        "axis",
        Point(box.low.z - figure.paper(2), 0.0),
        Point(box.high.z + figure.paper(2), 0.0),
    )


def _blank_line(figure: Figure, setup: SetupPlan, halves: Sequence[int] = (1, -1)) -> None:
    for ring in setup.blank:
        inside = clipped(ring, figure.model)
        if inside:
            for half in halves:
                for line in profile(inside if half > 0 else mirrored(inside)):
                    figure.add(Stroke(line, "blank"))


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
    _holding(figure, setup, by_pass=max((layer.pass_number for layer in before), default=0))
    _body(figure, standing)
    _tinted(figure, own, (1, -1))
    figure.add(*thread_strokes(setup, operation))
    figure.add(*knurl_strokes(setup, figure.paper(_KNURL_MM), operation))
    _blank_line(figure, setup)
    _axis(figure)
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


def setup_picture(
    setup: SetupPlan,
    width_mm: float,
    height_mm: float,
    length: Callable[[float], str],
    place: Callable[[float], str],
) -> DisplayList:
    """Return the set-up figure: blank in the jaws, zero, grip, stick-out, lines not to cross.

    Parameters
    ----------
    setup : SetupPlan
        The setup.
    width_mm, height_mm : float
        Room on paper.
    length, place : callable
        Write a length, and a signed place on Z, given in millimetres, in the sheet's units.
    """
    figure = Figure(working_box(setup), width_mm, height_mm, Margins(7, 22, 18, 25))
    _holding(figure, setup)
    _body(figure, setup.blank, wide=False)
    _blank_line(figure, setup)
    # A part that reaches through the chuck is cut off like the bar.
    shown = [ring for ring in (clipped(r, figure.model) for r in setup.part) if ring]
    for ring in _both(shown):
        for line in profile(ring):
            figure.add(Stroke(line, "outline"))
    figure.add(*thread_strokes(setup))
    figure.add(*knurl_strokes(setup, figure.paper(_KNURL_MM)))
    _axis(figure)
    _flags(figure, setup, place)
    _setup_dimensions(figure, setup, length)
    _axes_arrows(figure)
    return figure.finished("set-up")


def _flags(figure: Figure, setup: SetupPlan, place: Callable[[float], str]) -> None:
    """Write the places that matter on Z above the figure, each on its own height."""
    top, low = figure.model.high.r, figure.model.low.r
    zero = Point(0.0, 0.0)
    flags: tuple[tuple[float, Role, str, float], ...] = (
        (setup.never_beyond_z, "danger", f"never beyond Z {place(setup.never_beyond_z)}", 3.0),
        (0.0, "chosen", "Z 0 finished front face", 8.0),
        (setup.raw_front_z, "narrow", f"raw face Z {place(setup.raw_front_z)}", 13.0),
    )
    for z, role, text, height in flags:
        up = top + figure.paper(height)
        figure.add(Stroke((Point(z, low if role == "danger" else 0.0), Point(z, up)), role))
        anchor: Anchor = "end"
        if role == "danger" and -z * figure.scale > text_width_mm(text, 3.2, True) + 3:
            anchor = "start"
        shift = 1.5 if anchor == "start" else -1.5
        figure.add(
            Label(
                Point(z, up),
                text,
                "text",
                anchor=anchor,
                offset_mm=Point(shift, 0.4),
                bold=role != "narrow",
                backed=True,
            )
        )
    figure.add(Spot(zero, "chosen", 2.4))


def _setup_dimensions(figure: Figure, setup: SetupPlan, length: Callable[[float], str]) -> None:
    """Draw grip, stick-out and jaw face to zero below the figure."""
    low = figure.model.low.r
    jaw, front = setup.jaw_face_z, setup.raw_front_z
    grip, face = (jaw - setup.grip_mm, jaw), "jaw face"
    for obstacle in setup.obstacles:
        if obstacle.name in _INSIDE:
            end = around([obstacle.ring]).high.z
            grip, face = (end - setup.grip_mm, end), "chuck face"
        elif obstacle.name == "dog":
            face = "dog"
    diameter = 2 * around(setup.blank).high.r
    ratio = setup.stick_out_mm / diameter if diameter else 0.0
    figure.dimension(
        max(grip[0], figure.model.low.z),
        grip[1],
        low - figure.paper(15.5 if face == "chuck face" else 5),
        f"grip {length(setup.grip_mm)}",
        low,
    )
    below = low - figure.paper(5), low - figure.paper(11)
    figure.dimension(jaw, 0.0, below[0], f"{face} to Z 0: {length(-jaw)}", low, after=True)
    stick_out = f"stick-out {length(setup.stick_out_mm)} = {ratio:.1f} × Ø"
    figure.dimension(grip[1], front, below[1], stick_out, low, after=True)
    figure.write(
        Point(figure.model.low.z, low),
        "Seen from above: you stand at this side, chuck on your left.",
        role="faint",
        anchor="start",
        offset=(0.0, -20.5),
    )


def _axes_arrows(figure: Figure) -> None:
    """Draw the directions of Z plus and X plus beside the figure."""
    corner = Point(figure.model.high.z + figure.paper(6), 0.0)
    to_z = Point(corner.z + figure.paper(10), 0.0)
    to_x = Point(corner.z, -figure.paper(13))
    figure.add(Arrow(corner, to_z, "chosen"), Arrow(corner, to_x, "chosen"))
    figure.write(to_z, "Z+", offset=(-1.0, 3.2), bold=True)
    figure.write(to_x, "X+", offset=(0.0, -3.0), bold=True)


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
    _holding(figure, setup)
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
    _blank_line(figure, setup)
    _axis(figure)
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
