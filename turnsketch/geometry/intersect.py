"""Where lines and circles meet, foot points and offsets: closed forms that stand near tangency.

An element's *carrier* is the whole straight line or circle on which it lies. Carriers that come
within `touch` of touching give one point, the foot between them, instead of two that are far
apart or none: a double root is ill-conditioned, its foot is not. Formulas: plane analytic
geometry; the half chord of two circles by Heron's product (W. Kahan's remark on needle-like
triangles). All in millimetres.
"""

from __future__ import annotations

import math
from dataclasses import replace

from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.elements import Arc, Element, Line, Point

__all__ = [
    "circle_circle",
    "crossings",
    "distance",
    "foot",
    "fraction_at",
    "line_circle",
    "line_line",
    "meetings",
    "nearest",
    "offset",
    "r_extent",
    "turn_between",
    "z_extent",
]

PARALLEL = 1e-12
"""Sine of the angle below which two lines are taken as parallel."""


def line_line(a: Line, b: Line) -> Point | None:
    """Return where the carriers of two lines cross; None when they are parallel."""
    along, other = a.start_direction, b.start_direction
    sine = _cross(along, other)
    if abs(sine) <= PARALLEL:
        return None
    gap = b.start.minus(a.start)
    return a.start.plus(along.times(_cross(gap, other) / sine))


def line_circle(
    line: Line, centre: Point, radius: float, touch: float = EXACT
) -> tuple[Point, ...]:
    """Return where the carrier of `line` meets a circle, in the order of the line's travel.

    Returns
    -------
    tuple of Point
        Two points, one (they touch within `touch`), or none.
    """
    along = line.start_direction
    middle = line.start.plus(along.times(_dot(centre.minus(line.start), along)))
    away = middle.distance(centre)
    if abs(away - radius) <= touch:
        return (middle,)
    if away > radius:
        return ()
    half = math.sqrt((radius - away) * (radius + away))
    return (middle.plus(along.times(-half)), middle.plus(along.times(half)))


def circle_circle(
    centre_a: Point, radius_a: float, centre_b: Point, radius_b: float, touch: float = EXACT
) -> tuple[Point, ...]:
    """Return where two circles meet: the point left of the way from `centre_a` to `centre_b` first.

    Returns
    -------
    tuple of Point
        Two points, one (they touch within `touch`), or none (also for one centre).
    """
    apart = centre_a.distance(centre_b)
    if apart <= touch:
        return ()
    along = centre_b.minus(centre_a).times(1.0 / apart)
    if abs(apart - radius_a - radius_b) <= touch:
        return (centre_a.plus(along.times(radius_a)),)
    if abs(apart - abs(radius_a - radius_b)) <= touch:
        sign = 1.0 if radius_a >= radius_b else -1.0
        return (centre_a.plus(along.times(sign * radius_a)),)
    # Twice the area of the triangle, squared and times four: no difference of squares in it.
    product = (
        (radius_a + radius_b + apart)
        * (radius_a + radius_b - apart)
        * (apart + radius_a - radius_b)
        * (apart - radius_a + radius_b)
    )
    if product <= 0.0:
        return ()
    half = math.sqrt(product) / (2.0 * apart)
    reach = (apart * apart + (radius_a - radius_b) * (radius_a + radius_b)) / (2.0 * apart)
    middle = centre_a.plus(along.times(reach))
    left = Point(-along.r, along.z)
    return (middle.plus(left.times(half)), middle.plus(left.times(-half)))


def crossings(a: Element, b: Element, touch: float = EXACT) -> tuple[Point, ...]:
    """Return where the carriers of two elements meet (none when they are the same carrier)."""
    if isinstance(a, Line):
        if isinstance(b, Line):
            point = line_line(a, b)
            return () if point is None else (point,)
        return line_circle(a, b.centre, b.radius, touch)
    if isinstance(b, Line):
        return line_circle(b, a.centre, a.radius, touch)
    return circle_circle(a.centre, a.radius, b.centre, b.radius, touch)


