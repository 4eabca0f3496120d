"""The set-up figure: blank in the jaws, zero, grip, stick-out, lines not to cross.

It is seen from above by someone standing at the lathe: chuck on the left, X plus toward the reader,
which is down.
"""

from __future__ import annotations

from collections.abc import Callable

from turnsketch.geometry.elements import Point
from turnsketch.picture.canvas import Figure, Margins
from turnsketch.picture.display_list import (
    Anchor,
    Arrow,
    DisplayList,
    Label,
    Role,
    Spot,
    Stroke,
    text_width_mm,
)
from turnsketch.picture.held_work import (
    INSIDE,
    KNURL_MM,
    both_halves,
    draw_axis,
    draw_blank,
    draw_body,
    draw_holding,
    working_box,
)
from turnsketch.picture.knurls import knurl_strokes
from turnsketch.picture.shapes import around, clipped, profile
from turnsketch.picture.threads import thread_strokes
from turnsketch.plan_records import SetupPlan

__all__ = ["setup_picture"]


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
    draw_holding(figure, setup)
    draw_body(figure, setup.blank, wide=False)
    draw_blank(figure, setup)
    # A part that reaches through the chuck is cut off like the bar.
    shown = [ring for ring in (clipped(r, figure.model) for r in setup.part) if ring]
    for ring in both_halves(shown):
        for line in profile(ring):
            figure.add(Stroke(line, "outline"))
    figure.add(*thread_strokes(setup))
    figure.add(*knurl_strokes(setup, figure.paper(KNURL_MM)))
    draw_axis(figure)
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
        if obstacle.name in INSIDE:
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
