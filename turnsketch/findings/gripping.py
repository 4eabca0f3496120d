"""Findings about what the holding does to the work: finished surfaces, thin walls."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.findings.metal import region
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed
from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import Finding
from turnsketch.planning.thin_walls import THIN_SHARE
from turnsketch.shop.records import Chuck

__all__ = [
    "THIN_SHARE",
    "grip_on_finished",
    "grip_touches_little",
    "least_grip",
    "no_soft_jaws",
    "thin_wall",
]

_FINE_UM = 1.6
_TIGHT_MM = 0.06
"""A surface with no more between its limits, or smoother than `_FINE_UM`, shows every mark."""

_SAME_MM = 0.02
_STEP_MM = 0.25


@dataclass(frozen=True, slots=True)
class _Touch:
    """What jaws stand on, in the setup's frame; millimetres."""

    radius: float
    length: float
    """How much of the grip they touch: the largest diameter in them."""
    low: float
    high: float


def least_grip(view: PlanView) -> float:
    """Return the grip that this shop asks for, in hard or in soft jaws; millimetres."""
    chuck = view.chuck
    soft = view.holding.soft_jaws and chuck.soft_least_grip_mm > 0
    return chuck.soft_least_grip_mm if soft else chuck.least_grip_mm


def _jaws(view: PlanView) -> bool:
    """Return whether jaws or a collet stand around the work."""
    return not view.setup_held_inside and view.chuck.kind != "driver"


def _blank(view: PlanView) -> BaseGeometry:
    return region(view.setup.blank)


def _touch(view: PlanView) -> _Touch | None:
    """Return where jaws or mandrel touch; None where nothing is gripped."""
    blank = _blank(view)
    back = float(blank.bounds[0])
    if view.setup_held_inside:
        high = back + min(view.setup.grip_mm, view.chuck.jaw_length_mm)
        strip = shapely.clip_by_rect(blank, back, 0.0, high, 1e4)
        radius = 0.0 if strip.is_empty else float(strip.bounds[1])
        skin = (radius, radius + _SAME_MM)
    elif _jaws(view):
        high = view.setup.jaw_face_z
        strip = shapely.clip_by_rect(
            blank, max(back, high - view.chuck.jaw_length_mm), 0.0, high, 1e4
        )
        radius = 0.0 if strip.is_empty else float(strip.bounds[3])
        skin = (radius - _SAME_MM, radius)
    else:
        return None
    if strip.is_empty:
        return None
    low = float(strip.bounds[0])
    band = shapely.clip_by_rect(strip, low, skin[0] - 1e-6, high, skin[1] + 1e-6)
    pieces = [p.bounds for p in shapely.get_parts(band) if p.bounds[2] - p.bounds[0] > 1e-6]
    length = sum(b[2] - b[0] for b in pieces)
    ends = [b[0] for b in pieces], [b[2] for b in pieces]
    return _Touch(radius, length, min(ends[0], default=low), max(ends[1], default=low))


def grip_touches_little(view: PlanView) -> Iterator[Finding]:
    """The jaws stand over a stepped place: only its thickest part is held."""
    touch, least = _touch(view), least_grip(view)
    grip = min(view.setup.grip_mm, view.chuck.jaw_length_mm)
    if touch is None or grip < least - 1e-9 or touch.length >= least - 0.05:
        return  # a short grip is told of already
    yield finding(
        "grip-partly",
        "stop" if touch.length < least / 2 else "caution",
        f"of {view.text(grip)} {_where_held(view)} only {view.text(touch.length)} at "
        f"Ø{view.text(2 * touch.radius)} touch: this shop asks for {view.text(least)}",
        _longer_hold(view),
        z=view.setup.jaw_face_z,
    )


def _where_held(view: PlanView) -> str:
    if not view.setup_held_inside:
        return "in the jaws"
    return "on the mandrel" if view.chuck.kind == "mandrel" else "on the jaws in the bore"


def _longer_hold(view: PlanView) -> str:
    if view.setup_held_inside:
        return (
            "let the jaws reach further onto that cylinder of the bore, or no deeper than the "
            "wider one in front of it"
        )
    return "grip a longer cylinder, take a collet for the thinner one, or turn the other end first"


def grip_on_finished(view: PlanView) -> Iterator[Finding]:
    """Hard jaws on a surface that is finished already."""
    touch = _touch(view)
    hard = view.chuck.kind in ("three-jaw", "four-jaw") and not view.holding.soft_jaws
    if touch is None or not hard:
        return
    gripped = [s for s in _held_sections(view) if _under(view, s, touch)]
    marked = [s for s in gripped if _finished_before(view, s)]
    if not marked:
        return
    yield finding(
        "grip-on-finished",
        "caution" if any(_shows(s) or _threaded(view, s) for s in marked) else "note",
        f"the hard jaws of {view.chuck.name} stand on {listed(s.label for s in marked)}, "
        "finished in a setup before: they mark it",
        _softer(view, touch),
        z=view.setup.jaw_face_z,
    )


def _held_sections(view: PlanView) -> tuple[SectionInfo, ...]:
    """Return the sections that jaws may stand on: those of the outside, or of the bores."""
    if not view.setup_held_inside:
        return view.part.sections
    outside = {s.number for s in view.part.sections}
    return tuple(s for s in view.sections if s.number not in outside)


