"""Drilling, reaming and countersinking: tools that stand in the tailstock, on the axis.

They go along the axis alone; the depth is read on the quill's scale. A hole goes as deep as the
bore lets it: nothing of the part is drilled away.
"""

from __future__ import annotations

import math
from typing import Literal

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.cutting.surface import drilling_feed_mm
from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.drills import pecks, point_length
from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import PathSize, QuillWork
from turnsketch.planning.context import Context, State, length_mm
from turnsketch.planning.draft import DraftMove, DraftPass, cut, position
from turnsketch.planning.inside import room_behind
from turnsketch.planning.part_solid import void_region
from turnsketch.planning.route import Mover
from turnsketch.planning.tap import room_for_tap
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import from_mm

__all__ = ["deepest", "plan_drill", "point_of"]

_KINDS = {"drill": "drill", "ream": "reamer", "countersink": "countersink"}

_BEYOND_MM = 1.0
"""A through hole is drilled so far beyond the bar's or the part's end, full diameter."""

_STEP_MM = 1e-3
_TOUCH = 2e-4
_SAME_MM = 0.01


def point_of(tool: Tool) -> float:
    """Return the length of a tool's point, millimetres; a reamer's front is flat."""
    if tool.kind == "reamer":
        return 0.0
    return point_length(tool.diameter_mm, math.radians(tool.point_angle_deg))


def plan_drill(
    ctx: Context, operation: Operation, state: State, where: str, overrun: float = 0.0
) -> tuple[list[DraftPass], State]:
    """Return the pass of a drill, reamer or countersink, and what remains.

    No pass where the tool is of another kind, the part has no bore for it, or nothing is cut.

    Parameters
    ----------
    overrun : float
        Room behind the part's back face, into which a through bore is cut on.
    """
    shape = ctx.shape(operation.tool, where)
    tool = shape.tool
    if tool.kind != _KINDS[operation.kind]:
        return [], state
    depth = deepest(ctx, shape, state.remaining, _bored_behind(ctx, tool, overrun, state.remaining))
    if operation.to_depth is not None:
        asked = length_mm(operation.to_depth, ctx.units, f"{where}.to_depth")
        depth = min(depth, asked + point_of(tool))
    front = float(state.remaining.bounds[2])
    if tool.kind != "countersink" and tool.diameter_mm > _widest_place(ctx) + _STEP_MM:
        return [], state
    goal = Point(-depth, 0.0)
    near = Point(max(front, 0.0) + ctx.shop.clearances.approach, 0.0)
    home = Point(state.position.z, 0.0)
    mover = Mover.of(ctx, shape, CHORD_FINE)
    swept = mover.removed([near, goal])
    metal = clean(state.remaining.difference(swept))
    if state.remaining.area - metal.area < _STEP_MM:
        return [], state
    if not mover.free([state.position, home, near], state.remaining):
        return [], state
    if ctx.held.inside and not mover.clear_of_obstacles([near, goal]):
        return [], state  # jaws or mandrel stand in the bore
    section = _made_by(ctx, tool)
    quill = _quill(mover, tool, near, depth, state.remaining)
    made = DraftPass(
        tool=tool.number,
        start=state.position,
        moves=(*_way_in(state, home, near), cut(goal), position(near), position(home)),
        surface=_surface(ctx, operation, tool, section),
        direction="drill",
        depth=tool.diameter_mm / 2,
        speed_diameter=_widest(tool, quill),
        section=None if section is None else section.number,
        last_on_surface=section is not None,
        size=_size(section, tool),
        quill=quill,
        inside=True,
    )
    return [made], State(metal, home, tool.number)


def _widest_place(ctx: Context) -> float:
    """Return the diameter that a bore has at its widest section; 0 without a bore."""
    bore = ctx.part.bore
    sections = bore.sections if bore is not None else ()
    return 2 * max((max(s.front.r, s.back.r) for s in sections), default=0.0)


def _way_in(state: State, home: Point, near: Point) -> list[DraftMove]:
    way = [home] if state.position != home else []
    return [position(p) for p in (*way, near)]


def _quill(mover: Mover, tool: Tool, near: Point, depth: float, metal: BaseGeometry) -> QuillWork:
    """Return what the quill's scale shows, at 0 where the tool first touches the metal."""
    high, low = near.z, -depth
    while high - low > _STEP_MM / 4:
        middle = (high + low) / 2
        if mover.free([near, Point(middle, 0.0)], metal):
            high = middle
        else:
            low = middle
    touch = round((high + low) / 2, 3)
    feed = drilling_feed_mm(tool.diameter_mm, reamer=tool.kind == "reamer")
    at = _touched(tool, touch, float(metal.bounds[2]))
    if tool.kind == "countersink":
        return QuillWork(touch, touch + depth, -depth, None, (), feed, at)
    stops = pecks(touch + depth, tool.diameter_mm)[:-1] if tool.kind == "drill" else ()
    return QuillWork(touch, touch + depth, -depth, point_of(tool) - depth, stops, feed, at)


