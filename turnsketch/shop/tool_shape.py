"""The outline of a tool around its reference point, worked out from its record.

The reference point is the point whose position the readout shows: X belongs to the tool's lowest
point, Z to its left side, right side or middle, as the record says. It sits at ``(0, 0)``.
Cutting pieces keep exact lines and arcs; every piece is convex and runs counterclockwise.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from turnsketch.errors import InputError
from turnsketch.geometry.elements import (
    Arc,
    Element,
    Line,
    Point,
    mirrored_in_z,
    moved,
    reversed_chain,
)
from turnsketch.part.centre_holes import centre_hole
from turnsketch.shop.inside_shapes import (
    bar_pieces,
    boring_pieces,
    countersink_pieces,
    drill_pieces,
    turned_up,
)
from turnsketch.shop.knurl_shapes import knurl_pieces
from turnsketch.shop.records import Tool
from turnsketch.shop.thread_shapes import (
    die_pieces,
    inside_threading_pieces,
    tap_pieces,
    threading_pieces,
)
from turnsketch.shop.tool_pieces import Piece, closed

__all__ = ["Piece", "ToolShape", "tool_shape"]


@dataclass(frozen=True, slots=True)
class ToolShape:
    """A tool around its reference point."""

    tool: Tool
    pieces: tuple[Piece, ...]

    @property
    def cutting(self) -> tuple[Piece, ...]:
        """The pieces that cut."""
        return tuple(piece for piece in self.pieces if piece.cuts)

    @property
    def passive(self) -> tuple[Piece, ...]:
        """The pieces that must not touch metal."""
        return tuple(piece for piece in self.pieces if not piece.cuts)

    @property
    def blade(self) -> bool:
        """Whether it cuts on its front edge, between two corners."""
        return self.tool.kind in ("parting", "inside grooving")

    @property
    def nose_radius(self) -> float:
        """Radius of the cutting corner (blades: of both corners), millimetres."""
        return self.tool.corner_radius_mm if self.blade else self.tool.nose_radius_mm

    @property
    def end_width(self) -> float:
        """Width of the cutting end: a blade's, or that of a nose, millimetres."""
        return self.tool.width_mm if self.blade else 2 * self.tool.nose_radius_mm


def tool_shape(tool: Tool) -> ToolShape:
    """Return the shape of `tool` around its reference point.

    Raises
    ------
    InputError
        When the record's angles or sizes make no tool.
    """
    makers = {
        "turning": _turning,
        "round": _round,
        "chamfer": _chamfer,
        "form": _form,
        "groove form": _turning,
        "parting": _parting,
        "centre drill": _centre_drill,
        "drill": drill_pieces,
        "reamer": drill_pieces,
        "countersink": countersink_pieces,
        "boring": _boring,
        "inside grooving": _inside_blade,
        "threading": threading_pieces,
        "inside threading": inside_threading_pieces,
        "tap": tap_pieces,
        "die": die_pieces,
        "knurl": knurl_pieces,
    }
    if tool.kind not in makers:
        raise InputError(f"a {tool.kind} tool has no outline here", f"tool {tool.number}")
    cutting = makers[tool.kind](tool)
    holder = tuple(_holder_piece(i, ring) for i, ring in enumerate(tool.holder, start=1))
    return ToolShape(tool, (*cutting, *holder))


def _holder_piece(number: int, ring: tuple[Point, ...]) -> Piece:
    points = list(ring)
    area = sum(a.z * b.r - b.z * a.r for a, b in zip(points, points[1:] + points[:1], strict=True))
    if area < 0:
        points.reverse()
    sides = zip(points, points[1:] + points[:1], strict=True)
    name = "holder" if number == 1 else f"holder {number}"
    return Piece(name, False, tuple(Line(a, b) for a, b in sides))


def _turning(tool: Tool) -> tuple[Piece, ...]:
    """A corner between two straight edges: right hand drawn, left hand mirrored."""
    lead, trail = math.radians(tool.edge_angle_deg), math.radians(tool.end_edge_angle_deg)
    corner = math.pi - lead - trail
    if corner <= math.radians(5):
        raise InputError(
            "the edge angles leave no tool between them: together they must stay below 175 degrees",
            f"tool {tool.number}",
        )
    radius, length = tool.nose_radius_mm, tool.edge_length_mm
    up = Point(math.cos(math.pi - lead), math.sin(math.pi - lead))
    back = Point(math.cos(trail), math.sin(trail))
    # The nose centre stands `radius` from both edges; the reference is the nose's left side and
    # its lowest point, so the centre sits at (radius, radius) for a right-hand tool.
    centre = Point(radius, radius)
    reach = radius / math.tan(corner / 2) if radius else 0.0
    to_corner = radius / math.sin(corner / 2) if radius else 0.0
    half = Point(up.z + back.z, up.r + back.r)
    size = math.hypot(half.z, half.r)
    sharp = centre.minus(half.times(to_corner / size))
    if length <= reach:
        raise InputError("the edge is shorter than its own nose", f"tool {tool.number}")

    def along(direction: Point, way: float) -> Point:
        return sharp.plus(direction.times(way))

    far = along(up, length).plus(back.times(length))
    nose = Arc(along(up, reach), along(back, reach), centre, "ccw") if radius > 0 else None
    points = [along(back, length), far, along(up, length)]
    ring = closed(points if nose else [sharp, *points], nose)
    if tool.hand == "left":
        ring = reversed_chain(tuple(mirrored_in_z(e) for e in ring))
    shift = {"left": 0.0, "centre": -radius, "right": -2 * radius}[tool.reference]
    if tool.hand == "left":
        shift += 2 * radius
    return (Piece("insert", True, tuple(moved(e, Point(shift, 0.0)) for e in ring)),)


