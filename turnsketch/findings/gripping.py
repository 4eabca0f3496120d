"""Findings about what the holding does to the work: finished surfaces, thin walls, the steady."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.blank_sizes import blank_sizes
from turnsketch.findings.metal import region
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed
from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import Finding
from turnsketch.shop.records import Chuck

__all__ = [
    "THIN_SHARE",
    "grip_on_finished",
    "grip_touches_little",
    "least_grip",
    "no_soft_jaws",
    "steady_runs_rough",
    "thin_wall",
]

THIN_SHARE = 0.1
"""A wall thinner than this share of the diameter goes lobed in three jaws (common practice)."""

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
    """Return where jaws touch; None where nothing is gripped from outside."""
    if not _jaws(view):
        return None
    setup, blank = view.setup, _blank(view)
    back = float(blank.bounds[0])
    high = setup.jaw_face_z
    low = max(back, high - view.chuck.jaw_length_mm)
    strip = shapely.clip_by_rect(blank, low, 0.0, high, 1e4)
    if strip.is_empty:
        return None
    radius = float(strip.bounds[3])
    band = shapely.clip_by_rect(strip, low, radius - _SAME_MM, high, radius + 1.0)
    pieces = [p.bounds for p in shapely.get_parts(band)]
    length = sum(b[2] - b[0] for b in pieces)
    return _Touch(radius, length, min(b[0] for b in pieces), max(b[2] for b in pieces))


def grip_touches_little(view: PlanView) -> Iterator[Finding]:
    """The jaws stand over a stepped place: only its thickest part is held."""
    touch, least = _touch(view), least_grip(view)
    grip = min(view.setup.grip_mm, view.chuck.jaw_length_mm)
    if touch is None or grip < least - 1e-9 or touch.length >= least - 0.05:
        return  # a short grip is told of already
    yield finding(
        "grip-partly",
        "stop" if touch.length < least / 2 else "caution",
        f"of {view.text(grip)} in the jaws only {view.text(touch.length)} at "
        f"Ø{view.text(2 * touch.radius)} touch: this shop asks for {view.text(least)}",
        "grip a longer cylinder, take a collet for the thinner one, or turn the other end first",
        z=view.setup.jaw_face_z,
    )


def grip_on_finished(view: PlanView) -> Iterator[Finding]:
    """Hard jaws on a surface that is finished already."""
    touch = _touch(view)
    hard = view.chuck.kind in ("three-jaw", "four-jaw") and not view.holding.soft_jaws
    if touch is None or not hard:
        return
    gripped = [s for s in view.part.sections if _under(view, s, touch)]
    marked = [s for s in gripped if _finished_before(view, s)]
    if not marked:
        return
    yield finding(
        "grip-on-finished",
        "caution" if any(_shows(s) for s in marked) else "note",
        f"the hard jaws of {view.chuck.name} stand on {listed(s.label for s in marked)}, "
        "finished in a setup before: they mark it",
        _softer(view, touch),
        z=view.setup.jaw_face_z,
    )


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


def _softer(view: PlanView, touch: _Touch) -> str:
    """Return what holds a finished surface without marks."""
    size = 2 * touch.radius
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


def steady_runs_rough(view: PlanView) -> Iterator[Finding]:
    """The steady's fingers run on black skin, on flats, or where it is not one cylinder."""
    ring = next((o.ring for o in view.setup.obstacles if o.name == "steady rest"), None)
    if ring is None:
        return
    low, high = min(p.z for p in ring), max(p.z for p in ring)
    strip = shapely.clip_by_rect(_blank(view), low, 0.0, high, 1e4)
    top = float(strip.bounds[3])
    edge = shapely.clip_by_rect(strip, low, top - _SAME_MM, high, top + 1.0)
    held = sum(p.bounds[2] - p.bounds[0] for p in shapely.get_parts(edge))
    sizes = blank_sizes(view.job.blank, view.job.units)
    raw = abs(top - sizes.radius) < _SAME_MM
    why = ""
    if held < high - low - 0.05:
        why = "the work has not one diameter there"
    elif raw and sizes.flats:
        why = f"the bar is a {view.job.blank.shape} there"
    elif raw and view.job.blank.skin == "black":
        why = "the bar is black there: it does not run true"
    if why:
        yield finding(
            "steady-seat",
            "stop",
            f"the fingers of the steady rest cannot run from {view.z(high)} to {view.z(low)}: "
            f"{why}",
            "turn a seat for it in a setup before, or move it",
            z=(low + high) / 2,
        )
