"""The infeed list of a thread: equal chips, on figures that a hand sets easily."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from turnsketch.errors import InputError
from turnsketch.part.thread_infeed import InfeedPass, infeed
from turnsketch.planning.context import setting_mm
from turnsketch.planning.thread_work import Work
from turnsketch.rounding import round_step
from turnsketch.units import from_mm, to_mm

__all__ = ["SPRING_PASSES", "feeds_of"]

SPRING_PASSES: Final = 2
"""Passes without infeed at the end (common practice)."""

_FIRST_MM: Final = (0.25, 0.05)
"""Radial depth of the first pass: so much, and so much for each millimetre of pitch, so that
M12x1.75 takes a dozen passes (common practice)."""

_EASY_X_MM, _EASY_X_IN = 0.02, 0.001
"""Passes but the last ones stand on such figures of X."""


def feeds_of(work: Work) -> tuple[InfeedPass, ...]:
    """Return the infeed list; none where the blank stands at full depth already."""
    deeper = work.blank - work.full_x
    if (-deeper if work.inside else deeper) <= work.tool.thinnest_cut_mm:
        return ()
    usual = min(work.tool.greatest_depth_mm, _FIRST_MM[0] + _FIRST_MM[1] * work.thread.pitch)
    path = f"{work.where}.depth"
    first = setting_mm(work.operation.depth, usual, work.ctx.units, path)
    try:
        feeds = infeed(
            work.blank,
            work.full_x,
            first=first,
            least=work.tool.thinnest_cut_mm,
            springs=SPRING_PASSES,
            top_slide_angle=work.slide_angle,
        )
    except InputError as error:
        raise error.within(path) from None
    if work.slide_angle is None:
        return _on_easy_figures(work, feeds)
    return _on_divisions(work, feeds)


def _on_easy_figures(work: Work, feeds: tuple[InfeedPass, ...]) -> tuple[InfeedPass, ...]:
    """Return the passes with X on easy figures, but at full depth."""
    units = work.ctx.units
    easy = _EASY_X_IN if units == "inch" else _EASY_X_MM
    found: list[InfeedPass] = []
    before = 0.0
    for feed in feeds:
        at = feed.diameter
        if feed.depth < feeds[-1].depth:
            at = to_mm(round_step(from_mm(at, units), easy, "nearest"), units)
        depth = abs(work.blank - at) / 2
        step = 0.0 if feed.spring else depth - before
        found.append(replace(feed, diameter=at, depth=depth, step=step))
        before = depth
    return tuple(found)


def _on_divisions(work: Work, feeds: tuple[InfeedPass, ...]) -> tuple[InfeedPass, ...]:
    """Return the passes with the top slide on whole divisions of its dial, but at full depth."""
    angle, slide = work.slide_angle, work.ctx.lathe.top_slide
    if angle is None or slide is None:
        return feeds
    division = to_mm(slide.dial.per_turn / slide.dial.divisions, slide.dial.unit)
    if division > work.tool.thinnest_cut_mm:
        return feeds  # too coarse: passes would fall together
    way = 1.0 if work.inside else -1.0
    found: list[InfeedPass] = []
    before = 0.0
    for feed in feeds:
        travel = feed.top_slide or 0.0
        if feed.depth < feeds[-1].depth:
            travel = max(1, round(travel / division)) * division
        depth = travel * math.cos(angle)
        step = 0.0 if feed.spring else depth - before
        at = work.blank + way * 2 * depth
        found.append(replace(feed, top_slide=travel, depth=depth, step=step, diameter=at))
        before = depth
    return tuple(found)
