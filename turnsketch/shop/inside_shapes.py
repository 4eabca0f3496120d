"""Outlines of tools that work inside: drills, reamers, countersinks, boring bars.

Drills and their like stand on the axis: the reference is the tip (a reamer's: its front end). A
boring bar's edge points outward: X belongs to its highest point, and the bar runs out of the bore
beside the edge.
"""

from __future__ import annotations

import math

from turnsketch.errors import InputError
from turnsketch.geometry.elements import (
    Element,
    Line,
    Point,
    flipped_in_r,
    rectangle,
    reversed_chain,
)
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_pieces import Piece, closed

__all__ = ["bar_pieces", "boring_pieces", "countersink_pieces", "drill_pieces", "turned_up"]

_SHANK = 3.0
"""Length of a drill's shank or chuck drawn behind its flutes, in diameters, at least 20 mm."""

_HEAD_MM = 1.0
"""A bar's front end stands so far behind its edge."""

_BLOCK = (60.0, 25.0, 40.0)
"""Length, height toward the edge and height away from it of the block that holds a bar."""


def drill_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return point and flutes of a drill (a reamer: its front is flat), and its shank.

    Raises
    ------
    InputError
        When the record gives no diameter, length or sensible point.
    """
    radius = _radius(tool)
    tip = 0.0
    pieces: list[Piece] = []
    if tool.kind == "drill":
        half = _half_angle(tool)
        tip = radius / math.tan(half)
        pieces.append(Piece("point", True, _round_body((0.0, 0.0), (tip, radius))))
    if tool.length_mm <= tip:
        raise InputError("give the length of its flutes", f"tool {tool.number}")
    pieces.append(Piece("flutes", True, _round_body((tip, radius), (tool.length_mm, radius))))
    end = tool.length_mm + max(20.0, _SHANK * 2 * radius)
    shank = max(radius, 8.0)
    pieces.append(Piece("shank", False, _round_body((tool.length_mm, shank), (end, shank))))
    return tuple(pieces)


def countersink_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return cone and shank of a countersink; the reference is the tip of its cone.

    Raises
    ------
    InputError
        As for a drill.
    """
    radius = _radius(tool)
    tip = radius / math.tan(_half_angle(tool))
    body = tip + max(20.0, 2 * radius)
    return (
        Piece("cone", True, _round_body((0.0, 0.0), (tip, radius))),
        Piece("shank", False, _round_body((tip, radius), (body, radius))),
    )


def boring_pieces(tool: Tool, insert: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Return a boring bar: the edge of a turning tool turned up, its bar and its block.

    Parameters
    ----------
    insert : tuple of Piece
        The edge as an outside tool has it.
    """
    return (*turned_up(insert), *bar_pieces(tool))


def turned_up(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Return the pieces with their edges pointing outward."""
    return tuple(
        Piece(
            piece.name,
            piece.cuts,
            reversed_chain(tuple(flipped_in_r(element, 0.0) for element in piece.outline)),
        )
        for piece in pieces
    )


def bar_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return bar and block of a tool that works in a bore, around its edge at [0, 0].

    In the smallest bore that the record allows, the bar stands in the middle.

    Raises
    ------
    InputError
        When the record gives no bar, no reach, or a least bore that the bar does not go into.
    """
    bar, least, reach = tool.bar_diameter_mm, tool.least_bore_mm, tool.length_mm
    if bar <= 0 or reach <= _HEAD_MM:
        raise InputError("give the bar's diameter and its reach", f"tool {tool.number}")
    if least <= bar:
        raise InputError("its least bore must be wider than its bar", f"tool {tool.number}")
    near = -(least - bar) / 2
    length, toward, away = _BLOCK
    middle = near - bar / 2
    return (
        Piece("bar", False, _box(_HEAD_MM, reach, near - bar, near)),
        Piece("block", False, _box(reach, reach + length, middle - away, middle + toward)),
    )


def _radius(tool: Tool) -> float:
    if tool.diameter_mm <= 0:
        raise InputError("give its diameter", f"tool {tool.number}")
    return tool.diameter_mm / 2


def _half_angle(tool: Tool) -> float:
    if not 10.0 < tool.point_angle_deg < 180.0:
        raise InputError("give the included angle of its point", f"tool {tool.number}")
    return math.radians(tool.point_angle_deg / 2)


def _round_body(*half: tuple[float, float]) -> tuple[Element, ...]:
    """Return the outline of a body of revolution from its half, tip first."""
    upper = [Point(z, r) for z, r in half]
    lower = [Point(z, -r) for z, r in half if r > 0]
    return closed([*lower, *upper[::-1]], None)


def _box(z0: float, z1: float, r0: float, r1: float) -> tuple[Line, ...]:
    corners = rectangle(z0, z1, r0, r1)
    return tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