def _under(view: PlanView, section: SectionInfo, touch: _Touch) -> bool:
    ends = [view.place(section.front).z, view.place(section.back).z]
    same = abs(section.front.r - touch.radius) < _SAME_MM
    over = min(max(ends), touch.high) - max(min(ends), touch.low)
    return section.kind == "cylinder" and same and over > _STEP_MM


def _finished_before(view: PlanView, section: SectionInfo) -> bool:
    return any(
        p.section == section.number and p.last_on_surface
        for setup in view.plan.setups[: view.index]
        for p in setup.passes
    )


def _shows(section: SectionInfo) -> bool:
    size = section.diameter
    tight = size is not None and size.upper - size.lower <= _TIGHT_MM
    return tight or (section.roughness_um is not None and section.roughness_um <= _FINE_UM)


def _threaded(view: PlanView, section: SectionInfo) -> bool:
    """Return whether a section's thread stands under the jaws: they crush its crests."""
    return any(thread.section == section.number for thread in view.part.threads)


def _softer(view: PlanView, touch: _Touch) -> str:
    """Return what holds a finished surface without marks."""
    size = 2 * touch.radius
    if view.setup_held_inside:
        ways = [f"turn soft jaws to Ø{view.text(size)}"] if view.chuck.soft_jaws else []
        fits = [
            c.name
            for c in view.shop.chucks
            if c.kind == "mandrel" and c.inside_smallest_mm <= size <= c.inside_largest_mm
        ]
        ways += [f"hold it on {listed(fits)}"] if fits else []
        return ", or ".join([*ways, "put soft metal between jaws and work"])
    fits = [
        c.name
        for c in view.shop.chucks
        if c.kind == "collet" and c.smallest_mm <= size <= c.largest_mm
    ]
    ways = [f"hold it in {listed(fits)}"] if fits else []
    if view.chuck.soft_jaws:
        ways.append(f"bore soft jaws to Ø{view.text(size)}")
    ways.append("put soft metal between jaws and work")
    return ", or ".join(ways)


def no_soft_jaws(view: PlanView) -> Iterator[Finding]:
    """The job asks for soft jaws that the shop file does not have."""
    if view.holding.soft_jaws and not view.chuck.soft_jaws:
        others = [c.name for c in view.shop.chucks if c.soft_jaws]
        yield finding(
            "no-soft-jaws",
            "caution",
            f"the job holds the work in soft jaws, and the shop file has none for "
            f"{view.chuck.name}",
            f"take {listed(others)}"
            if others
            else "leave them out, or enter them in the shop file",
            z=view.setup.jaw_face_z,
        )


def thin_wall(view: PlanView) -> Iterator[Finding]:
    """A thin wall in jaws: it springs out of round, and is bored round, and goes lobed after."""
    setup, holding = view.setup, view.holding
    if holding.soft_jaws or view.chuck.kind not in ("three-jaw", "four-jaw"):
        return
    found = _thinnest(view)
    if found is None or found[0] >= THIN_SHARE * found[1] - 1e-9:
        return
    wall, diameter = found
    jaws = {"three-jaw": "three", "four-jaw": "four"}[view.chuck.kind]
    how = "pressed apart" if holding.inside else "pressed"
    yield finding(
        "thin-wall",
        "caution",
        f"a wall of {view.text(wall)} at Ø{view.text(diameter)} is {how} by {jaws} jaws: thinner "
        f"than {THIN_SHARE:g} of the diameter, it is cut round while it is held and goes lobed "
        "when it is let go (common practice)",
        _kinder(view, diameter),
        z=setup.jaw_face_z,
    )


def _thinnest(view: PlanView) -> tuple[float, float] | None:
    """Return wall and outer diameter where jaws press and the wall is thinnest, at the end."""
    setup = view.setup
    back = float(_blank(view).bounds[0])
    high = back + min(setup.grip_mm, view.chuck.jaw_length_mm)
    if not view.holding.inside:
        high = setup.jaw_face_z
    metal = region(view.exact.setups[view.index].remaining)
    walls: list[tuple[float, float]] = []
    z = max(back, high - view.chuck.jaw_length_mm) + _STEP_MM
    while z < high - 1e-9:
        strip = shapely.clip_by_rect(metal, z - 1e-3, 0.0, z + 1e-3, 1e4)
        if not strip.is_empty and strip.bounds[1] > 1e-6:
            walls.append((float(strip.bounds[3] - strip.bounds[1]), 2 * float(strip.bounds[3])))
        z += 1.0
    return min(walls, key=lambda one: one[0] / one[1], default=None)


def _kinder(view: PlanView, diameter: float) -> str:
    def takes(chuck: Chuck) -> bool:
        return chuck.kind == "collet" and chuck.smallest_mm <= diameter <= chuck.largest_mm

    collets = [c.name for c in view.shop.chucks if takes(c)]
    ways = ["soft jaws bored to the diameter"]
    ways += [f"{name}" for name in collets]
    ways.append("a mandrel for the cuts on its outside")
    return f"take {', or '.join(ways)}; clamp no harder than it needs"
