"""The centre hole as an operation, and the centre that goes in after it.

The drill stands in the tailstock: it goes along the axis alone, its depth is read on the quill.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely import Polygon

from turnsketch.errors import InputError
from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.centre_holes import CentreHole, centre_hole, usual_size
from turnsketch.part.outline import outline_without
from turnsketch.part.outline_records import CornerInfo, Outline, ResolvedPart
from turnsketch.plan_records import QuillWork
from turnsketch.planning.context import Context, State, length_mm
from turnsketch.planning.draft import DraftPass, cut, position
from turnsketch.planning.keep import keep_of, keep_region
from turnsketch.planning.route import Mover
from turnsketch.shop.records import Tool

__all__ = [
    "RIM_MM",
    "drills",
    "front_face_radius",
    "hole_of",
    "plan_centre_hole",
    "rim_radius",
    "starts_on_centre",
    "usual_drill",
    "with_centre",
]

RIM_MM = 1.0
"""Least width of the end face around the countersink (common practice)."""

_RIM_LEFT_MM = 0.3
"""Least width of what a chamfer of the print leaves of it."""

_BEHIND_MM = 3.0
"""Length behind the part at which the bar counts as solid again."""


def drills(operation: Operation) -> bool:
    """Return whether an operation makes a centre hole."""
    return operation.kind == "centre hole" and operation.enabled


def starts_on_centre(ctx: Context, operations: Sequence[Operation]) -> bool:
    """Return whether the centre stands in the work from the setup's first pass on."""
    if not ctx.supported:
        return False
    return ctx.held.seat is not None or not any(drills(o) for o in operations)


def with_centre(ctx: Context) -> Context:
    """Return the setup with the tailstock centre in the hole that the blank has now."""
    return replace(ctx, held=ctx.held.on_centre(ctx.lathe.centre, ctx.held.seat))


def hole_of(ctx: Context, operation: Operation, where: str) -> CentreHole:
    """Return the hole that an operation drills: the tool's, which the size must agree with."""
    tool = ctx.shape(operation.tool, where).tool
    if tool.kind != "centre drill":
        raise InputError(f"T{tool.number} is no centre drill", where)
    hole = centre_hole(tool.centre_size_mm)
    if operation.size is not None:
        wanted = length_mm(operation.size, "mm", f"{where}.size")
        if abs(wanted - hole.pilot) > 1e-3:
            raise InputError(
                f"the operation asks for a hole A {wanted:g}, T{tool.number} drills "
                f"{hole.pilot:g}: change one of them",
                where,
            )
    return hole


def usual_drill(ctx: Context) -> Tool | None:
    """Return the shop's centre drill for this part: the usual size, or the next smaller one.

    The usual size goes by the thicker of bar and part (`usual_size`); its rim must stay inside the
    front face. On a thin end it is enough that it does before the face's chamfer is cut.
    """
    usual = usual_size(2 * ctx.held.radius)
    fitting = [
        tool
        for shape in ctx.shapes.values()
        if (tool := shape.tool).kind == "centre drill" and tool.centre_size_mm <= usual + 1e-6
    ]
    for room in (front_face_radius(ctx.part) - RIM_MM, rim_radius(ctx.part)):
        inside = [t for t in fitting if centre_hole(t.centre_size_mm).countersink / 2 <= room]
        if inside:
            return max(inside, key=lambda t: (t.centre_size_mm, -t.number))
    return None


def rim_radius(part: ResolvedPart) -> float:
    """Return the greatest radius of a countersink in a part's front face; below 0: it has none."""
    face = front_face_radius(part)
    sharp = max((c.at.r for c in _front_corners(part)), default=face)
    return min(sharp - RIM_MM, face - _RIM_LEFT_MM)


def _front_corners(part: ResolvedPart) -> list[CornerInfo]:
    """Return the chamfers and rounds at the edge of a part's front face."""
    return [c for c in part.corners if c.convex and abs(c.at.z) < 1e-6]


def plan_centre_hole(
    ctx: Context, operation: Operation, state: State, where: str
) -> tuple[list[DraftPass], State]:
    """Return the pass that drills the hole, and what remains.

    No pass where the front end is no solid face any more, or where the part is too thin for it.
    """
    shape = ctx.shape(operation.tool, where)
    hole = hole_of(ctx, operation, where)
    mover = Mover.of(ctx, shape)
    face = float(state.remaining.bounds[2])
    home = Point(state.position.z, 0.0)
    near = Point(face + ctx.shop.clearances.approach, 0.0)
    goal = Point(face - hole.depth, 0.0)
    way = [state.position, home, near]
    solid = Polygon(hole.section(face)).buffer(-1e-6)
    if not state.remaining.covers(solid) or not mover.free(way, state.remaining):
        return [], state
    if not _has_walls(ctx, solid, hole):
        return [], state
    made = DraftPass(
        tool=shape.tool.number,
        start=state.position,
        moves=(position(home), position(near), cut(goal), position(near), position(home)),
        surface=f"centre hole A {hole.pilot:g}/{hole.countersink:g}",
        direction="drill",
        depth=hole.depth,
        speed_diameter=hole.countersink,
        quill=QuillWork(face, hole.depth, face - hole.depth),
        notes=(f"{hole.designation}: drill by the quill until its rim is Ø{hole.countersink:g}",),
    )
    metal = clean(state.remaining.difference(mover.removed([near, goal])))
    return [made], State(metal, home, shape.tool.number)


def _has_walls(ctx: Context, hole: Polygon, size: CentreHole) -> bool:
    """Return whether the part keeps a wall around a hole; what stands in front of it may go."""
    if _walled(ctx, hole, ctx.part.aim):
        return True
    corners = _front_corners(ctx.part)
    if not corners or size.countersink / 2 > rim_radius(ctx.part) + 1e-6:
        return False
    return _walled(ctx, hole, outline_without(ctx.part, {c.index for c in corners}))


def _walled(ctx: Context, hole: Polygon, outline: Outline) -> bool:
    keep = keep_of(outline, ctx.held, _BEHIND_MM)
    part = keep_region(keep.elements, ctx.held, CHORD_ROUGH)
    reach = ctx.held.raw_front + 1.0
    whole = shapely.union_all([part, shapely.box(0.0, 0.0, reach, ctx.held.radius + 1.0)])
    back, _, front, top = hole.bounds
    walls = shapely.clip_by_rect(hole.buffer(RIM_MM), back - 1.0, 0.0, front, top + 1.0)
    return bool(whole.buffer(1e-6).covers(walls))


def front_face_radius(part: ResolvedPart) -> float:
    """Return the radius of the part's flat front face; 0 where it has none."""
    first = part.aim.elements[0].shape
    flat = abs(first.end.z - first.start.z) < 1e-9
    return first.end.r if flat else 0.0
