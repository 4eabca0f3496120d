"""Finishing: the exact path along the keep, cut up into rows that two handwheels can follow.

A row is a cylinder with the shoulder behind it (turn to the shoulder, face out along it), or one
taper, or one arc, each by the means that the lathe has. No other module knows a compensation for
the nose: the path is the edge of the no-go region.
"""

from __future__ import annotations

from dataclasses import replace

from turnsketch.errors import NoStartError
from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.contact_path import ContactPath, contact_path
from turnsketch.geometry.corner_close import closed_at_corners
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline
from turnsketch.plan_records import PathCaution
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.keep import Keep, keep_of, keep_region
from turnsketch.planning.means import arc_means
from turnsketch.planning.row_passes import RowMaker
from turnsketch.planning.row_work import RowWork
from turnsketch.planning.rows import Row, rows_of
from turnsketch.planning.space import holder_blocked, safe_point, section_near_axis
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["finish_path", "plan_finish"]

_NEAR_MM = 0.05
"""A place this close to a row belongs to it."""


def finish_path(ctx: Context, shape: ToolShape, keep: Keep) -> ContactPath:
    """Return the exact path of the reference point along `keep`, closed at convex corners."""
    solid = keep_region(keep.elements, ctx.held, CHORD_ROUGH)
    path = contact_path(
        keep.elements,
        keep.joins,
        [piece.outline for piece in shape.cutting],
        safe_point(ctx),
        blocked=holder_blocked(ctx, shape, section_near_axis(ctx, solid, -shape.nose_radius)),
    )
    return closed_at_corners(path)


def plan_finish(
    ctx: Context, operation: Operation, state: State, where: str, outline: Outline, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return the finishing passes of one tool, front to back (left hand: back to front)."""
    shape = ctx.shape(operation.tool, where)
    keep = keep_of(outline, ctx.held, overrun)
    try:
        path = finish_path(ctx, shape, keep)
    except NoStartError:
        return [], state  # what stands in front of the part, a centre in its bore, leaves no way in
    rows = rows_of(
        path.elements,
        keep,
        sharp=shape.nose_radius == 0,
        backwards=shape.tool.hand == "left",
        split=arc_means(ctx.lathe, operation) == "guided",
    )
    if operation.sections is not None:
        wanted = set(operation.sections)
        rows = [
            row
            for row in rows
            if row.source is not None and _section_number(outline, row.source) in wanted
        ]
    maker = RowMaker(RowWork.of(ctx, operation, shape, keep, outline, where))
    # With the tailstock set over nothing comes out cylindrical: such tapers are the last.
    rows.sort(key=maker.sets_over)
    passes: list[DraftPass] = []
    for row in rows:
        made, state = maker.passes(row, state)
        if made:
            made[-1] = replace(made[-1], cautions=_cautions_near(path, row))
        passes += made
    return passes, state


def _cautions_near(path: ContactPath, row: Row) -> tuple[PathCaution, ...]:
    """Return what the path says of places on a row."""
    ends = [p.z for element in row.elements for p in (element.start, element.end)]
    low, high = min(ends) - _NEAR_MM, max(ends) + _NEAR_MM
    return tuple(
        PathCaution(c.place.z, c.place.r, c.kind, c.words)
        for c in path.cautions
        if low <= c.place.z <= high
    )


def _section_number(outline: Outline, index: int) -> int | None:
    """Return the section of an element; a shoulder face belongs to the section behind it."""
    for element in outline.elements[index:]:
        if element.section is not None:
            return element.section
    return None
