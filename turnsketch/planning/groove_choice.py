"""Which tool of the shop makes a groove best: those that are likely to are tried first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from turnsketch.geometry.elements import Arc, Element, Line
from turnsketch.job import Operation
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import Outline, ResolvedGroove
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.groove import plan_groove
from turnsketch.planning.groove_runs import upright_or_level
from turnsketch.planning.groove_slants import SLIDE_MOTIONS
from turnsketch.planning.groove_space import groove_metal
from turnsketch.planning.steps_pass import CUSP_MM
from turnsketch.readings.step_cusps import arc_step_angle, straight_step
from turnsketch.shop.records import Lathe, Tool
from turnsketch.shop.suited import goes_straight_in
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["Trial", "best_tool"]

_ABOUT = 0.97
"""Share of the best tool's metal that counts as about as much."""

_NOSED = ("undercut E", "undercut F", "round")
"""Kinds that a blade, which has two corners, makes badly."""

_KEEN_MM = 0.2
"""A nose so small does for a sharp corner."""

_FORMS = ("groove form", "threading", "inside threading")
_MOVES_PER_STEP = 3
_ROUNDED = 1e-6
_SAME_ANGLE = 1e-6
_SAME_MM = 1e-6


@dataclass(frozen=True)
class Trial:
    """What one tool makes of one groove."""

    tool: Tool
    passes: tuple[DraftPass, ...]
    after: State
    taken: float
    """Area of what it takes, half section."""

    @property
    def order(self) -> tuple[bool, bool, int, float]:
        """Best first: no steps and no slide to set, straight in, few motions, a wide tool."""
        slides = [p for p in self.passes if p.means == "top slide"]
        stepped = any(p.steps is not None for p in self.passes)
        moves = sum(len(p.moves) for p in self.passes)
        settings = len(dict.fromkeys(p.taper for p in slides))
        stepped = stepped or settings > 0
        sideways = not stepped and not goes_straight_in(self.tool)
        return stepped, sideways, moves + SLIDE_MOTIONS * settings, -self.tool.width_mm


def best_tool(
    ctx: Context, groove: ResolvedGroove, outline: Outline, overrun: float, state: State
) -> Trial | None:
    """Return what the best tool makes of a groove; None where no tool of the shop makes it.

    Of those that take about as much as the one that takes most, the one that needs no steps, then
    the one with the fewest motions. Once a tool takes all that there is, those that would need
    more steps than it needs motions are not tried.
    """
    cut = grooved(outline, (groove,), inside=ctx.axis_r is not None)
    metal = groove_metal(ctx, outline, cut, overrun)
    standing = metal.intersection(state.remaining).area
    suited = [shape for shape in ctx.shapes.values() if _suits(ctx, shape, groove)]
    likely = {shape.tool.number: _likely_moves(ctx.lathe, shape, groove) for shape in suited}
    tried: list[Trial] = []
    best: Trial | None = None
    for shape in sorted(
        suited, key=lambda s: (likely[s.tool.number], not goes_straight_in(s.tool))
    ):
        steps = likely[shape.tool.number]
        straight = goes_straight_in(shape.tool)
        if best is not None and (steps > 0, not (steps or straight), steps) > best.order[:3]:
            continue
        tool = shape.tool
        operation = Operation("groove", tool.number, grooves=(groove.number,))
        start = replace(state, tool=None)
        passes, after = plan_groove(ctx, operation, start, "proposed groove", outline, overrun)
        if passes:
            taken = standing - metal.intersection(after.remaining).area
            tried.append(Trial(tool, tuple(passes), after, taken))
            if taken >= _ABOUT * standing:
                best = tried[-1] if best is None else min(best, tried[-1], key=lambda t: t.order)
    if not tried:
        return None
    most = max(t.taken for t in tried)
    order = list(ctx.shapes)
    tried.sort(key=lambda t: order.index(t.tool.number))
    return min((t for t in tried if t.taken >= _ABOUT * most), key=lambda t: t.order)


def _suits(ctx: Context, shape: ToolShape, groove: ResolvedGroove) -> bool:
    """Return whether a tool is worth trying: a blade for walls, a nose for slants and rounds.

    One that is ground to a form is for grooves of this form alone. A context of a bore has tools
    for bores alone.
    """
    tool = shape.tool
    if groove.inside != (ctx.axis_r is not None):
        return False
    wide = max(e.start.z for e in groove.elements) - min(e.end.z for e in groove.elements)
    if shape.blade:
        return tool.width_mm <= wide + 1e-6 and groove.kind not in _NOSED
    if tool.kind in _FORMS:
        return _has_form(shape, groove)
    upright = all(upright_or_level(e) or isinstance(e, Arc) for e in groove.elements)
    if upright and groove.kind in ("plain", "ring"):
        return False
    nose = tool.nose_radius_mm
    fits = nose <= max(groove.corner_mm, _KEEN_MM) + 1e-3 and nose > 0
    return fits and tool.kind in ("round", "turning")


def _has_form(shape: ToolShape, groove: ResolvedGroove) -> bool:
    """Return whether a tool is ground to a groove's slants, and its nose to the round."""
    slants = [e for e in groove.elements if not upright_or_level(e)]
    lines = [e for e in slants if isinstance(e, Line)]
    rounds = [e for e in slants if isinstance(e, Arc)]
    nose = shape.nose_radius
    return (
        bool(lines)
        and all(any(_edge_fits(edge, e) for edge in _edges(shape)) for e in lines)
        and all(abs(e.radius - nose) < _SAME_MM for e in rounds)
        and (bool(rounds) or nose <= _KEEN_MM + _SAME_MM)
    )


def _likely_moves(lathe: Lathe, shape: ToolShape, groove: ResolvedGroove) -> int:
    """Return how many motions a tool needs for slants and rounds in steps; 0 where it fits."""
    if lathe.guided_moves == "taper and arc":
        return 0
    steps = sum(_steps(shape, element) for element in groove.elements)
    return math.ceil(min(_MOVES_PER_STEP * steps, 2.0 * SLIDE_MOTIONS) - _ROUNDED)


def _steps(shape: ToolShape, element: Element) -> float:
    """Return how many steps of a tool's nose an element needs (see `step_placing`), unrounded."""
    nose = shape.nose_radius
    limit = min(CUSP_MM, nose)
    if isinstance(element, Arc):
        inner = element.radius - nose
        if inner < _SAME_MM or nose <= 0:
            return 0.0
        angle = arc_step_angle(element.radius, nose, limit, convex=False)
        return abs(element.sweep) / angle
    if upright_or_level(element) or any(_edge_fits(edge, element) for edge in _edges(shape)):
        return 0.0
    return element.length / straight_step(nose, limit) if nose > 0 else 1.0


def _edges(shape: ToolShape) -> Iterator[Line]:
    for piece in shape.cutting:
        yield from (edge for edge in piece.outline if isinstance(edge, Line))


def _edge_fits(edge: Line, element: Line) -> bool:
    """Return whether a tool's edge makes a slant all along at once."""
    a, b = edge.start_direction, element.start_direction
    along = abs(a.z * b.r - a.r * b.z) < _SAME_ANGLE and a.z * b.z + a.r * b.r < 0
    return along and edge.length >= element.length - _SAME_MM
