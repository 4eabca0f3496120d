"""Planning in a bore: the same planner, with the half section turned inside out.

Every radius is told the other way (`turnsketch.planning.inside_out`): the bore's wall becomes an
outside, its tool comes from above, and rough, finish and their passes need to know nothing of
bores.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import msgspec
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_ROUGH
from turnsketch.geometry.elements import Line, Point, flipped_in_r
from turnsketch.part.bore_mouths import from_mouth
from turnsketch.part.grooved_outline import left_for_grooves
from turnsketch.part.outline_records import (
    JoinKind,
    Outline,
    OutlineElement,
    ResolvedBore,
    ResolvedGroove,
    ResolvedThread,
    SectionInfo,
)
from turnsketch.part.thread_reliefs import run_out_length
from turnsketch.part.thread_sections import thread_of
from turnsketch.part.turned import bore_grooves
from turnsketch.plan_records import (
    Obstacle,
)
from turnsketch.planning.context import Context, State
from turnsketch.planning.holding import HeldBlank, Stock
from turnsketch.planning.inside_out import (
    AXIS_R,
    inside_out,
    point_inside,
    region_inside,
    ring_inside,
)
from turnsketch.shop.inside_shapes import turned_up
from turnsketch.shop.tool_shape import ToolShape

__all__ = [
    "INSIDE_TOOLS",
    "InsideWork",
    "bore_threads",
    "hole_radius",
    "inside_context",
    "inside_outline",
    "inside_work",
    "room_behind",
]

INSIDE_TOOLS = ("boring", "inside grooving", "inside threading")

_BEHIND_MM = 20.0
"""The keep runs on so far behind a through bore at least."""

_MOUTH_MM = 0.3
_POINT = 0.62
"""Length of a drill's point of 118 degrees, in radii, and a little more."""

_THROUGH_MM = 1.0
"""A through bore is cut so far beyond the other end at least."""

_FACED_LATER_MM = 1.3
"""The same where a later setup faces that end: not by whole cuts of the facing, which would leave
the end of the bore as a feather."""

_SHORT_END_MM = 4.0
"""A blank that ends so little behind the part is bored through to its end where a later setup
faces it."""

_OUT_MM = 0.2
"""A bar's nose comes so far out of the blank's end."""

_TO_THE_END_MM = 1e-3
_CLEAR_MM = 0.5
"""What a threading bar keeps from the wall behind its run-out."""

_BELOW_MM = 0.1
_THOUGHT_WALL_MM = 1.0

_OTHER_JOIN: Mapping[JoinKind, JoinKind] = {
    "smooth": "smooth",
    "convex": "reflex",
    "reflex": "convex",
}


def inside_outline(void: Outline) -> Outline:
    """Return the metal's chain around a void: the end face, then the bore from its mouth inward.

    Parameters
    ----------
    void : Outline
        The void told as a body (`ResolvedBore.aim` or `.plain`), axis to axis.
    """
    rim = void.elements[0].shape.end
    face = OutlineElement(Line(Point(rim.z, 0.0), Point(rim.z, AXIS_R - rim.r)), None, "face")
    walls = [replace(e, shape=flipped_in_r(e.shape, AXIS_R)) for e in void.elements[1:]]
    return Outline((face, *walls), tuple(_OTHER_JOIN[join] for join in void.joins))


def inside_context(ctx: Context, metal: BaseGeometry) -> Context:
    """Return the setup as it looks to a tool in the front end's bore.

    Parameters
    ----------
    metal : polygonal geometry
        Half section of what remains: the hole that is there gives the first level.

    Raises
    ------
    ValueError
        The part has no bore in the end that is in front.
    """
    bore = ctx.part.bore
    if bore is None:
        raise ValueError("the part has no bore in front")
    outline = inside_outline(from_mouth(bore))
    part = replace(
        ctx.part,
        aim=outline,
        nominal=inside_outline(bore.nominal),
        corners=(),
        sections=tuple(_section(info) for info in bore.sections),
        total_length=bore.depth,
        sharp=outline,
        corner_specs=(),
        bore=None,
        bore_back=None,
        grooves=_grooves(ctx),
        threads=tuple(bore_threads(ctx, bore)),
    )
    shapes = {
        number: _tool(shape)
        for number, shape in ctx.shapes.items()
        if shape.tool.kind in INSIDE_TOOLS
    }
    held = _held(ctx.held, metal, bore)
    return replace(ctx, part=part, held=held, shapes=shapes, limit_z=None, axis_r=AXIS_R)


def _grooves(ctx: Context) -> tuple[ResolvedGroove, ...]:
    """Return the front bore's grooves inside out; their diameters stay true."""
    return tuple(
        replace(g, elements=tuple(flipped_in_r(e, AXIS_R) for e in g.elements))
        for g in bore_grooves(ctx.part, back=False)
    )


@dataclass(frozen=True)
class InsideWork:
    """Work in the front end's bore, told inside out."""

    ctx: Context
    state: State
    outline: Outline
    overrun: float


