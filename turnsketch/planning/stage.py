"""What one setup makes of the part: the outline as far as it works, with what stays in front.

Behind the setup's limit the bar stays as it is for a later setup. In front of the finished face a
length may stay that carries a centre hole which the print does not allow.
"""

from __future__ import annotations

from turnsketch.geometry.elements import Line, Point
from turnsketch.part.outline_records import JoinKind, Outline, OutlineElement
from turnsketch.planning.context import Context

__all__ = ["FACE_ALONE_MM", "face_alone", "limit_behind", "made_here", "stage_outline"]

FACE_ALONE_MM = 1e-3
"""A setup that ends so little behind the front makes the end face and its corner alone."""

_SAME = 1e-6
_LEAST_EXTRA = 0.01


def stage_outline(ctx: Context, outline: Outline) -> Outline:
    """Return the outline that this setup works to."""
    return _extended(_cut_off(outline, ctx.limit_z), ctx.extra_front)


def face_alone(limit_z: float | None) -> bool:
    """Return whether a setup that ends at this z leaves the whole outside to others."""
    return limit_z is not None and limit_z >= -FACE_ALONE_MM - 1e-9


def made_here(ctx: Context, z: float) -> bool:
    """Return whether a place of the part lies in front of the setup's limit."""
    return ctx.limit_z is None or z > ctx.limit_z + _SAME


def limit_behind(outline: Outline, sections: tuple[int, ...]) -> float | None:
    """Return the z behind the last of `sections`; None when that is the part's back end."""
    back = min(e.shape.end.z for e in outline.elements)
    ends = [min(e.shape.start.z, e.shape.end.z) for e in outline.elements if e.section in sections]
    if not ends or min(ends) <= back + _SAME:
        return None
    return min(ends)


def _cut_off(outline: Outline, limit: float | None) -> Outline:
    """Return the elements in front of `limit`, closed by a face; the bar takes over behind it."""
    if limit is None:
        return outline
    count = 0
    for element in outline.elements:
        shape = element.shape
        upright = abs(shape.start.z - shape.end.z) < _SAME
        if shape.end.z < limit - _SAME or (upright and shape.end.z < limit + _SAME):
            break
        count += 1
    if count == 0 or count == len(outline.elements):
        return outline
    end = outline.elements[count - 1].shape.end
    face = OutlineElement(Line(end, Point(end.z, 0.0)), None, "face")
    return Outline((*outline.elements[:count], face), (*outline.joins[: count - 1], "convex"))


def _extended(outline: Outline, extra: float) -> Outline:
    """Return the outline with its front face moved `extra` forward."""
    first = outline.elements[0]
    face = first.shape
    if extra <= _LEAST_EXTRA or abs(face.end.z - face.start.z) > _SAME or len(outline.elements) < 2:
        return outline
    corner, top = Point(face.end.z + extra, face.end.r), face.end
    front = OutlineElement(Line(Point(corner.z, 0.0), corner), first.section, first.role)
    level = OutlineElement(Line(corner, top), None, "cylinder")
    way = outline.elements[1].shape.start_direction
    turn = -way.r
    join: JoinKind = "smooth" if abs(turn) < 1e-9 else ("convex" if turn > 0 else "reflex")
    return Outline((front, level, *outline.elements[1:]), ("convex", join, *outline.joins[1:]))
