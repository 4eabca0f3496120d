"""What the sheet says of tailstock centre, steady rest and warm work, as data."""

from __future__ import annotations

from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import CentreWork, SteadyWork, WarmGrowth
from turnsketch.planning.context import Context
from turnsketch.planning.fold import Planned
from turnsketch.planning.stage import made_here
from turnsketch.planning.steady import EDGE_MM, STEADY
from turnsketch.readings.corrections import warm_growth_mm

__all__ = ["centre_work", "steady_work", "warm_growth"]

WARM_LENGTH_K = 30.0
WARM_DIAMETER_K = 20.0
"""How warm work gets between cuts: a long piece all over, a seat from its last cuts (common
practice)."""


def centre_work(planned: Planned) -> CentreWork | None:
    """Return how the tailstock centre holds the work; None when the setup has none."""
    ctx = planned.ctx
    if not ctx.supported:
        return None
    seat = ctx.held.seat
    return CentreWork(
        from_pass=None if planned.centre_from is None else planned.centre_from + 1,
        designation=seat.hole.designation if seat else "",
        face_z=(seat.face if seat else ctx.held.raw_front) + ctx.zero,
        rim_diameter_mm=seat.hole.countersink if seat else 0.0,
        hole_depth_mm=seat.hole.depth if seat else 0.0,
        between_centres_mm=ctx.between_centres_mm,
    )


def steady_work(planned: Planned) -> SteadyWork | None:
    """Return where the steady rest stands, and from when on; None when the setup has none."""
    held, zero = planned.ctx.held, planned.ctx.zero
    waiting = held.track
    if waiting is not None:
        ends = (waiting.low + zero, waiting.high + zero)
        return SteadyWork(*ends, 2 * waiting.radius, stands=False)
    ring = next((o.ring for o in held.obstacles if o.name == STEADY), None)
    if ring is None:
        return None
    places, since = [p.z for p in ring], planned.steady_from
    return SteadyWork(
        min(places) + zero,
        max(places) + zero,
        2 * (min(p.r for p in ring) - EDGE_MM),
        None if since is None else since + 1,
    )


def warm_growth(ctx: Context) -> tuple[WarmGrowth, ...]:
    """Return how much length and greatest diameter grow while the work is warm."""
    material = ctx.material
    if material is None:
        return ()
    found: list[WarmGrowth] = []
    if ctx.supported:
        size = ctx.held.stick_out
        grown = warm_growth_mm(size, WARM_LENGTH_K, material.expansion_um_m_k)
        found.append(WarmGrowth("length", size, WARM_LENGTH_K, grown))
    sizes = [s.diameter.aim for s in _cylinders(ctx) if s.diameter is not None]
    if sizes:
        grown = warm_growth_mm(max(sizes), WARM_DIAMETER_K, material.expansion_um_m_k)
        found.append(WarmGrowth("diameter", max(sizes), WARM_DIAMETER_K, grown))
    return tuple(found)


def _cylinders(ctx: Context) -> list[SectionInfo]:
    return [
        s
        for s in ctx.part.sections
        if s.kind == "cylinder" and s.diameter is not None and made_here(ctx, s.front.z)
    ]
