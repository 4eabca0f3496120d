"""Findings about parting off."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.metal import bottom_of, metal_before, region, top_of
from turnsketch.findings.room import blade_left_of
from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding, Pass

__all__ = [
    "blade_too_short",
    "centre_engaged",
    "far_from_the_jaws",
    "long_part_falls",
    "not_parted",
    "stays_on_the_bar",
    "too_short_blades",
]

_LEFT_MM = 0.02
_SAWN_MM = 1.0
"""Left behind the back face where a part is sawn off (common practice; 0.04 in)."""

FAR = 1.0
"""Parting stands no further from the jaws than this many diameters (common practice)."""


def blade_too_short(view: PlanView) -> Iterator[Finding]:
    """The blade's reach ends before the axis: its holder would run into the work."""
    for made in too_short_blades(view):
        tool = view.tool(made.tool)
        yield finding(
            "blade-too-short",
            "stop",
            f"pass {made.number} has to go {view.text(_depth(view, made))} deep; "
            f"T{tool.number} ({tool.name}) reaches only {view.text(tool.reach_mm)}",
            "take a longer blade, or stop short and saw the part off",
            pass_number=made.number,
            z=_z(made),
        )


def too_short_blades(view: PlanView) -> list[Pass]:
    """Return the parting passes whose blade does not reach the axis."""
    return [
        p
        for p in view.passes("part off")
        if view.tool(p.tool).kind == "parting"
        and _depth(view, p) > view.tool(p.tool).reach_mm + 1e-6
    ]


def _depth(view: PlanView, made: Pass) -> float:
    """Return how far the blade has to go into the metal: into a hole, or a little over the axis."""
    tool = view.tool(made.tool)
    left = blade_left_of(view, made.tool, _z(made))
    metal, right = metal_before(view, made.number), left + tool.width_mm
    hole = bottom_of(metal, left, right)
    return top_of(metal, left, right) - hole + tool.corner_radius_mm


def _z(made: Pass) -> float:
    return min(m.to.z for m in made.moves if m.kind == "cut")


def centre_engaged(view: PlanView) -> Iterator[Finding]:
    """Parting with the tailstock centre in: the part is caught and thrown."""
    if not view.on_centre:
        return
    for made in view.passes("part off"):
        yield finding(
            "parting-on-centre",
            "stop",
            f"pass {made.number} parts off while the centre holds the part: the slot closes on "
            "the blade, and the part is thrown",
            "leave out parting off: draw the centre back and saw the part off",
            pass_number=made.number,
            z=_z(made),
        )


def far_from_the_jaws(view: PlanView) -> Iterator[Finding]:
    """The parting cut stands further from the jaws than one diameter of the bar."""
    if view.setup_held_inside:
        return  # held in front of the cut's place, or beside it
    for made in view.passes("part off"):
        left = blade_left_of(view, made.tool, _z(made))
        far = left - view.setup.jaw_face_z
        if far > FAR * view.blank_diameter + 1e-6:
            yield finding(
                "parting-far-out",
                "caution",
                f"pass {made.number} parts off {view.text(far)} from the jaws; more than one "
                f"diameter ({view.text(view.blank_diameter)}) out, the bar springs and the blade "
                "catches (common practice)",
                f"grip {view.text(far - FAR * view.blank_diameter)} more, or saw the part off",
                pass_number=made.number,
                z=left,
            )


def long_part_falls(view: PlanView) -> Iterator[Finding]:
    """A long part comes off with nothing at its front end: it whips and climbs on the blade."""
    steady = view.setup.steady
    if view.on_centre or view.setup_held_inside or (steady is not None and steady.stands):
        return
    limit = view.shop.limits.unsupported_ratio
    for made in view.passes("part off"):
        edge = blade_left_of(view, made.tool, _z(made)) + view.tool(made.tool).width_mm
        long = float(metal_before(view, made.number).bounds[2]) - edge
        if long > limit * view.blank_diameter + 1e-6:
            yield finding(
                "long-part-falls",
                "caution",
                f"pass {made.number} parts off a piece {view.text(long)} long, "
                f"{long / view.blank_diameter:.1f} times its diameter, with its front end free: "
                "as it comes off it whips and climbs on the blade (common practice)",
                "leave out parting off: saw it off with the spindle standing and face its back, or "
                "let a steady rest carry its front end",
                pass_number=made.number,
                z=edge,
            )


def not_parted(view: PlanView) -> Iterator[Finding]:
    """A parting operation that does not free the part."""
    asked = [o for o in view.setup.operations if o.kind == "part off" and o.first_pass]
    if asked and not view.exact.setups[view.index].parted:
        yield finding(
            "not-parted",
            "stop",
            f"after pass {asked[-1].last_pass} (part off) the part still hangs on the bar, "
            "though the sheet says that it comes off",
            f"choose a parting blade in place of T{asked[-1].tool}, or saw the part off",
            pass_number=asked[-1].last_pass,
        )


def stays_on_the_bar(view: PlanView) -> Iterator[Finding]:
    """No operation parts the part off: its back face is not made here."""
    listed = [o.kind for setup in view.plan.setups for o in setup.operations]
    if not view.last or "part off" in listed:
        return
    # A blank that was cut to length has both ends faced: nothing is left behind.
    back = float(region(view.exact.setups[view.index].remaining).bounds[0])
    if back < view.back_z - _LEFT_MM:
        in_bore = view.setup_held_inside
        what = f"back face at {view.z(view.back_z)} is not made"
        why = "" if in_bore else _why_sawn(view)
        left = "1 mm" if view.job.units == "mm" else "0.04 in"
        remedy = (
            f"saw it off {left} behind that, the spindle standing, and face its back"
            if why
            else "saw it off and face its back, or add parting off"
        )
        yield finding(
            "back-not-made",
            "note",
            f"the part's {what}"
            if in_bore
            else f"nothing parts the part off: {why}it stays on the bar, and its {what}",
            "add a setup that has it in front" if in_bore else remedy,
            z=view.back_z,
        )


def _why_sawn(view: PlanView) -> str:
    """Return why a part is to be sawn off; empty: a blade would part it off."""
    ratio = view.part.total_length / view.blank_diameter
    if ratio > view.shop.limits.unsupported_ratio + 1e-9:
        return f"{ratio:.1f} times as long as it is thick it would whip as it comes off; "
    metal = region(view.exact.setups[view.index].remaining)
    low = view.back_z - _SAWN_MM
    deep = top_of(metal, low, view.back_z) - bottom_of(metal, low, view.back_z)
    blades = [t for t in view.shop.tools if t.kind == "parting"]
    if any(t.reach_mm >= deep + t.corner_radius_mm for t in blades):
        return ""
    return f"no blade of the shop file goes {view.text(deep)} deep; "