def meetings(a: Element, b: Element, within: float = EXACT) -> tuple[Point, ...]:
    """Return points that lie on both elements between their ends, ends included.

    Where the two share a carrier and overlap, the ends of the stretch that they share are given.
    `within` is the distance by which a point may miss an element and still count as on it.
    """
    found = [p for p in crossings(a, b) if max(distance(a, p), distance(b, p)) <= within]
    found += [p for p in (a.start, a.end) if distance(b, p) <= within]
    found += [p for p in (b.start, b.end) if distance(a, p) <= within]
    kept: list[Point] = []
    for point in found:
        if all(point.distance(other) > within for other in kept):
            kept.append(point)
    return tuple(kept)


def foot(element: Element, point: Point) -> Point:
    """Return the point of the element's carrier that is nearest to `point`.

    For an arc and its own centre every point is as near: the arc's start is given.
    """
    if isinstance(element, Line):
        along = element.start_direction
        return element.start.plus(along.times(_dot(point.minus(element.start), along)))
    away = element.centre.distance(point)
    if away == 0.0:
        return element.start
    return element.centre.plus(point.minus(element.centre).times(element.radius / away))


def fraction_at(element: Element, point: Point) -> float:
    """Return how far along the element the foot of `point` lies: 0 at the start, 1 at the end.

    Before a line's start it is negative, past its end above 1. On an arc the part of the circle
    that the arc leaves out is shared between its two ends in the same way.
    """
    if isinstance(element, Line):
        way = element.end.minus(element.start)
        return _dot(point.minus(element.start), way) / _dot(way, way)
    sign = 1.0 if element.turn == "ccw" else -1.0
    sweep = abs(element.sweep)
    angle = math.atan2(point.r - element.centre.r, point.z - element.centre.z)
    ahead = (sign * (angle - element.start_angle)) % (2.0 * math.pi)
    if ahead > (sweep + 2.0 * math.pi) / 2.0:
        ahead -= 2.0 * math.pi
    return ahead / sweep


def nearest(element: Element, point: Point) -> Point:
    """Return the point of the element, ends included, that is nearest to `point`."""
    if 0.0 <= fraction_at(element, point) <= 1.0:
        return foot(element, point)
    nearer_start = point.distance(element.start) <= point.distance(element.end)
    return element.start if nearer_start else element.end


def distance(element: Element, point: Point) -> float:
    """Return the distance of `point` from the element, ends included (>= 0)."""
    return point.distance(nearest(element, point))


def offset(element: Element, by: float) -> Element | None:
    """Return the element moved sideways: `by` > 0 to the left of its travel, < 0 to the right.

    None for an arc that would have no radius left. The ends move along the normals there.
    """
    if isinstance(element, Line):
        along = element.start_direction
        side = Point(-along.r * by, along.z * by)
        return Line(element.start.plus(side), element.end.plus(side))
    radius = element.radius
    new_radius = radius - by if element.turn == "ccw" else radius + by
    if new_radius <= 0.0:
        return None
    factor = new_radius / radius

    def shifted(point: Point) -> Point:
        return element.centre.plus(point.minus(element.centre).times(factor))

    return replace(element, start=shifted(element.start), end=shifted(element.end))


def turn_between(before: Point, after: Point) -> float:
    """Return the signed angle from one direction to the next, in (-pi, pi], left positive."""
    return math.atan2(_cross(before, after), _dot(before, after))


def z_extent(element: Element) -> tuple[float, float]:
    """Return the least and the greatest z of the element."""
    return _extent(element, 0)


def r_extent(element: Element) -> tuple[float, float]:
    """Return the least and the greatest r of the element."""
    return _extent(element, 1)


def _extent(element: Element, axis: int) -> tuple[float, float]:
    values = [element.start[axis], element.end[axis]]
    if isinstance(element, Arc):
        for sign in (-1.0, 1.0):
            reach = sign * element.radius
            extreme = element.centre.plus(Point(reach, 0.0) if axis == 0 else Point(0.0, reach))
            if 0.0 < fraction_at(element, extreme) < 1.0:
                values.append(extreme[axis])
    return min(values), max(values)


def _cross(a: Point, b: Point) -> float:
    return a.z * b.r - a.r * b.z


def _dot(a: Point, b: Point) -> float:
    return a.z * b.z + a.r * b.r