def _boring(tool: Tool) -> tuple[Piece, ...]:
    """A boring bar: the edge of a turning tool that points outward."""
    return boring_pieces(tool, _turning(tool))


def _round(tool: Tool) -> tuple[Piece, ...]:
    """A round insert or a full-radius bit: a disc."""
    radius = tool.nose_radius_mm
    if radius <= 0:
        raise InputError("a round tool needs its radius", f"tool {tool.number}")
    z = {"left": radius, "centre": 0.0, "right": -radius}[tool.reference]
    centre, low, top = Point(z, radius), Point(z, 0.0), Point(z, 2 * radius)
    halves = (Arc(low, top, centre, "ccw"), Arc(top, low, centre, "ccw"))
    return (Piece("insert", True, halves),)


def _chamfer(tool: Tool) -> tuple[Piece, ...]:
    """A symmetrical pointed tool whose edges stand at the chamfer angle to the axis."""
    angle = math.radians(tool.chamfer_angle_deg)
    length = tool.edge_length_mm
    wide, high = length * math.cos(angle), length * math.sin(angle)
    points = [Point(0.0, 0.0), Point(wide, high), Point(0.0, 2 * high), Point(-wide, high)]
    return (Piece("edge", True, closed(points, None)),)


def _form(tool: Tool) -> tuple[Piece, ...]:
    """A form tool for the round of a front corner, as convex slices beside a concave quarter.

    The reference is where the quarter runs out into a cylinder: its lowest left point. The quarter
    is drawn circumscribed, so that its chords never stand inside the round (2 um at R3).
    """
    radius, wide = tool.form_radius_mm, max(tool.width_mm, 1.0)
    if radius <= 0:
        raise InputError("a form tool needs the radius that it makes", f"tool {tool.number}")
    high, steps = wide, 24
    outer = radius / math.cos(math.pi / 4 / steps)

    def corner(step: float) -> Point:
        angle = step / steps * math.pi / 2
        return Point(outer * math.sin(angle), outer * math.cos(angle) - radius)

    arc = [Point(0.0, 0.0), *(corner(i + 0.5) for i in range(steps)), Point(radius, -radius)]
    slices = [
        Piece(f"edge {i}", True, closed([a, b, Point(b.z, high), Point(a.z, high)], None))
        for i, (a, b) in enumerate(itertools.pairwise(arc), start=1)
        if b.z - a.z > 1e-9
    ]
    low, right = arc[-1], radius + wide
    horn = [low, Point(right, low.r), Point(right, high), Point(low.z, high)]
    return (*slices, Piece("horn", True, closed(horn, None)))


def _parting(tool: Tool) -> tuple[Piece, ...]:
    """A blade: two rounded corners at its front, its reach behind them."""
    width, corner, reach = tool.width_mm, tool.corner_radius_mm, tool.reach_mm
    if width <= 2 * corner or reach <= corner:
        raise InputError(
            "a blade must be wider than its two corners and reach deeper than one",
            f"tool {tool.number}",
        )
    left = {"left": 0.0, "centre": -width / 2, "right": -width}[tool.reference]
    right = left + width
    ring: list[Element] = []
    if corner > 0:
        ring.append(
            Arc(Point(left, corner), Point(left + corner, 0.0), Point(left + corner, corner), "ccw")
        )
    ring.append(Line(Point(left + corner, 0.0), Point(right - corner, 0.0)))
    if corner > 0:
        ring.append(
            Arc(
                Point(right - corner, 0.0),
                Point(right, corner),
                Point(right - corner, corner),
                "ccw",
            )
        )
    ring += [
        Line(Point(right, corner), Point(right, reach)),
        Line(Point(right, reach), Point(left, reach)),
        Line(Point(left, reach), Point(left, corner)),
    ]
    return (Piece("blade", True, tuple(ring)),)


def _inside_blade(tool: Tool) -> tuple[Piece, ...]:
    """A blade at the side of a bar: it plunges outward."""
    return (*turned_up(_parting(tool)), *bar_pieces(tool))


_DRILL_BODY = 5.0
"""Length of a centre drill's body drawn behind its countersink, in body diameters."""


def _centre_drill(tool: Tool) -> tuple[Piece, ...]:
    """A pilot with a point, a 60 degree countersink and the body, along the axis.

    The reference is the tip: the readout's Z, or the quill's scale, tells where it stands.
    """
    try:
        hole = centre_hole(tool.centre_size_mm)
    except InputError as error:
        raise InputError(error.what, f"tool {tool.number}") from None
    pilot, body, tip = hole.pilot / 2, hole.body / 2, hole.tip
    neck = hole.pilot_length
    wide = neck + (body - pilot) / math.tan(math.radians(30))
    end = wide + _DRILL_BODY * hole.body

    def mirrored(*half: tuple[float, float]) -> tuple[Element, ...]:
        upper = [Point(z, r) for z, r in half]
        lower = [Point(z, -r) for z, r in reversed(half) if r > 0]
        return closed([*lower[::-1], *upper[::-1]], None)

    return (
        Piece("pilot", True, mirrored((0.0, 0.0), (tip, pilot), (neck, pilot))),
        Piece("countersink", True, mirrored((neck, pilot), (wide, body))),
        Piece("drill body", False, mirrored((wide, body), (end, body))),
    )
