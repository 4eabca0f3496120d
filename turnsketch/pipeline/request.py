"""From a job and a shop file to what the planner works on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from turnsketch.blank_sizes import blank_sizes
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.bright_bar import left_as_bar
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.resolve import resolve
from turnsketch.part.turned import turned_part
from turnsketch.pipeline.held_blank import Carried, carried_blank, fresh_blank, grip_of
from turnsketch.pipeline.shop_records import chuck_of, lathe_of, material_of
from turnsketch.planning.context import Context
from turnsketch.planning.stage import FACE_ALONE_MM, face_alone, limit_behind
from turnsketch.planning.steady import with_steady
from turnsketch.shop.records import Shop
from turnsketch.shop.tool_shape import tool_shape

__all__ = ["context_of", "planned_part"]


_OUTSIDE = ("rough", "finish", "groove", "chamfer", "thread", "die", "knurl", "part off")
"""Operations that work on the outside."""


def planned_part(job: Job) -> ResolvedPart:
    """Return the part as it is planned: sections that may stay as the bright bar is are left so.

    Raises
    ------
    InputError
        When text cannot be read, or the sizes make no outline.
    """
    part = job.part
    if job.blank.skin == "bright" and job.blank.shape not in ("tube", "steps"):
        # A section across the corners of a hexagon or square stays as that bar is.
        part = left_as_bar(part, job.units, 2 * blank_sizes(job.blank, job.units).radius)
    return resolve(part, job.units)


def context_of(
    job: Job,
    shop: Shop,
    part: ResolvedPart | None = None,
    index: int = 0,
    before: Carried | None = None,
) -> Context:
    """Return what one setup is planned for.

    Parameters
    ----------
    part : ResolvedPart, optional
        The job's part, where it is known already.
    index : int
        Of the setup, from 0.
    before : Carried, optional
        What the setup before hands over; None for the first.

    Raises
    ------
    InputError
        When text cannot be read, a record is missing, or the blank does not fit its holding.
    """
    lathe, chuck = lathe_of(job, shop), chuck_of(job, shop, index)
    part = part if part is not None else planned_part(job)
    if job.setups[index].turned:
        part = turned_part(part)
    grip = grip_of(job, index, before)
    held = (
        fresh_blank(job, shop, grip)
        if before is None
        else carried_blank(job, shop, index, grip, before, part.total_length)
    )
    ctx = Context(
        job=job,
        setup=job.setups[index],
        part=part,
        held=held,
        lathe=lathe,
        chuck=chuck,
        material=material_of(job, shop),
        shop=shop,
        shapes={tool.number: tool_shape(tool) for tool in shop.tools},
        index=index,
    )
    limited = replace(ctx, limit_z=_limit(ctx, () if before is None else before.reached))
    return with_steady(limited)


def _limit(ctx: Context, reached: Sequence[tuple[bool, float | None]]) -> float | None:
    """Return where the setup ends, when another one or the list of sections goes farther."""
    outside = {n for n in ctx.setup.sections or () if n in ctx.sections}
    if outside:
        return limit_behind(ctx.part.aim, tuple(outside))
    if ctx.setup.sections:
        return -FACE_ALONE_MM  # it makes the end in front and sections of its bore
    made = _made_before(ctx, reached)
    ahead = None if ctx.last else _ahead(ctx)
    limits = [limit for limit in (made, ahead) if limit is not None]
    return max(limits, default=None)


def _made_before(ctx: Context, reached: Sequence[tuple[bool, float | None]]) -> float | None:
    """Return where the surfaces begin that a setup from the part's other end has made."""
    length = ctx.part.total_length
    ends = [
        -FACE_ALONE_MM if limit is None else min(-length - limit, -FACE_ALONE_MM)
        for turned, limit in reached
        if turned != ctx.setup.turned and not face_alone(limit)
    ]
    return max(ends, default=None)


def _ahead(ctx: Context) -> float | None:
    """Return where a setup ends that another one follows: at the last section it can make."""
    outline = ctx.part.aim
    line = ctx.held.jaw_face + ctx.shop.clearances.never_beyond_jaws
    within = tuple(s.number for s in ctx.part.sections if min(s.front.z, s.back.z) >= line - 1e-6)
    if len(within) == len(ctx.part.sections):
        return None
    if not within and (ctx.part.bore is not None or _outside_alone(ctx)):
        return -FACE_ALONE_MM  # the whole outside is in the jaws: the end in front and its bore
    if not within:
        raise InputError(
            "no whole section of the part stands clear of the jaws; pull the bar out further, or "
            "name the sections that this setup makes",
            f"setups[{ctx.index}].sections",
        )
    return limit_behind(outline, within)


def _outside_alone(ctx: Context) -> bool:
    """Return whether the setup's list leaves the outside alone: it makes the end and its bore."""
    listed = ctx.setup.operations
    return listed is not None and not any(o.enabled and o.kind in _OUTSIDE for o in listed)
