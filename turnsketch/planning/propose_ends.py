"""The last operations of a proposal: corners by edge and form tools, and parting off."""

from __future__ import annotations

from itertools import pairwise

from turnsketch.geometry.elements import chain_chords
from turnsketch.job import Operation
from turnsketch.planning.chamfer import corner_stands, corners_for
from turnsketch.planning.context import Context
from turnsketch.shop.records import Tool
from turnsketch.units import from_mm

__all__ = ["corner_operations", "parting_operations"]

_LEAST_BAR_MM = 0.5
"""With less behind the part there is nothing to part off."""

_ROUGH_MM = 0.6
"""So much of the rough cut at most still stands beside the blade, where nothing is finished."""

_TO_FACE_MM = 0.5
"""Left behind a part that is turned around after parting (common practice)."""


def corner_operations(ctx: Context) -> list[Operation]:
    """Return an operation for each edge or form tool that makes a corner of the print."""
    found: list[Operation] = []
    done: set[int] = set()
    for tool in ctx.tools("chamfer", "form"):
        corners = {c.index for c in corners_for(tool, ctx.part) if corner_stands(ctx, c)}
        if corners - done:
            done |= corners
            what = "chamfer" if tool.kind == "chamfer" else "round"
            found.append(
                Operation(
                    "chamfer",
                    tool.number,
                    reason=f"an edge of the {what}'s own shape makes it with one wheel",
                )
            )
    return found


def parting_operations(ctx: Context) -> list[Operation]:
    """Return the parting operation with the narrowest blade that reaches the axis.

    None where a part that no setup turns around is to be sawn off: no blade reaches its axis, or
    it is so long that it whips when it comes off without support. What is turned around later is
    parted by the one that goes deepest all the same: the next setup holds it.
    """
    blades = ctx.tools("parting")
    behind = _behind(ctx) > _LEAST_BAR_MM
    if not blades or ctx.supported or not (ctx.last or ctx.turned_later):
        return []
    if not behind or ctx.chuck.kind == "mandrel":
        return []  # nothing stands behind the part: it was cut to length, or is off the bar
    if ctx.setup.holding.steady is not None:
        return []  # no blade comes behind the steady rest
    if ctx.setup.holding.inside and _behind(ctx) < min(t.width_mm for t in blades):
        return []  # a ring that was cut to length has nothing to be parted from

    def missing(tool: Tool) -> float:
        reach = tool.reach_mm - ctx.shop.clearances.holder_to_metal
        # Behind the setup's end the whole bar stands beside the blade.
        whole = ctx.limit_z is not None and not ctx.last
        beside = ctx.held.radius if whole else _beside_blade(ctx, tool) + _ROUGH_MM
        return max(0.0, beside + tool.corner_radius_mm - reach)

    blade = min(blades, key=lambda t: (missing(t), t.width_mm, t.number))
    if ctx.last and (_whips(ctx) or missing(blade) > _hole(ctx) + 1e-6):
        return []
    line = ctx.held.jaw_face + ctx.shop.clearances.never_beyond_jaws
    left = -ctx.part.total_length - _TO_FACE_MM - blade.width_mm
    if not ctx.last and ctx.limit_z is not None and left < line:
        return []  # the other end stands in the jaws: it is turned around as it is
    why = "last: the part comes off the bar"
    if ctx.turned_later:
        places = 3 if ctx.units == "inch" else 1
        more = f"{from_mm(_TO_FACE_MM, ctx.units):.{places}f}"
        why = "the part comes off the bar, with what is faced off its back later"
        return [Operation("part off", blade.number, z_allowance=more, reason=why)]
    return [Operation("part off", blade.number, reason=why)]


def _whips(ctx: Context) -> bool:
    """Return whether the part is too long to be parted off with its front end free."""
    most = ctx.shop.limits.unsupported_ratio * 2 * ctx.held.radius
    return not ctx.held.inside and ctx.part.total_length > most + 1e-6


def _hole(ctx: Context) -> float:
    """Return the radius of the hole that the part has at its back; 0: none."""
    bores = [b for b in (ctx.part.bore, ctx.part.bore_back) if b is not None and b.through]
    return min((min(s.front.r, s.back.r) for b in bores for s in b.sections), default=0.0)


def _behind(ctx: Context) -> float:
    """Return how much of the blank stands behind the part, millimetres."""
    return -ctx.part.total_length - ctx.held.back


def _beside_blade(ctx: Context, blade: Tool) -> float:
    """Return the greatest radius of the part under the blade's holder while it parts off."""
    right = max((point.z for ring in blade.holder for point in ring), default=0.0)
    shift = {"left": -blade.width_mm, "centre": -blade.width_mm / 2, "right": 0.0}[blade.reference]
    edge = -ctx.part.total_length + shift + right
    points = chain_chords([e.shape for e in ctx.part.aim.elements], 0.05)
    beside = [pair for pair in pairwise(points) if min(pair[0].z, pair[1].z) <= edge]
    return max((p.r for pair in beside for p in pair), default=ctx.held.radius)
