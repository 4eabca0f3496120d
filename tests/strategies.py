"""Hypothesis strategies: outlines and part records that are valid by construction.

Every outline is the graph of a function r(z) joined by faces, so it cannot cross itself; corners
get what their neighbours leave room for. Sizes lie on a grid of hundredths, as on prints.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from turnsketch.geometry.elements import Arc, Element, Line, Point, Turn
from turnsketch.geometry.intersect import r_extent, turn_between
from turnsketch.part.corners import cut_corner, greatest_size
from turnsketch.part.outline import build_outline
from turnsketch.part.outline_records import CornerSpec, Outline, OutlineElement
from turnsketch.part.records import PartRecord, Section
from turnsketch.units import Units

__all__ = ["bulged", "corner_specs", "outlines", "part_records", "prints", "sharp_chains"]

LEAST_RADIUS = 1.0
LEAST_TURN = math.radians(5.0)
ROLES = ("cylinder", "taper", "convex", "concave")


def hundredths(least: float, most: float) -> SearchStrategy[float]:
    """Yield lengths between two bounds on a grid of 0.01 mm."""
    return st.integers(round(least * 100), round(most * 100)).map(lambda n: n / 100)


def bulged(start: Point, end: Point, sweep: float, turn: Turn) -> Arc:
    """Return the arc from start to end with the given sweep (radians, below half a turn)."""
    chord = end.minus(start)
    half = start.distance(end) / 2.0
    reach = half / math.tan(sweep / 2.0) / (2.0 * half)
    sign = 1.0 if turn == "ccw" else -1.0
    middle = Point((start.z + end.z) / 2.0, (start.r + end.r) / 2.0)
    return Arc(start, end, middle.plus(Point(-chord.r, chord.z).times(sign * reach)), turn)


def _arc(draw: DrawFn, start: Point, end: Point, turn: Turn) -> Arc:
    """Draw an arc that never turns back in z and stays off the axis."""
    slope = math.atan2(abs(end.r - start.r), start.z - end.z)
    limit = 2.0 * (math.pi / 2.0 - slope)
    arc = bulged(start, end, limit * draw(st.integers(5, 90)) / 100, turn)
    if r_extent(arc)[0] < LEAST_RADIUS:
        return bulged(start, end, limit / 2.0, "ccw")
    return arc


@st.composite
def sharp_chains(draw: DrawFn, most: int = 6) -> tuple[OutlineElement, ...]:
    """Yield chains of sharp elements: faces, cylinders, tapers both ways, arcs of both senses."""
    chain: list[OutlineElement] = []
    here = Point(0.0, 0.0)
    if draw(st.integers(0, 4)) == 0:
        radius = draw(hundredths(4, 30))
        angle = math.radians(draw(st.integers(40, 130)))
        here = Point(radius * (math.cos(angle) - 1.0), radius * math.sin(angle))
        ball = Arc(Point(0.0, 0.0), here, Point(-radius, 0.0), "ccw")
        chain.append(OutlineElement(ball, 1, "arc"))
    count = len(chain) + draw(st.integers(1, most))
    while len({e.section for e in chain if e.section}) < count:
        number = len({e.section for e in chain if e.section}) + 1
        if not chain or draw(st.booleans()):
            foot = Point(here.z, draw(hundredths(2, 40)))
            if abs(foot.r - here.r) >= 0.2:
                chain.append(OutlineElement(Line(here, foot), None, "face"))
                here = foot
        kind = draw(st.sampled_from(ROLES))
        length = draw(hundredths(0.5, 40))
        change = draw(hundredths(0.1, 5)) * draw(st.sampled_from((-1, 1)))
        change = max(-4.0 * length, min(4.0 * length, change))
        radius = here.r if kind == "cylinder" else max(2.0, here.r + change)
        there = Point(here.z - length, radius)
        shape: Element = Line(here, there)
        role = "cylinder" if radius == here.r else "taper"
        if kind in ("convex", "concave"):
            shape = _arc(draw, here, there, "ccw" if kind == "convex" else "cw")
            role = "arc"
        chain.append(OutlineElement(shape, number, role))  # type: ignore[arg-type]
        here = there
    chain.append(OutlineElement(Line(here, Point(here.z, 0.0)), None, "face"))
    return tuple(chain)


@st.composite
def corner_specs(draw: DrawFn, chain: tuple[OutlineElement, ...]) -> tuple[CornerSpec, ...]:
    """Yield chamfers and rounds that fit the corners of `chain`."""
    specs: list[CornerSpec] = []
    for vertex in range(1, len(chain)):
        before, after = chain[vertex - 1].shape, chain[vertex].shape
        turn = abs(turn_between(before.end_direction, after.start_direction))
        kind = draw(st.sampled_from(("none", "chamfer", "round")))
        if kind == "none" or not LEAST_TURN < turn < math.pi - LEAST_TURN:
            continue
        angle = math.radians(draw(st.sampled_from((15, 30, 45, 60)))) if kind == "chamfer" else 0.0
        wish = CornerSpec(len(specs), vertex, kind, 50.0, angle, kind)  # type: ignore[arg-type]
        most, _ = greatest_size(before, after, wish, 0.45 * before.length, 0.45 * after.length)
        size = math.floor(most * draw(st.integers(20, 100))) / 100
        if size < 0.05 or cut_corner(before, after, wish, size) is None:
            continue
        specs.append(CornerSpec(len(specs), vertex, wish.kind, size, angle, wish.kind))
    return tuple(specs)


@st.composite
def outlines(draw: DrawFn, most: int = 6) -> Outline:
    """Yield valid outlines with chamfers and rounds, `most` sections behind the front at most."""
    chain = draw(sharp_chains(most))
    return build_outline(chain, draw(corner_specs(chain)))[0]


@dataclass(slots=True)
class _Print:
    """A part record in the making. Sizes are whole steps of 0.1 mm or 0.005 in."""

    draw: DrawFn
    units: Units
    sections: list[dict[str, Any]] = field(default_factory=list)
    back: float = 0.0
    """Diameter where the last section ends, in steps; 0 at the start."""
    joined_by_cylinder: bool = False
    """The last section is a cylinder."""

    def text(self, steps: int) -> str:
        """Return a size as the print writes it."""
        if self.units == "inch":
            return f"{steps * 0.005:.3f}".removeprefix("0")
        return f"{steps / 10:.1f}".removesuffix(".0")

    def toleranced(self, steps: int) -> str:
        """Return a diameter, sometimes with a fit or a tolerance of its own."""
        choices = (" h6", " ±0.05", " +0.02/-0.01") if self.units == "mm" else (" +0/-.002",)
        tolerance: str = self.draw(st.sampled_from(("", "", *choices)))
        return self.text(steps) + tolerance

    def steps(self, least: int, most: int) -> int:
        return self.draw(st.integers(least, most))

    def diameter(self) -> int:
        """Draw a diameter that leaves a clear shoulder to the last section."""
        wish = self.steps(40, 800)
        return wish if abs(wish - self.back) >= 8 else math.ceil(self.back) + 8

    def add(self, back: float, **fields: Any) -> None:
        self.sections.append(fields)
        self.back = back
        self.joined_by_cylinder = fields["kind"] == "cylinder"


def _add_ball(sheet: _Print) -> None:
    """A ball whose pole is the front, cut off by a face behind its centre or before it."""
    radius = sheet.steps(40, 300)
    length = sheet.steps(radius // 2, radius * 17 // 10)
    back = 2.0 * math.sqrt(radius**2 - (length - radius) ** 2)
    sheet.add(
        back,
        kind="arc",
        radius="R" + sheet.text(radius),
        sense="convex",
        centre_diameter="0",
        length=sheet.text(length),
    )
    sheet.add(0.0, kind="face")
    sheet.back = back


def _add_cylinder(sheet: _Print) -> None:
    before, after_face = sheet.back, bool(sheet.sections) and sheet.sections[-1]["kind"] == "face"
    diameter, length = sheet.diameter(), sheet.steps(5, 400)
    step = abs(diameter - before) / 2.0
    fields: dict[str, Any] = {}
    room = int(0.3 * min(step, length))
    if room >= 1 and not after_face and sheet.draw(st.booleans()):
        fields["front_corner"] = _corner(sheet, room)
    rough = "Ra 1.6" if sheet.units == "mm" else "Ra 63 µin"
    if sheet.draw(st.booleans()):
        fields["roughness"] = rough
    sheet.add(
        diameter,
        kind="cylinder",
        diameter=sheet.toleranced(diameter),
        length=sheet.text(length),
        **fields,
    )


def _corner(sheet: _Print, room: int) -> str:
    size = sheet.text(sheet.steps(1, room))
    return f"{size}x45°" if sheet.draw(st.booleans()) else f"R{size}"


def _add_taper(sheet: _Print) -> None:
    front, length = sheet.diameter(), sheet.steps(10, 400)
    form = sheet.draw(st.sampled_from(("diameters", "angle", "no length")))
    if form == "diameters":
        change = sheet.steps(2, 60) * sheet.draw(st.sampled_from((-1, 1)))
        back = max(20, front + max(-4 * length, min(4 * length, change)))
        back = back if back != front else front + 2
        sheet.add(
            back,
            kind="taper",
            front_diameter=sheet.text(front),
            back_diameter=sheet.text(back),
            length=sheet.text(length),
        )
        return
    angle, half = sheet.draw(
        st.sampled_from(
            [("1:10", math.atan(0.05)), ("15°", math.radians(15)), ("30° incl", math.radians(15))]
        )
    )
    if form == "angle":
        grows = 2.0 * length * math.tan(half)
        narrows = front - grows > 20 and sheet.draw(st.booleans())
        sheet.add(
            front - grows if narrows else front + grows,
            kind="taper",
            front_diameter=sheet.text(front),
            angle=angle,
            narrows=narrows,
            length=sheet.text(length),
        )
        return
    back = front + sheet.steps(10, 60)
    sheet.add(
        back,
        kind="taper",
        front_diameter=sheet.text(front),
        back_diameter=sheet.text(back),
        angle=angle,
    )


def _add_arc(sheet: _Print) -> None:
    """An arc by its two diameters, its length, radius and sense; it never turns back in z."""
    front, length = sheet.diameter(), sheet.steps(10, 300)
    change = sheet.steps(0, 60) * sheet.draw(st.sampled_from((-1, 1)))
    back = max(40, front + max(-2 * length, min(2 * length, change)))
    start, end = Point(0.0, front / 2), Point(-float(length), back / 2)
    chord = start.distance(end)
    slope = math.atan2(abs(end.r - start.r), length)
    least = chord / 2 / math.sin(0.9 * (math.pi / 2 - slope))
    radius = math.ceil(least * sheet.steps(100, 400) / 100)
    sweep = 2 * math.asin(chord / 2 / radius)
    sense = sheet.draw(st.sampled_from(("convex", "concave")))
    if sense == "concave" and r_extent(bulged(start, end, sweep, "cw"))[0] < 10:
        sense = "convex"
    sheet.add(
        back,
        kind="arc",
        front_diameter=sheet.text(front),
        back_diameter=sheet.text(back),
        length=sheet.text(length),
        radius="R" + sheet.text(radius),
        sense=sense,
    )


def _add_tangent_arc(sheet: _Print) -> None:
    """An arc that leaves the cylinder before it without a kink, out (concave) or in (convex)."""
    rise = sheet.steps(4, 60)
    outward = sheet.back < 2 * rise + 40 or sheet.draw(st.booleans())
    back = round(sheet.back) + (2 * rise if outward else -2 * rise)
    sheet.add(
        back,
        kind="arc",
        back_diameter=sheet.text(back),
        radius="R" + sheet.text(sheet.steps(math.ceil(1.05 * rise), 10 * rise)),
        sense="concave" if outward else "convex",
        tangent="front",
    )


@st.composite
def part_records(draw: DrawFn, units: Units = "mm", most: int = 5) -> PartRecord:
    """Yield part records that their dimensions fix, neither open nor contradictory.

    Stepped parts with balls, cylinders, tapers (by diameters, angle, ratio), arcs of both senses,
    tangent arcs, chamfers and rounds; `most` sections behind the ball at most.
    """
    sheet = _Print(draw, units)
    if draw(st.integers(0, 4)) == 0:
        _add_ball(sheet)
    for _ in range(draw(st.integers(1, most))):
        adders = [_add_cylinder, _add_cylinder, _add_taper, _add_arc]
        if sheet.joined_by_cylinder:
            adders.append(_add_tangent_arc)
        draw(st.sampled_from(adders))(sheet)
    _add_cylinder(sheet)
    if draw(st.booleans()):
        sheet.sections[-1]["back_corner"] = _corner(sheet, 1)
    return PartRecord(
        name="drawn part",
        sections=tuple(Section(**fields) for fields in sheet.sections),
        general_tolerance="ISO 2768-m" if units == "mm" else "decimals",
        inside_corners="R0.8" if units == "mm" else "R.030",
        roughness="Ra 3.2" if units == "mm" else "Ra 125 µin",
    )


def prints() -> SearchStrategy[tuple[PartRecord, Units]]:
    """Yield part records with the units that their text is in."""
    return st.one_of(
        part_records("mm").map(lambda part: (part, "mm")),
        part_records("inch").map(lambda part: (part, "inch")),
    )
