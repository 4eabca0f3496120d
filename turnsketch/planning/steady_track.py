"""What is left in front of the steady rest's track while the track is turned.

Roughing that names its sections goes down to them alone as long as the steady rest is not set: the
work in front of them stays as thick as they are, and is made with the steady rest in place.
"""

from __future__ import annotations

from turnsketch.geometry.elements import Line, Point
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, OutlineElement
from turnsketch.planning.context import Context

__all__ = ["down_to_track"]

_SAME_MM = 1e-6


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
