"""One setup's record: shapes, tools, passes, in the setup's frame."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely import Polygon

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.geometry.rings import rings
from turnsketch.part.outline_records import ResolvedThread
from turnsketch.part.turned import turned_point
from turnsketch.pipeline.ends_check import ends_check
from turnsketch.pipeline.passes import hard_limits
from turnsketch.pipeline.support import (
    centre_work,
    steady_work,
    warm_growth,
)
from turnsketch.pipeline.zero_words import zero_words
from turnsketch.plan_records import (
    Frame,
    Obstacle,
    Pass,
    PlannedOperation,
    Ring,
    SectionSpan,
    SetupPlan,
    ThreadMark,
    ToolPiece,
    ToolRecord,
)
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned, change_point
from turnsketch.planning.part_solid import part_region, part_surfaces
from turnsketch.planning.steady import STEADY
from turnsketch.planning.tailstock import CENTRE_NAMES
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["setup_plan"]


def setup_plan(
    planned: Planned,
    passes: Sequence[Pass],
    operations: Sequence[PlannedOperation],
    first: Context,
) -> SetupPlan:
    """Return the record of the setup; `remaining` is filled in by the replay.

    Parameters
    ----------
    first : Context
        The first setup: its frame is the one that others are told in.
    """
    ctx = planned.ctx
    zero = Point(ctx.zero, 0.0)
    held = ctx.held
    used = sorted({p.tool for p in passes})
    limits = [*hard_limits(ctx), (_lathe_top(ctx), "lathe")]
    top, reason = min(limits, key=lambda limit: limit[0])
    return SetupPlan(
        number=ctx.index + 1,
        name=ctx.job.setup_name(ctx.index),
        frame=_frame(ctx, first),
        part=tuple(_shifted(ring, zero) for ring in _part_rings(ctx)),
        blank=tuple(_shifted(ring, zero) for ring in held.rings),
        obstacles=_obstacles(planned, zero),
        change_point=change_point(ctx).plus(zero),
        tools=tuple(tool_record(ctx.shapes[number]) for number in used),
        passes=tuple(passes),
        remaining=(),
        operations=tuple(operations),
        jaw_face_z=held.jaw_face + zero.z,
        stick_out_mm=held.stick_out,
        grip_mm=held.grip,
        greatest_rpm=top,
        greatest_rpm_reason=reason,
        never_beyond_z=held.jaw_face + ctx.shop.clearances.never_beyond_jaws + zero.z,
        raw_front_z=held.raw_front + zero.z,
        centre=centre_work(planned),
        steady=steady_work(planned),
        ends_check=ends_check(planned, passes),
        warm=warm_growth(ctx),
        zero_from=zero_words(ctx),
        limit_z=None if ctx.limit_z is None else ctx.limit_z + zero.z,
        sections=_spans(ctx, zero),
        threads=tuple(_thread_mark(t, zero.z) for t in ctx.part.threads),
    )


def _thread_mark(thread: ResolvedThread, zero: float) -> ThreadMark:
    """Return a thread as drawings show it: its roots at the basic diameters."""
    crest, root = thread.major.nominal, thread.minor.nominal
    if thread.inside:
        crest, root = root, crest
    ends = (thread.back_z + zero, thread.front_z + zero)
    return ThreadMark(thread.section, thread.text, thread.inside, ends, root / 2, crest / 2)


def _frame(ctx: Context, first: Context) -> Frame:
    """Return where the setup's frame stands in the first one's."""
    if ctx.setup.turned == first.setup.turned:
        return Frame(first.zero - ctx.zero, False)
    return Frame(first.zero - ctx.part.total_length + ctx.zero, True)


def tool_record(shape: ToolShape) -> ToolRecord:
    """Return a tool as the plan carries it: rings around the reference point."""
    tool = shape.tool
    pieces = tuple(ToolPiece(p.name, p.cuts, p.ring(CHORD_FINE)) for p in shape.pieces)
    return ToolRecord(
        tool.number,
        tool.name,
        shape.nose_radius,
        pieces,
        tool.kind,
        tool.hand,
        tool.reference,
        tool.material,
    )


def _obstacles(planned: Planned, zero: Point) -> tuple[Obstacle, ...]:
    """Return the obstacles; centre and steady rest from the pass on before which they are set."""
    late = dict.fromkeys(CENTRE_NAMES, planned.centre_from) | {STEADY: planned.steady_from}
    since = {name: None if after is None else after + 1 for name, after in late.items()}
    return tuple(
        Obstacle(o.name, _shifted(o.ring, zero), since.get(o.name))
        for o in planned.ctx.held.obstacles
    )


def _part_rings(ctx: Context) -> tuple[Ring, ...]:
    """Return the finished part's rings, with the centre holes that stay in its ends."""
    whole = part_region(ctx.part, CHORD_FINE)
    seat, behind, length = ctx.held.seat, ctx.held.back_seat, ctx.part.total_length
    holes = [] if seat is None else [Polygon(seat.hole.section(seat.face))]
    if behind is not None:
        ring = behind.hole.section(-length - behind.face)
        holes.append(Polygon([turned_point(p, length) for p in ring]))
    for hole in holes:
        left = whole.difference(hole)
        if left.geom_type == "Polygon" and hole.bounds[0] < -1e-9:
            whole = left
    return rings(whole)


def _spans(ctx: Context, zero: Point) -> tuple[SectionSpan, ...]:
    return tuple(
        SectionSpan(section, _shifted(line, zero))
        for section, line in part_surfaces(ctx.part, CHORD_FINE)
    )


def _shifted(ring: Iterable[Point], by: Point) -> Ring:
    return tuple(point.plus(by) for point in ring)


def _lathe_top(ctx: Context) -> float:
    lathe = ctx.lathe
    return max(lathe.speeds_rpm) if lathe.speeds_rpm else (lathe.speed_range_rpm or (0.0, 0.0))[1]
