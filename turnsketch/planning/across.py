"""Roughing by facing cuts: the same planner, with the half section turned on its side.

A place ``(z, r)`` is told as ``(r, z + LIFT)``: cuts toward the axis become cuts along, metal in
front becomes the metal outside, and levels stand at whole figures of Z. `LIFT` is 20 inches, so
that easy figures stay easy in both units. In a bore, told inside out already, the same cuts go
from the hole outward.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import msgspec
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.elements import Arc, Element, Line, Point, Turn, reversed_chain
from turnsketch.geometry.minkowski import clean, polygons
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline, OutlineElement
from turnsketch.plan_records import Move, Obstacle, Ring
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass, XMode, ZMode
from turnsketch.planning.holding import HeldBlank, Stock
from turnsketch.planning.keep import keep_of
from turnsketch.planning.rough import plan_rough
from turnsketch.shop.tool_pieces import Piece
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["LIFT", "plan_across"]

LIFT = 508.0

_BEHIND_MM = 50.0
"""Room beyond the axis, in which nothing is asked for."""

_OTHER_ROLE = {"face": "cylinder", "cylinder": "face"}


def plan_across(
    ctx: Context, operation: Operation, state: State, where: str, outline: Outline, overrun: float
) -> tuple[list[DraftPass], State]:
    """Return the roughing passes of one tool as facing cuts, from the front toward the chuck.

    Allowances, depth and feed are those of roughing; the depth is along Z. `overrun` is the length
    between the back face and what stands behind it, which no cut may reach.
    """
    shape = ctx.shape(operation.tool, where)
    if shape.tool.hand == "left":
        return [], state  # it cuts away from the axis
    turned = _context(ctx, state.remaining)
    swapped = msgspec.structs.replace(
        operation, x_allowance=operation.z_allowance, z_allowance=operation.x_allowance
    )
    start = State(_region(state.remaining), _point(state.position), state.tool)
    beyond = 2 * shape.nose_radius + 0.01
    side = _outline(outline if ctx.axis_r is not None else _with_bar(ctx, outline, overrun))
    passes, after = plan_rough(turned, swapped, start, where, side, beyond)
    back = State(_back_region(after.remaining), _back(after.position), after.tool)
    made = [_pass(one) for one in passes]
    if made:
        made[0] = replace(made[0], start=state.position)  # there and back rounds the last bit
    return made, back


def _context(ctx: Context, metal: BaseGeometry) -> Context:
    """Return the setup as it looks to cuts toward the axis."""
    aim = ctx.part.aim
    outline = _outline(aim if ctx.axis_r is not None else _open_behind(aim))
    part = replace(
        ctx.part,
        aim=outline,
        nominal=outline,
        corners=(),
        sections=(),
        sharp=outline,
        corner_specs=(),
        bore=None,
        bore_back=None,
        grooves=(),
        threads=(),
    )
    shapes = {number: _tool(shape) for number, shape in ctx.shapes.items()}
    setup = msgspec.structs.replace(ctx.setup, zero="0")
    return replace(
        ctx,
        setup=setup,
        part=part,
        held=_held(ctx, metal),
        shapes=shapes,
        limit_z=None,
        ahead=ctx.held.radius,
        axis_r=None,
    )


def _held(ctx: Context, metal: BaseGeometry) -> HeldBlank:
    """Return the blank on its side: its front face is the outside, its outside the front.

    In a bore, the wall on the axis's other side stands in front as an obstacle.
    """
    held = ctx.held
    obstacles = [Obstacle(o.name, _ring(o.ring), o.from_pass) for o in held.obstacles]
    if ctx.axis_r is not None:
        obstacles += _other_wall(metal, ctx.axis_r)
    return replace(
        held,
        radius=float(metal.bounds[2]) + LIFT,
        length=held.radius + _BEHIND_MM,
        raw_front=held.radius,
        obstacles=tuple(obstacles),
        stock=Stock.of(_region(metal)),
        seat=None,
        travel=None,
        wall=None,
    )


def _other_wall(metal: BaseGeometry, axis_r: float) -> Iterator[Obstacle]:
    """Yield a bore's metal on the axis's other side, on its side."""
    for piece in polygons(metal):
        corners = shapely.get_coordinates(piece.exterior)[:-1].tolist()
        ring = tuple(Point(z, 2 * axis_r - r) for z, r in corners)
        yield Obstacle("the bore's other wall", _ring(ring))


def _outline(outline: Outline) -> Outline:
    """Return the outline on its side, from the outside at the chuck to the axis at the front.

    In a bore, what closes it at the back is its bottom, which cuts across make.
    """
    turned = tuple(
        OutlineElement(
            _element(e.shape),
            e.section,
            _OTHER_ROLE.get(e.role, e.role),  # type: ignore[arg-type]
            e.corner,
        )
        for e in reversed(outline.elements)
    )
    return Outline(turned, outline.joins[::-1])


def _open_behind(outline: Outline) -> Outline:
    """Return the outline without the face that closes it at the back."""
    last = outline.elements[-1].shape
    if abs(last.start.z - last.end.z) > 1e-9 or len(outline.elements) < 2:
        return outline
    return Outline(outline.elements[:-1], outline.joins[:-1])


def _with_bar(ctx: Context, outline: Outline, overrun: float) -> Outline:
    """Return the outline, open at the back, with the neck and the wall of what stands behind.

    On its side none of it is a cylinder: no level is made for it.
    """
    own = _open_behind(outline).elements
    keep = keep_of(outline, ctx.held, overrun)
    more = tuple(OutlineElement(e, None, "cylinder") for e in keep.elements[len(own) :])
    return Outline((*own, *more), keep.joins)


def _point(point: Point) -> Point:
    return Point(point.r, point.z + LIFT)


def _back(point: Point) -> Point:
    return Point(point.r - LIFT, point.z)


def _ring(ring: Ring) -> Ring:
    return tuple(_point(point) for point in ring)


def _element(element: Element) -> Element:
    start, end = _point(element.end), _point(element.start)
    if isinstance(element, Line):
        return Line(start, end)
    # Turned on its side an arc changes its sense, travelled back it changes it again.
    return Arc(start, end, _point(element.centre), element.turn)


def _tool(shape: ToolShape) -> ToolShape:
    def side(element: Element) -> Element:
        start, end = Point(*element.start[::-1]), Point(*element.end[::-1])
        if isinstance(element, Line):
            return Line(start, end)
        turn: Turn = "cw" if element.turn == "ccw" else "ccw"
        return Arc(start, end, Point(*element.centre[::-1]), turn)

    pieces = tuple(
        Piece(p.name, p.cuts, reversed_chain(tuple(side(e) for e in p.outline)))
        for p in shape.pieces
    )
    return ToolShape(shape.tool, pieces)


def _region(metal: BaseGeometry) -> BaseGeometry:
    return clean(shapely.transform(metal, lambda zr: zr[:, ::-1] + (0.0, LIFT)))


def _back_region(metal: BaseGeometry) -> BaseGeometry:
    turned = clean(shapely.transform(metal, lambda zr: (zr - (0.0, LIFT))[:, ::-1]))
    low, _, high, top = turned.bounds
    return clean(shapely.clip_by_rect(turned, low, 0.0, high, top))


def _pass(one: DraftPass) -> DraftPass:
    moves = tuple(replace(m, move=_move(m.move)) for m in one.moves)
    # What was rounded to keep metal in one axis keeps it in the other.
    moves = tuple(replace(m, x_mode=_x_mode(m.z_mode), z_mode=_z_mode(m.x_mode)) for m in moves)
    end = min((m.move.to.r for m in moves if m.move.kind == "cut"), default=0.0)
    widest = max((m.move.to.r for m in moves if m.move.kind == "cut"), default=0.0)
    return replace(
        one,
        start=_back(one.start),
        moves=moves,
        surface="shoulder" if end > 1.0 else "front face",
        section=None,
        direction="face",
        speed_diameter=2 * max(widest, one.start.z if one.start.z < 1e3 else widest),
        power_until=one.power_until,
    )


def _x_mode(z_mode: ZMode) -> XMode:
    return "keep metal" if z_mode == "keep metal" else "nearest"


def _z_mode(x_mode: XMode) -> ZMode:
    return "keep metal" if x_mode == "keep metal" else "nearest"


def _move(move: Move) -> Move:
    if move.centre is None or move.turn is None:
        return Move(move.kind, _back(move.to), None, None, move.pitch)
    turn: Turn = "cw" if move.turn == "ccw" else "ccw"
    return Move(move.kind, _back(move.to), _back(move.centre), turn, move.pitch)