def inside_work(
    ctx: Context, state: State, overrun: float, *, mouth: bool = True
) -> InsideWork | None:
    """Return what a planner works on in the bore; None where the part has none in front.

    Parameters
    ----------
    overrun : float
        Room behind the part's back face: a through bore is cut on into it.
    mouth : bool
        The corner at the mouth is made with the rest.
    """
    bore = ctx.part.bore
    if bore is None:
        return None
    outline = inside_outline(from_mouth(bore, mouth=mouth))
    return InsideWork(
        inside_context(ctx, state.remaining),
        inside_out(state),
        left_for_grooves(outline, _grooves(ctx), inside=True),
        room_behind(ctx, bore, overrun),
    )


def room_behind(ctx: Context, bore: ResolvedBore, overrun: float) -> float:
    """Return how far behind the part a through bore is cut on; 0 where it has a bottom.

    Parameters
    ----------
    overrun : float
        Room behind the part's back face for the blade. A thread that ends there needs its
        run-out besides, and what of the threading bar goes ahead of its tip.
    """
    if not bore.through:
        return 0.0
    back = -bore.depth + _TO_THE_END_MM
    ends = [_run_out(ctx, t) for t in bore_threads(ctx, bore) if t.back_z <= back]
    least = _FACED_LATER_MM if ctx.turned_later else _THROUGH_MM
    return max(overrun, least, _to_blanks_end(ctx, bore), *ends)


def _to_blanks_end(ctx: Context, bore: ResolvedBore) -> float:
    """Return how far a bore goes on to come out of a blank that ends shortly behind the part.

    A ring that stays there is thin as a feather, and comes loose when the end is faced.
    """
    room = -bore.depth - ctx.held.back
    if not ctx.turned_later or not 0.0 < room <= _SHORT_END_MM:
        return 0.0
    bars = [s.nose_radius for s in ctx.shapes.values() if s.tool.kind == "boring"]
    return room + max(bars, default=0.0) + _OUT_MM


def _run_out(ctx: Context, place: ResolvedThread) -> float:
    """Return the room that a single point needs behind a thread; 0: no bar of the shop goes in."""
    thread = thread_of(place)
    ahead = [
        -min(p.z for piece in shape.pieces for p in piece.ring(CHORD_ROUGH))
        for shape in ctx.shapes.values()
        if shape.tool.kind == "inside threading"
        and shape.tool.least_bore_mm <= thread.minor.upper
        and shape.tool.nose_radius_mm <= thread.greatest_tip_radius
    ]
    return max(ahead) + run_out_length(place.pitch) + _CLEAR_MM if ahead else 0.0


def bore_threads(ctx: Context, bore: ResolvedBore) -> Iterator[ResolvedThread]:
    """Yield the threads in a bore; their diameters stay true."""
    yield from (t for t in ctx.part.threads if t.inside and t.section in bore.numbers)


def hole_radius(metal: BaseGeometry, depth: float) -> float:
    """Return the smallest radius of the hole that is open down to `depth`; 0: none is."""
    front = float(metal.bounds[2])
    strip = shapely.clip_by_rect(metal, -depth, 0.0, front, 1e4)
    return 0.0 if strip.is_empty else float(strip.bounds[1])


def _point_room(bore: ResolvedBore) -> float:
    """Return the length at a blind bore's bottom in which a drill's point may stand."""
    narrowest = min(min(info.front.r, info.back.r) for info in bore.sections)
    return min(_POINT * narrowest, 0.5 * bore.depth)


def _bottom_radius(metal: BaseGeometry, bore: ResolvedBore) -> float:
    """Return the radius of the hole that goes on below a bore's bottom; 0: solid metal.

    Behind a through bore a wall is thought, for the tool to stop at.
    """
    if bore.through:
        narrow = min(bore.plain.elements[-1].shape.start.r, hole_radius(metal, bore.depth))
        return max(0.0, narrow - _THOUGHT_WALL_MM)
    low, high = -bore.depth - 2 * _BELOW_MM, -bore.depth - _BELOW_MM
    strip = shapely.clip_by_rect(metal, low, 0.0, high, 1e4)
    return 0.0 if strip.is_empty else float(strip.bounds[1])


def _held(held: HeldBlank, metal: BaseGeometry, bore: ResolvedBore) -> HeldBlank:
    """Return the blank seen from its bore: its outside is the hole's wall."""
    depth = bore.depth
    mouth = hole_radius(metal, _MOUTH_MM)
    hole = hole_radius(metal, depth if bore.through else depth - _point_room(bore))
    radius = AXIS_R - hole
    back = min(held.back, -depth - _BEHIND_MM)
    obstacles = tuple(Obstacle(o.name, ring_inside(o.ring), o.from_pass) for o in held.obstacles)
    return replace(
        held,
        radius=radius,
        length=held.raw_front - back,
        obstacles=obstacles,
        stock=Stock.of(region_inside(metal)),
        seat=None,
        between_centres=False,
        travel=AXIS_R - min(mouth, hole),
        wall=AXIS_R - _bottom_radius(metal, bore),
    )


def _section(info: SectionInfo) -> SectionInfo:
    centre = None if info.centre is None else point_inside(info.centre)
    return replace(
        info, front=point_inside(info.front), back=point_inside(info.back), centre=centre
    )


def _tool(shape: ToolShape) -> ToolShape:
    """Return a tool for bores as an outside tool: its edge points down."""
    kind = "turning" if shape.tool.kind == "boring" else shape.tool.kind
    return ToolShape(msgspec.structs.replace(shape.tool, kind=kind), turned_up(shape.pieces))
