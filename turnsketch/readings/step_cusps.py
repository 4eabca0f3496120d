"""The cusp that stays between two steps of a tool fed in along X, normal to the surface.

For a round nose of radius r it is where the two nose discs meet; on a convex surface of radius R,
stepped by the angle d, the discs meet at the distance

    (R + r) cos(d/2) - sqrt(r^2 - (R + r)^2 sin^2(d/2))

from the centre. A sharp corner leaves stairs: on a quarter of radius R it needs R / (2 h) steps
for the cusp h. A blade leaves stairs as well, its corners rounded: each of its two corners makes
the surface that it meets, and its flat front takes what lies before it. Formulas are plane
geometry.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from turnsketch.geometry.elements import Point
from turnsketch.readings.step_path import StepPath

__all__ = [
    "StepTool",
    "arc_cusp_mm",
    "arc_step_angle",
    "cusp_between",
    "greatest_cusp",
    "nose_steps_on_arc",
    "sharp_steps_on_quarter",
    "straight_step",
    "whole_steps",
]


@dataclass(frozen=True, slots=True)
class StepTool:
    """What steps need to know of a tool.

    Attributes
    ----------
    nose_mm : float
        Nose radius; 0 for a sharp corner; a blade's corner radius.
    hand : {"right", "left"}
        Sharp corner only: a right-hand one has its upright edge toward the chuck.
    end_edge_angle : float
        Sharp corner only: angle of its lower edge to the axis, radians.
    flat : bool
        A blade: upright on both sides, level between its two corners.
    """

    nose_mm: float
    hand: Literal["right", "left"] = "right"
    end_edge_angle: float = 0.0
    flat: bool = False


def arc_cusp_mm(radius_mm: float, nose_mm: float, angle: float, *, convex: bool = True) -> float:
    """Return the cusp that a round nose leaves between two steps around an arc.

    Parameters
    ----------
    radius_mm : float
        Radius of the surface.
    nose_mm : float
        Nose radius, below `radius_mm` in a hollow.
    angle : float
        Between two steps, seen from the arc's centre, radians.
    convex : bool
        A ball or a bead; False: a hollow, whose path has the radius R - r.

    Raises
    ------
    ValueError
        When the nose discs of the two steps do not meet.
    """
    path = radius_mm + nose_mm if convex else radius_mm - nose_mm
    half_chord = path * math.sin(angle / 2)
    if half_chord >= nose_mm:
        raise ValueError("the steps stand more than a nose apart")
    reach = math.sqrt(nose_mm * nose_mm - half_chord * half_chord)
    middle = path * math.cos(angle / 2)
    return middle - reach - radius_mm if convex else radius_mm - middle - reach


def straight_step(nose_mm: float, limit_mm: float) -> float:
    """Return the greatest step along a straight flank that leaves cusps within a limit.

    Two circles of the nose's radius a chord apart leave a cusp of ``R - sqrt(R² - (step/2)²)``.

    Parameters
    ----------
    nose_mm, limit_mm : float
        Nose radius, and how high cusps may be; a higher limit than the nose counts as the nose.
    """
    limit = min(limit_mm, nose_mm)
    return 2 * math.sqrt(limit * (2 * nose_mm - limit))


def arc_step_angle(
    radius_mm: float, nose_mm: float, limit_mm: float, *, convex: bool = True
) -> float:
    """Return the greatest angle between two steps whose cusp stays within `limit_mm`, radians."""
    path = radius_mm + nose_mm if convex else radius_mm - nose_mm
    if path <= 0:
        return math.pi
    # The discs part when the chord is as wide as the nose: no cusp grows beyond that.
    widest = 2 * math.asin(min(1.0, nose_mm / path))
    # Nor is a cusp higher than the nose itself, however much may stay.
    limit = min(limit_mm, nose_mm)
    top = radius_mm + limit if convex else radius_mm - limit
    if top <= 0:
        return widest
    cosine = (path * path + top * top - nose_mm * nose_mm) / (2 * path * top)
    return min(widest, 2 * math.acos(min(1.0, max(-1.0, cosine))))


def nose_steps_on_arc(
    radius_mm: float, nose_mm: float, sweep: float, limit_mm: float, *, convex: bool = True
) -> int:
    """Return the fewest equal steps of a round nose around an arc; positions are one more."""
    return whole_steps(sweep / arc_step_angle(radius_mm, nose_mm, limit_mm, convex=convex))


def sharp_steps_on_quarter(radius_mm: float, limit_mm: float) -> int:
    """Return the fewest steps of a sharp corner on a convex quarter: R^2 / (2 R h + h^2)."""
    return whole_steps(radius_mm**2 / (2 * radius_mm * limit_mm + limit_mm**2))


def whole_steps(count: float) -> int:
    """Return `count` rounded up to whole steps, at least one; float noise adds none."""
    return max(1, math.ceil(count - 1e-9))


def cusp_between(path: StepPath, tool: StepTool, front: Point, back: Point) -> float:
    """Return the height of the metal that stays between two steps, normal to the surface."""
    if tool.flat:
        return _stair_of_blade(path, tool.nose_mm, front, back)
    nose = tool.nose_mm
    if nose > 0:
        return _between_noses(path, nose, front, back)
    rise = (front.z - back.z) * math.tan(tool.end_edge_angle)
    if tool.hand == "right":
        return -path.depth(Point(front.z, back.r + rise))
    return -path.depth(Point(back.z, front.r + rise))


def _between_noses(path: StepPath, nose: float, front: Point, back: Point) -> float:
    """Return the cusp between two discs of the nose's radius."""
    chord = back.minus(front)
    half = math.hypot(chord.z, chord.r) / 2
    if half < 1e-12:
        return 0.0
    middle = front.plus(chord.times(0.5))
    if half >= nose:
        # The discs do not meet: metal stands at least as high as the path itself.
        return nose - path.depth(middle) + (half - nose)
    reach = math.sqrt(nose * nose - half * half) / (2 * half)
    return nose - path.depth(middle.plus(Point(-chord.r, chord.z).times(reach)))


def _stair_of_blade(path: StepPath, corner: float, front: Point, back: Point) -> float:
    """Return the tip of the stair that a blade leaves between two steps.

    There the front of the higher step meets the side of the lower one: level or round the one,
    upright or round the other. All places are those of the corner's centre, as the path is.
    """
    run, rise = abs(front.z - back.z), abs(back.r - front.r)
    if min(run, rise) < 1e-12:
        return 0.0
    low, side = (front, -1.0) if front.r < back.r else (back, 1.0)
    across = run if run < corner else corner
    along = rise if rise < corner else corner
    # How far the side of the lower stands out at that height, and how far down the higher reaches.
    out = math.sqrt(corner**2 - (corner - along) ** 2)
    down = math.sqrt(corner**2 - (corner - across) ** 2)
    if run >= out:
        tip = Point(low.z + side * out, low.r + rise - corner)
    elif rise >= down:
        tip = Point(low.z + side * corner, low.r + rise - down)
    else:
        return _between_noses(path, corner, front, back)
    return corner - path.depth(tip)


def greatest_cusp(path: StepPath, tool: StepTool, places: Sequence[Point]) -> float:
    """Return the highest metal that stays along a row of steps, front to back.

    Besides the cusps between neighbours it sees how far each step itself stands off the path.
    """
    between = [cusp_between(path, tool, a, b) for a, b in itertools.pairwise(places)]
    return max([0.0, *between, *(-path.depth(place) for place in places)])
