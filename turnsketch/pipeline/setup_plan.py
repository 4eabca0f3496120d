"""One setup's record: shapes, tools, passes, in the setup's frame."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point, chain_chords, moved
from turnsketch.pipeline.passes import hard_limits
from turnsketch.plan_records import (
    Frame,
    Obstacle,
    Pass,
    PlannedOperation,
    Ring,
    SectionSpan,
    SetupPlan,
    ToolPiece,
    ToolRecord,
)
from turnsketch.planning.context import Context
from turnsketch.planning.fold import change_point
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["setup_plan"]


def setup_plan(
    ctx: Context, passes: Sequence[Pass], operations: Sequence[PlannedOperation]
) -> SetupPlan:
    """Return the record of the setup; `remaining` is filled in by the replay."""
    zero = Point(ctx.zero, 0.0)
    held = ctx.held
    used = sorted({p.tool for p in passes})
    limits = [*hard_limits(ctx), (_lathe_top(ctx), "lathe")]
    top, reason = min(limits, key=lambda limit: limit[0])
    return SetupPlan(
        number=1,
        name=ctx.setup.name,
        frame=Frame(0.0, False),
        part=(_shifted(_part_ring(ctx), zero),),
        blank=(_shifted(held.ring, zero),),
        obstacles=tuple(Obstacle(o.name, _shifted(o.ring, zero)) for o in held.obstacles),
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
        sections=_spans(ctx, zero),
    )


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


def _part_ring(ctx: Context) -> Ring:
    points = chain_chords([e.shape for e in ctx.part.aim.elements], CHORD_FINE)
    return tuple(points)


def _spans(ctx: Context, zero: Point) -> tuple[SectionSpan, ...]:
    return tuple(
        SectionSpan(element.section, tuple(moved(element.shape, zero).chords(CHORD_FINE)))
        for element in ctx.part.aim.elements
        if element.section is not None
    )


def _shifted(ring: Iterable[Point], by: Point) -> Ring:
    return tuple(point.plus(by) for point in ring)


def _lathe_top(ctx: Context) -> float:
    lathe = ctx.lathe
    return max(lathe.speeds_rpm) if lathe.speeds_rpm else (lathe.speed_range_rpm or (0.0, 0.0))[1]