def _touched(tool: Tool, touch: float, front: float) -> Literal["face", "rim", "inside"]:
    """Return what a tool meets first whose tip stands at `touch` then."""
    if touch > front - _SAME_MM:
        return "face"
    return "rim" if touch > front - point_of(tool) - _SAME_MM else "inside"


def _widest(tool: Tool, quill: QuillWork) -> float:
    """Return the greatest diameter that cuts: of a countersink it is the rim that it makes."""
    if tool.kind != "countersink":
        return tool.diameter_mm
    rim = 2 * -quill.tip_z * math.tan(math.radians(tool.point_angle_deg / 2))
    return min(tool.diameter_mm, rim) if rim > 0 else tool.diameter_mm


def _made_by(ctx: Context, tool: Tool) -> SectionInfo | None:
    """Return the cylinder of the bore whose size the tool makes."""
    bore = ctx.part.bore
    if bore is None or tool.kind == "countersink":
        return None
    for section in bore.sections:
        size = section.diameter
        if size is None or section.kind != "cylinder":
            continue
        if size.lower - _STEP_MM <= tool.diameter_mm <= size.upper + _STEP_MM:
            return section
    return None


def _size(section: SectionInfo | None, tool: Tool) -> PathSize | None:
    if section is None or section.diameter is None:
        return None
    return PathSize(tool.diameter_mm, section.diameter.lower, section.diameter.upper)


def _surface(ctx: Context, operation: Operation, tool: Tool, section: SectionInfo | None) -> str:
    """Return what the tool makes, in words."""
    mouth = ctx.part.bore.mouth if ctx.part.bore is not None else None
    if operation.kind == "countersink" and mouth is not None:
        return f"mouth {mouth.text}"
    if section is not None:
        return section.label
    shown = f"{from_mm(tool.diameter_mm, ctx.units):.4g}"
    return f"hole Ø{shown.removeprefix('0') if ctx.units == 'inch' else shown}"


def _bored_behind(ctx: Context, tool: Tool, overrun: float, metal: BaseGeometry) -> float:
    """Return how far behind the part a bar or a tap goes on after this tool.

    It must not meet the cone that the drill's point leaves.
    """
    bore = ctx.part.bore
    if bore is None or tool.kind != "drill":
        return 0.0
    stands = -bore.depth - float(metal.bounds[0])
    tapped = min(room_for_tap(ctx, bore), stands) - _BEYOND_MM
    return max(room_behind(ctx, bore, overrun), tapped)


def deepest(ctx: Context, shape: ToolShape, metal: BaseGeometry, behind: float = 0.0) -> float:
    """Return how deep the tip may go below z = 0: the part keeps all its metal.

    Behind the part's end there is the bar (to be parted off) or nothing: a through hole goes on
    beyond by `_BEYOND_MM`, and by as much as a bar will go on into it, `behind`.
    """
    tool = shape.tool
    bore = ctx.part.bore
    if bore is None:
        return 0.0
    void = void_region(bore, CHORD_FINE)
    most = -float(void.bounds[0])
    if bore.through:
        most += behind + _BEYOND_MM + point_of(tool)
        end = -bore.depth
        radius = bore.aim.elements[-1].shape.start.r
        hole = shapely.box(end - 2 * most, 0.0, end, radius)
        void = shapely.union_all([void, hole])
    front = shapely.box(0.0, 0.0, 1e3, 1e3)
    free = shapely.union_all([void, front]).buffer(_TOUCH, join_style="mitre")
    room = min(most, _reach(tool, float(metal.bounds[2])))
    body = [Polygon(piece.ring(CHORD_FINE)) for piece in shape.cutting]

    def fits(depth: float) -> bool:
        half = [shapely.clip_by_rect(b, -1e3, 0.0, 1e4, 1e3) for b in body]
        return all(free.covers(shapely.transform(b, lambda xy: xy - (depth, 0.0))) for b in half)

    if fits(room):
        return room
    low, high = 0.0, room
    while high - low > _STEP_MM / 4:
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return math.floor(low / _STEP_MM) * _STEP_MM


def _reach(tool: Tool, front: float) -> float:
    """Return how deep the tip comes below z = 0 before the shank meets the front face."""
    if tool.kind == "countersink":
        return 1e3
    return tool.length_mm - 1.0 - max(front, 0.0)
