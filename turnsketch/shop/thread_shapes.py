"""Outlines of tools that cut threads: single points, taps and dies.

A single point stands square to the axis; its reference is the lowest place of its tip. Tap and die
stand in the tailstock, on the axis: the reference is the front end.
"""

from __future__ import annotations

import math
from typing import Final

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Point, moved
from turnsketch.part.thread_record import Thread
from turnsketch.part.threads import read_thread
from turnsketch.shop.inside_shapes import bar_pieces, turned_up
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_pieces import Piece, closed

__all__ = [
    "DIE_LEAD_PITCHES",
    "TAP_LEAD_PITCHES",
    "die_pieces",
    "inside_threading_pieces",
    "tap_pieces",
    "threading_pieces",
    "tool_thread",
]

TAP_LEAD_PITCHES: Final = 4.0
"""Length of a tap's ground lead, in pitches: form D, 3.5 to 5 (DIN 2197, from memory)."""

DIE_LEAD_PITCHES: Final = 2.0
"""Length of a die's lead in pitches (common practice)."""

_TAP_CORE: Final = 0.75
_SHANK_SHARE: Final = 0.7
_STOCK_MM: Final = 8.0
_STOCK_LENGTH_MM: Final = 30.0


def tool_thread(tool: Tool) -> Thread:
    """Return the thread that a tap or a die cuts.

    Raises
    ------
    InputError
        The record gives none, or one that can't be read.
    """
    where = f"tool {tool.number}"
    if not tool.thread:
        raise InputError('give the thread that it cuts, such as "M8x1.25"', where)
    try:
        return read_thread(tool.thread, inside=tool.kind == "tap")
    except InputError as error:
        raise error.within(where) from None


def threading_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return the point of a threading tool: two flanks and the round between them.

    Raises
    ------
    InputError
        When angle, tip radius and length of the flanks make no point.
    """
    half = math.radians(tool.profile_angle_deg / 2)
    where = f"tool {tool.number}"
    if not math.radians(5) < half < math.radians(60):
        raise InputError("give the included angle of its point, such as 60", where)
    radius, length = tool.nose_radius_mm, tool.edge_length_mm
    # The flanks touch the round where its normal stands square to them.
    round_end = Point(radius * math.cos(half), radius * (1 - math.sin(half)))
    wide = round_end.z + length * math.sin(half)
    high = round_end.r + length * math.cos(half)
    if length <= 0:
        raise InputError("give the length of the point's flanks as its edge length", where)
    tip: Arc | None = None
    corners = [Point(wide, high), Point(-wide, high)]
    if radius > 0:
        left = Point(-round_end.z, round_end.r)
        tip = Arc(left, round_end, Point(0.0, radius), "ccw")
    else:
        corners = [Point(0.0, 0.0), *corners]
    shift = Point({"left": radius, "centre": 0.0, "right": -radius}[tool.reference], 0.0)
    ring = tuple(moved(element, shift) for element in closed(corners, tip))
    return (Piece("point", True, ring),)


def inside_threading_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return a threading bar for bores: its point turned outward, its bar and its block.

    Raises
    ------
    InputError
        As `threading_pieces`, and as for a boring bar.
    """
    return (*turned_up(threading_pieces(tool)), *bar_pieces(tool))


def tap_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return lead, threads and shank of a tap.

    Raises
    ------
    InputError
        When the record gives no thread, or no length beyond its lead.
    """
    thread = tool_thread(tool)
    radius, lead = thread.diameter / 2, TAP_LEAD_PITCHES * thread.pitch
    if tool.length_mm <= lead:
        raise InputError("give the length of its threads", f"tool {tool.number}")
    slim = thread.minor.lower / 2
    end = tool.length_mm + max(20.0, 2 * thread.diameter)
    shank = _SHANK_SHARE * radius
    return (
        Piece("lead", True, _round((0.0, _TAP_CORE * slim), (lead, radius))),
        Piece("threads", True, _round((lead, radius), (tool.length_mm, radius))),
        Piece("shank", False, _round((tool.length_mm, shank), (end, shank))),
    )


def die_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return a die and the holder round it, open in the middle for the work.

    Raises
    ------
    InputError
        When the record gives no thread, no thickness, or no outside diameter beyond the thread.
    """
    thread, where = tool_thread(tool), f"tool {tool.number}"
    outer = tool.diameter_mm / 2
    if tool.length_mm <= 0:
        raise InputError("give the die's thickness as its length", where)
    if outer <= thread.diameter / 2:
        raise InputError("give the die's outside diameter, wider than its thread", where)
    inner = thread.minor.lower / 2
    pieces: list[Piece] = []
    for name, sign in (("die", 1.0), ("die, far side", -1.0)):
        pieces.append(Piece(name, True, _ring(0.0, tool.length_mm, inner, outer, sign)))
    for name, sign in (("die holder", 1.0), ("die holder, far side", -1.0)):
        end = tool.length_mm + _STOCK_LENGTH_MM
        pieces.append(Piece(name, False, _ring(0.0, end, outer, outer + _STOCK_MM, sign)))
    return tuple(pieces)


def _ring(z0: float, z1: float, inner: float, outer: float, sign: float) -> tuple[Element, ...]:
    low, high = sorted((sign * inner, sign * outer))
    return closed([Point(z0, low), Point(z1, low), Point(z1, high), Point(z0, high)], None)


def _round(*half: tuple[float, float]) -> tuple[Element, ...]:
    """Return the outline of a body of revolution from its half, front end first."""
    upper = [Point(z, r) for z, r in half]
    lower = [Point(z, -r) for z, r in half if r > 0]
    return closed([*lower, *upper[::-1]], None)
