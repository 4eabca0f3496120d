"""Findings about the blank: thick enough, long enough, and its skin."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.blank_sizes import FLATS
from turnsketch.findings.metal import level_moves, region
from turnsketch.findings.room import room_behind
from turnsketch.findings.view import PlanView, finding
from turnsketch.part.text import parse
from turnsketch.plan_records import Finding
from turnsketch.shop.records import Bar

__all__ = [
    "blank_too_short",
    "blank_too_small",
    "blank_too_thin",
    "lacks_metal",
    "skin_scraped",
    "swing",
]

_LACKS_MM = 0.02
"""Nothing thinner is missed."""

SKIN_MM = 0.5
"""The first cut on a black bar goes at least so deep, under its hard skin (common practice)."""


def blank_too_small(view: PlanView) -> Iterator[Finding]:
    """The bar is thinner than the part."""
    needed = view.part.greatest_diameter
    if not blank_too_thin(view):
        return
    widest = max(view.part.sections, key=lambda s: max(s.front.r, s.back.r))
    there = view.at(view.maker((widest.front.z + widest.back.z) / 2, widest.number))
    corners = " across its corners" if view.job.blank.shape in FLATS else ""
    yield finding(
        "blank-too-small",
        "stop",
        f"the part needs Ø{view.text(needed)} ({widest.label}), "
        f"the blank has only Ø{view.text(view.blank_diameter)}{corners}",
        _thicker_bar(view, needed),
        z=there.place((there.section(widest.number) or widest).front).z,
        setup=there.setup.number,
    )


def _thicker_bar(view: PlanView, needed: float) -> str:
    """Return which bar of the rack is thick enough."""
    flats = FLATS.get(view.job.blank.shape)
    if flats is not None:
        across = view.text(needed * math.cos(math.pi / flats))
        return f"take a {view.job.blank.shape} of at least {across} across flats"
    if view.job.blank.shape != "round":
        return "take a larger one"
    material = view.job.part.material
    fitting = [
        (diameter, bar)
        for bar in view.shop.bars
        if not bar.materials or material in bar.materials
        if (diameter := _diameter(bar)) >= needed + (2 * SKIN_MM if bar.skin == "black" else 0.0)
    ]
    if not fitting:
        return f"take a bar of at least Ø{view.text(needed)}; the rack has none so thick"
    bar = min(fitting, key=lambda pair: pair[0])[1]
    size = bar.size if bar.size.endswith("in") else f"{bar.size} mm"
    return f"take a thicker bar: the rack has Ø{size}, {bar.skin}"


def _diameter(bar: Bar) -> float:
    return parse(bar.size, "mm", {"diameter"}).nominal


def blank_too_thin(view: PlanView) -> bool:
    """Return whether the part is thicker than the blank."""
    return view.part.greatest_diameter > view.blank_diameter + 1e-6


def lacks_metal(view: PlanView) -> Iterator[Finding]:
    """A tube or a stepped blank that has no metal where the part needs some."""
    blank = view.job.blank
    if blank.shape not in ("tube", "steps") or blank_too_thin(view):
        return
    missing = region(view.setup.part).difference(region(view.setup.blank))
    thick = missing.buffer(-_LACKS_MM / 2)
    if thick.is_empty:
        return
    low, near, high, _ = thick.bounds
    inside = region(view.setup.blank).bounds[1] > near or near < view.blank_diameter / 4
    where = "hole is wider than the part's there" if inside else "steps are thinner there"
    yield finding(
        "blank-lacks-metal",
        "stop",
        f"the blank has no metal from {view.z(high)} to {view.z(low)} where the part needs it: "
        f"its {where}",
        "take another blank, or mend its sizes and how far it stands in front",
        z=(low + high) / 2,
    )


def blank_too_short(view: PlanView) -> Iterator[Finding]:
    """Part, parting cut and the least grip do not all fit into the blank's length."""
    room = room_behind(view)
    if room.missing <= 0 or room.from_grip:
        return
    least = view.chuck.least_grip_mm
    what = "the part" if room.blade_mm == 0 else "the part, its parting cut"
    yield finding(
        "blank-too-short",
        "stop" if room.short_mm > room.blade_mm else "caution",
        f"the blank is {view.text(room.short_mm)} too short for {what} and the "
        f"{view.text(least)} of grip that this shop asks for",
        f"cut the blank at least {view.text(room.short_mm)} longer"
        + (f", and grip {view.text(least)}" if view.setup.grip_mm > least + 1e-6 else ""),
        z=view.back_z,
    )


def skin_scraped(view: PlanView) -> Iterator[Finding]:
    """A first cut on black bar that runs in the hard skin, or skin that stays on the part."""
    radius = view.blank_diameter / 2
    spare = radius - view.part.greatest_diameter / 2
    if view.job.blank.skin != "black" or spare < -1e-6:
        return
    levels = [(r, p.number) for p in view.passes("rough", "finish") for *_, r in level_moves(p)]
    outermost = max(levels, default=(radius - spare, None))
    depth = min(spare, radius - outermost[0])
    if depth >= SKIN_MM - 1e-6:
        return
    yield finding(
        "black-skin",
        "caution",
        f"the first cut on this black bar is only {view.text(depth)} deep: it runs in the hard, "
        f"scaly skin, which wants {view.text(SKIN_MM)} at least and blunts the edge",
        "take a bright bar, or a thicker one"
        if spare < SKIN_MM
        else "set a deeper first cut, or a smaller allowance for it",
        pass_number=outermost[1],
    )


def swing(view: PlanView) -> Iterator[Finding]:
    """The blank does not turn over the bed."""
    if view.blank_diameter > view.lathe.swing_mm:
        yield finding(
            "swing",
            "stop",
            f"{view.lathe.name} swings Ø{view.text(view.lathe.swing_mm)}, "
            f"the blank has Ø{view.text(view.blank_diameter)}",
            "choose a larger lathe",
        )
