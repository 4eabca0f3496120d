"""Outline of a knurling tool: its wheels seen from above.

The wheels turn on pins along the spindle, so from above they are a rectangle of their width and
diameter. They press; of metal they take nothing.
"""

from __future__ import annotations

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.part.knurls import Knurl, read_knurl
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_pieces import Piece, closed

__all__ = ["knurl_pieces", "tool_knurl"]


def tool_knurl(tool: Tool) -> Knurl:
    """Return the knurl that a tool's wheels press.

    Raises
    ------
    InputError
        The record gives none, or one that can't be read.
    """
    where = f"tool {tool.number}"
    if not tool.knurl:
        raise InputError('give the knurl that it presses, such as "RGE 1.0"', where)
    try:
        return read_knurl(tool.knurl)
    except InputError as error:
        raise error.within(where) from None


def knurl_pieces(tool: Tool) -> tuple[Piece, ...]:
    """Return the wheels as one rectangle, its lowest line on the work.

    Raises
    ------
    InputError
        The record gives no width or diameter of the wheels, or no knurl.
    """
    tool_knurl(tool)
    if tool.width_mm <= 0 or tool.diameter_mm <= 0:
        raise InputError("give the width and the diameter of its wheels", f"tool {tool.number}")
    left = {"left": 0.0, "centre": -tool.width_mm / 2, "right": -tool.width_mm}[tool.reference]
    right, top = left + tool.width_mm, tool.diameter_mm
    corners = [Point(left, 0.0), Point(right, 0.0), Point(right, top), Point(left, top)]
    return (Piece("wheels", True, closed(corners, None)),)
