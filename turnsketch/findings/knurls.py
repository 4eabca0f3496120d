"""Findings about knurls: no wheels, no way in, plain ends, work that springs away."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import shapely

from turnsketch.findings.metal import region
from turnsketch.findings.view import PlanView, finding
from turnsketch.part.outline_records import ResolvedKnurl
from turnsketch.plan_records import Finding, Pass, PlannedOperation
from turnsketch.shop.knurl_shapes import tool_knurl
from turnsketch.shop.records import Tool

__all__ = ["knurl_bends", "knurl_ends", "knurl_not_made", "knurl_wall", "why_no_knurl"]

BENDS_RATIO: Final = 2.0
"""Out of the jaws more than so many diameters, work without a centre springs away from wheels that
press from one side (common practice)."""

WALL_SHARE: Final = 0.15
"""A wall thinner than this share of the diameter goes out of round under the wheels (common
practice)."""

_ENDS_SHARE: Final = 0.2
_SKIN_MM: Final = 0.5
"""So near its surface the blank's own limits count, and no bore."""
_PLAIN_MM: Final = 0.1
"""A plain end shorter than this is none."""


def knurl_not_made(view: PlanView) -> Iterator[Finding]:
    """A knurl of the print that no setup presses."""
    done = {p.section for setup in view.plan.setups for p in setup.passes if p.operation == "knurl"}
    for place in view.part.knurls:
        if place.section in done:
            continue
        wheels = [t for t in view.shop.tools if t.kind == "knurl"]
        fitting = [f"T{t.number}" for t in wheels if _presses(t, place)]
        others = sorted({t.knurl for t in wheels})
        if fitting:
            remedy = f"add an operation knurl with {' or '.join(fitting)}"
        elif others:
            remedy = f"get wheels for it, or ask whether {' or '.join(others)} will do"
        else:
            remedy = "enter a knurling tool in the shop file, or have it knurled elsewhere"
        yield finding(
            "no-knurl",
            "caution",
            f"the knurl {place.text} of section {place.section} is not made"
            + ("" if fitting else ": the shop file has no wheels for it"),
            remedy,
            z=view.zero + place.front_z,
            setup=view.maker(place.front_z, place.section) + 1,
        )


def _presses(tool: Tool, place: ResolvedKnurl) -> bool:
    return tool_knurl(tool).designation == place.text


def _knurl_passes(view: PlanView) -> Iterator[tuple[ResolvedKnurl, list[Pass]]]:
    """Yield each knurl of the setup with the passes that press it."""
    for place in view.part.knurls:
        made = [
            p for p in view.setup.passes if p.operation == "knurl" and p.section == place.section
        ]
        if made:
            yield place, made


def knurl_bends(view: PlanView) -> Iterator[Finding]:
    """A knurl far out of the jaws, with no centre: the wheels push the work away."""
    centre = view.setup.centre
    for place, made in _knurl_passes(view):
        held = centre is not None and (centre.from_pass or 0) <= made[0].number
        out = view.zero + place.front_z - view.setup.jaw_face_z
        thinnest = min(
            2 * min(s.front.r, s.back.r)
            for s in view.part.sections
            if s.kind != "face" and s.back.z <= place.back_z + 1e-6 and min(s.front.r, s.back.r) > 0
        )
        if held or out <= BENDS_RATIO * thinnest:
            continue
        yield finding(
            "knurl-bends",
            "caution",
            f"pass {made[0].number} presses the knurl {place.text} {view.text(out)} out of the "
            f"jaws, on work of Ø{view.text(thinnest)} with no centre: it springs away from the "
            "wheels, and the knurl comes out shallow in front",
            "put the tailstock centre in, let less stand out, or take a tool whose wheels press "
            "from two sides",
            pass_number=made[0].number,
            z=view.zero + place.front_z,
        )


def knurl_wall(view: PlanView) -> Iterator[Finding]:
    """A hollow part under the wheels: the wall gives way."""
    for place, made in _knurl_passes(view):
        results = view.exact.setups[view.index].passes
        before = [p.remaining for p in results if p.number < made[0].number]
        metal = region(before[-1] if before else view.setup.blank)
        low, high = view.zero + place.back_z, view.zero + place.front_z
        inset = _ENDS_SHARE * (high - low)  # corners and fillets at the ends are no wall
        solid = place.blank.aim / 2 - _SKIN_MM
        core = shapely.box(low + inset, 0.0, high - inset, solid).difference(metal)
        inside = 0.0 if core.is_empty else float(core.bounds[3])
        wall = place.blank.aim / 2 - inside
        if inside <= 0 or wall >= WALL_SHARE * place.blank.aim:
            continue
        yield finding(
            "knurl-thin-wall",
            "caution",
            f"pass {made[0].number} presses the knurl {place.text} into a wall of "
            f"{view.text(wall)} at Ø{view.text(place.blank.aim)}: it goes out of round",
            "knurl before the bore is opened, or put a plug into it",
            pass_number=made[0].number,
            z=high,
        )


def knurl_ends(view: PlanView) -> Iterator[Finding]:
    """A shoulder that keeps the wheels off the end of the section: it stays plain there."""
    for place, made in _knurl_passes(view):
        tool = view.tool(made[0].tool)
        left = {"left": 0.0, "centre": -0.5, "right": -1.0}[tool.reference] * tool.width_mm
        places = [m.to.z for p in made for m in p.moves if m.kind == "cut"]
        places += [p.start.z for p in made[1:]]
        plain = [
            (length, z)
            for length, z in (
                (view.zero + place.front_z - max(places) - left - tool.width_mm, place.front_z),
                (min(places) + left - view.zero - place.back_z, place.back_z),
            )
            if length > _PLAIN_MM
        ]
        if not plain:
            continue
        where = " and ".join(f"{view.text(n)} at {view.z(view.zero + z)}" for n, z in plain)
        yield finding(
            "knurl-ends",
            "note",
            f"the wheels of T{tool.number} keep off the shoulder: the knurl {place.text} leaves "
            f"{where} plain",
            "nothing to do where the print allows it, else a groove in front of the shoulder",
            pass_number=made[0].number,
            z=view.zero + plain[0][1],
        )


def why_no_knurl(view: PlanView, operation: PlannedOperation) -> tuple[str, str, bool]:
    """Return why a knurling operation makes no pass, the remedy, and whether nothing is to do."""
    tool = view.tool(operation.tool)
    if not view.part.knurls:
        return "the print has no knurl", "leave it out", True
    if not any(_presses(tool, place) for place in view.part.knurls):
        asked = " and ".join(sorted({k.text for k in view.part.knurls}))
        return (
            f"T{tool.number} presses {tool.knurl}, the print asks for {asked}",
            "choose a tool with the print's wheels",
            False,
        )
    place = next(k for k in view.part.knurls if _presses(tool, k))
    if place.front_z - place.back_z < tool.width_mm:
        return (
            f"its wheels are {view.text(tool.width_mm)} wide and do not go between the shoulders "
            f"of section {place.section}",
            "take narrower wheels",
            False,
        )
    return (
        "the blank does not stand at its size there yet, or the wheels would touch what must stand",
        "turn the knurled section to its size before, and let the blank stand out far enough",
        False,
    )
