"""What the sheet says of the tailstock, of warm work and of a setup's zero, as data."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import CentreWork, EndsCheck, Pass, WarmGrowth
from turnsketch.planning.context import Context, length_mm
from turnsketch.planning.fold import Planned
from turnsketch.planning.measure import ANVIL_MM
from turnsketch.planning.stage import made_here
from turnsketch.readings.corrections import warm_growth_mm
from turnsketch.units import from_mm

__all__ = ["centre_work", "ends_check", "warm_growth", "zero_words"]

_FACED_MM = 1e-3
"""A front that stands no further out is finished."""

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


def ends_check(planned: Planned, passes: Sequence[Pass]) -> EndsCheck | None:
    """Return where both ends are measured on a centre: before the first finishing pass."""
    ctx = planned.ctx
    first = next((p.number for p in passes if p.operation == "finish"), None)
    levels = [s for s in _cylinders(ctx) if s.front.z - s.back.z >= ANVIL_MM]
    if not ctx.supported or first is None or not levels:
        return None
    metal = next(
        (
            before.remaining
            for before, step in zip(planned.steps, planned.steps[1:], strict=False)
            if step.operation.kind == "finish" and step.passes
        ),
        ctx.held.region,
    )
    near = levels[0].front.z - ANVIL_MM / 2
    far = levels[-1].back.z + ANVIL_MM / 2
    if near - far < ANVIL_MM:
        return None
    strips = [shapely.clip_by_rect(metal, z - 0.1, 0.0, z + 0.1, 1e4) for z in (near, far)]
    if any(strip.is_empty for strip in strips):
        return None
    sizes = [2 * float(strip.bounds[3]) for strip in strips]
    return EndsCheck(first, (near + ctx.zero, far + ctx.zero), (sizes[0], sizes[1]))


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


def zero_words(ctx: Context) -> str:
    """Return how Z is found in a setup after another, in the job's words or the program's."""
    if ctx.setup.zero_from or ctx.index == 0:
        return ctx.setup.zero_from
    places = 3 if ctx.units == "inch" else 2
    shown = f"{from_mm(ctx.held.raw_front + ctx.zero, ctx.units):.{places}f}"
    before, here = ctx.job.setups[ctx.index - 1], ctx.setup
    same = (before.holding.device, before.holding.grip) == (here.holding.device, here.holding.grip)
    if same and here.pull_out is None and here.zero == before.zero:
        return "The work stays in its holding: the zero of the setup before holds."
    if before.turned != here.turned:
        return _turned_words(ctx, shown, places)
    held = "The bar was moved" if here.pull_out else "The work was taken up again"
    return f"{held}: touch the front face and enter Z {shown} there, for every tool."


def _turned_words(ctx: Context, shown: str, places: int) -> str:
    """Return how Z is found on a part that was turned around: from its measured length."""
    length = f"{from_mm(ctx.part.total_length, ctx.units):.{places}f}"
    true = f"Set it true by indicator on what was turned: within {_run_out(ctx)}."
    if abs(ctx.held.raw_front) < _FACED_MM:
        return (
            f"The part was turned around, and this end is faced: touch it and enter Z {shown} "
            f"there, for every tool. {true}"
        )
    zero = f" plus {from_mm(ctx.zero, ctx.units):.{places}f}" if ctx.zero else ""
    return (
        f"The part was turned around. Measure its whole length: ________. What it is more than "
        f"{length}, the length on the print, is what Z reads on the raw face: touch it and enter "
        f"Z ________{zero} there (about {shown}), for every tool. {true}"
    )


def _run_out(ctx: Context) -> str:
    """Return how true the work is to run: as the print ties both ends' surfaces, or as usual."""
    values: list[tuple[float, str]] = []
    for tie in ctx.part_record.ties:
        tied = [ctx.sections[n] for n in tie.sections if n in ctx.sections]
        here = {made_here(ctx, (s.front.z + s.back.z) / 2) for s in tied}
        if len(here) > 1:
            values.append((length_mm(tie.value, ctx.units, "part.ties"), tie.value))
    usual = "0.02" if ctx.units == "mm" else "0.001"
    return min(values)[1] if values else usual


def _cylinders(ctx: Context) -> list[SectionInfo]:
    return [
        s
        for s in ctx.part.sections
        if s.kind == "cylinder" and s.diameter is not None and made_here(ctx, s.front.z)
    ]
