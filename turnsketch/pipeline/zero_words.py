"""How Z is found in a setup after another, and how true the work is set. Common practice.

A part turned around: what it is measured longer than the print is what Z reads on its raw face. A
bar pulled out: its finished face is touched again, or a stop gives the way, and a shoulder that
stands already checks it.
"""

from __future__ import annotations

from shapely import Point as Spot

from turnsketch.geometry.elements import Line, Point
from turnsketch.job import Holding
from turnsketch.pipeline.lengths import said
from turnsketch.planning.context import Context, length_mm
from turnsketch.planning.stage import made_here
from turnsketch.units import from_mm

__all__ = ["zero_words"]

_FACED_MM = 1e-3
"""A front that stands no further out is finished."""

_SHOULDER_MM = 0.2
"""A face narrower than this, on radius, is not to be touched."""


_FOOT_MM = 1.0
"""So far in front of a shoulder its corner leaves nothing on the surface."""


def zero_words(ctx: Context) -> str:
    """Return how Z is found in a setup after another, in the job's words or the program's."""
    if ctx.setup.zero_from or ctx.index == 0:
        return ctx.setup.zero_from
    before, here = ctx.job.setups[ctx.index - 1], ctx.setup
    if before.turned != here.turned:
        return _turned(ctx, before.holding)
    same = (before.holding.device, before.holding.grip) == (here.holding.device, here.holding.grip)
    if same and here.pull_out is None and here.zero == before.zero:
        return "The work stays in its holding: the zero of the setup before holds."
    return _again(ctx)


def _again(ctx: Context) -> str:
    """Return how Z is found on work whose front end stays in front: pulled out, or held again."""
    pulled = ctx.setup.pull_out
    held = "The work was taken up again"
    if pulled:
        way = length_mm(pulled, ctx.units, f"setups[{ctx.index}].pull_out")
        held = f"The bar was pulled out {said(way, ctx.job)}"
    shoulder = _shoulder(ctx)
    if abs(ctx.held.raw_front) < _FACED_MM and not _flat_front(ctx) and shoulder is not None:
        found = f"touch the shoulder at Z {_shown(ctx, shoulder)} and enter that there"
        check = ""
    else:
        finished = "finished " if abs(ctx.held.raw_front) < _FACED_MM else ""
        found = (
            f"touch the {finished}front face and enter Z {_shown(ctx, ctx.held.raw_front)} there"
        )
        check = (
            ""
            if shoulder is None
            else (f" Check: the shoulder at Z {_shown(ctx, shoulder)} must read so.")
        )
    stop = (
        " (A stop at the front face, moved that far before the jaws are loosened, keeps the way.)"
        if pulled
        else ""
    )
    return f"{held}: {found}, for every tool.{stop}{check} {_true(ctx)}"


def _turned(ctx: Context, before: Holding) -> str:
    """Return how Z is found on a part that was turned around: from its measured length."""
    centres = before.kind == "between centres" == ctx.setup.holding.kind
    true = (
        "Between its centres it runs true by itself: clean both holes, grease the tailstock's."
        if centres
        else _true(ctx)
    )
    if abs(ctx.held.raw_front) < _FACED_MM:
        return (
            "The part was turned around, and this end is faced: touch it and enter "
            f"Z {_shown(ctx, ctx.held.raw_front)} there, for every tool. {true}"
        )
    zero = f" plus {_figure(ctx, ctx.zero)}" if ctx.zero else ""
    length = _figure(ctx, ctx.part.total_length)
    return (
        f"The part was turned around. Measure its whole length: ________. What it is more than "
        f"{length}, the length on the print, is what Z reads on the raw face: touch it and enter "
        f"Z ________{zero} there (about {_shown(ctx, ctx.held.raw_front)}), for every tool. {true}"
    )


def _true(ctx: Context) -> str:
    """Return how the work is set true: on what was turned before."""
    if ctx.chuck.kind == "mandrel":
        return (
            "On the mandrel it runs as true as its bore: clean both, check the mandrel by "
            f"indicator: within {_run_out(ctx)}."
        )
    return f"Set it true by indicator on what was turned: within {_run_out(ctx)}."


def _flat_front(ctx: Context) -> bool:
    first = ctx.part.aim.elements[0].shape
    return abs(first.start.z - first.end.z) < _FACED_MM and first.end.r > _SHOULDER_MM


def _shoulder(ctx: Context) -> float | None:
    """Return z of a shoulder that the setup before has made: the one nearest to this one's work."""
    found = []
    top = max((e.shape.end.z for e in ctx.part.aim.elements), default=0.0)
    for element in ctx.part.aim.elements:
        shape = element.shape
        upright = isinstance(shape, Line) and abs(shape.start.z - shape.end.z) < _FACED_MM
        rises = shape.end.r - shape.start.r > _SHOULDER_MM
        if upright and rises and shape.start.z < top - _SHOULDER_MM and _stands(ctx, shape.start):
            found.append(shape.start.z)
    return min(found, default=None)


def _stands(ctx: Context, foot: Point) -> bool:
    """Return whether the surface in front of a shoulder's foot is at its size already."""
    z, r = foot
    region = ctx.held.region
    inside, outside = Spot(z + _FOOT_MM, r - 0.05), Spot(z + _FOOT_MM, r + 0.05)
    return bool(region.covers(inside) and not region.covers(outside))


def _run_out(ctx: Context) -> str:
    """Return how true the work is to run: as the print ties both setups' surfaces, or as usual."""
    values: list[tuple[float, str]] = []
    for tie in ctx.part_record.ties:
        tied = [ctx.sections[n] for n in tie.sections if n in ctx.sections]
        bored = any(n not in ctx.sections for n in tie.sections)
        here = {made_here(ctx, (s.front.z + s.back.z) / 2) for s in tied}
        if len(here) > 1 or (bored and tied):
            values.append((length_mm(tie.value, ctx.units, "part.ties"), tie.value))
    usual = "0.02" if ctx.units == "mm" else "0.001"
    return min(values)[1] if values else usual


def _shown(ctx: Context, z: float) -> str:
    """Return what the readout shows at a place of the part frame."""
    return _figure(ctx, z + ctx.zero)


def _figure(ctx: Context, value_mm: float) -> str:
    places = 3 if ctx.units == "inch" else 2
    return f"{from_mm(value_mm, ctx.units) + 0.0:.{places}f}"
