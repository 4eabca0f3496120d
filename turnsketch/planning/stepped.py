"""Which sections are made in steps, because the lathe has no better means or the job says so."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.geometry.elements import Arc, Element
from turnsketch.job import Operation
from turnsketch.part.outline_records import Outline
from turnsketch.planning.context import Context
from turnsketch.planning.means import arc_means, taper_way

__all__ = ["stepped_sections"]


def stepped_sections(ctx: Context, outline: Outline | None = None) -> frozenset[int]:
    """Return the numbers of the sections that hold a taper, an arc or a round made in steps.

    Parameters
    ----------
    outline : Outline, optional
        What turning tools leave outside, where tools of their own make some corners; else the
        finished part.
    """
    return frozenset(_stepped(ctx, ctx.part.aim if outline is None else outline))


def _stepped(ctx: Context, outline: Outline) -> Iterator[int]:
    asked = [o for o in ctx.setup.operations or () if o.means == "steps" and o.enabled]
    for element in outline.elements:
        number, arc = element.section, isinstance(element.shape, Arc)
        if number is None or not (arc or element.role == "taper"):
            continue
        wanted = any(o.sections is None or number in o.sections for o in asked)
        if wanted or _needs_steps(ctx, element.shape):
            yield number


def _needs_steps(ctx: Context, shape: Element) -> bool:
    """Return whether the lathe has no other means for a surface."""
    plain = Operation("finish")
    if isinstance(shape, Arc):
        return arc_means(ctx.lathe, plain) == "steps"
    along = abs(shape.end.z - shape.start.z)
    angle = math.atan2(abs(shape.end.r - shape.start.r), along)
    return taper_way(ctx.lathe, angle, along, plain, ctx.between_centres_mm)[0] == "steps"
