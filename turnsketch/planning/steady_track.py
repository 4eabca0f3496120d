"""What is left in front of the steady rest's track while the track is turned.

Roughing that names its sections goes down to them alone as long as the steady rest is not set: the
work in front of them stays as thick as they are, and is made with the steady rest in place. Its
front end is not faced either (common practice: what overhangs is faced when it is held).
"""

from __future__ import annotations

from dataclasses import replace

from turnsketch.geometry.elements import Line, Point
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, OutlineElement
from turnsketch.planning.context import Context

__all__ = ["down_to_track", "not_faced"]

_SAME_MM = 1e-6


def not_faced(ctx: Context, operation: Operation, outline: Outline, front: float) -> Outline:
    """Return the outline with its first cylinder led on to the raw front end, which stays there.

    Unchanged when no steady rest waits for its track, when no sections are named, when a centre
    holds the end, and where the part does not begin with a face and a cylinder.

    Parameters
    ----------
    front : float
        z of the metal's front end, part frame; millimetres.
    """
    waits = ctx.held.track is not None and not ctx.supported
    if not waits or not operation.sections or len(outline.elements) < 3:
        return outline
    face, first = outline.elements[:2]
    upright = abs(face.shape.start.z - face.shape.end.z) < _SAME_MM
    start = first.shape.start
    if not upright or first.role != "cylinder" or front < start.z + _SAME_MM:
        return outline
    corner = Point(front, start.r)
    raw = replace(face, shape=Line(Point(front, 0.0), corner))
    led = replace(first, shape=Line(corner, first.shape.end))
    return Outline((raw, led, *outline.elements[2:]), outline.joins)


def down_to_track(ctx: Context, operation: Operation, outline: Outline) -> Outline:
    """Return the outline that roughing works to, filled up in front of the sections it names.

    Unchanged when no steady rest waits for its track, when no sections are named, and where what
    stands in front of them is thicker.
    """
    if ctx.held.track is None or not operation.sections:
        return outline
    wanted = set(operation.sections)
    first = next(
        (i for i, e in enumerate(outline.elements) if e.section in wanted and e.role == "cylinder"),
        None,
    )
    if not first:
        return outline
    start = outline.elements[first].shape.start
    before = [p for e in outline.elements[:first] for p in (e.shape.start, e.shape.end)]
    front = outline.elements[0].shape.start.z
    if max(p.r for p in before) > start.r + _SAME_MM or front < start.z + _SAME_MM:
        return outline
    corner = Point(front, start.r)
    face = OutlineElement(Line(Point(front, 0.0), corner), None, "face")
    level = OutlineElement(Line(corner, start), None, "cylinder")
    return Outline(
        (face, level, *outline.elements[first:]), ("convex", "smooth", *outline.joins[first:])
    )
