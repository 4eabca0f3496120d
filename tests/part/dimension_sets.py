"""A hypothesis strategy: outlines by construction, and a random set of dimensions that fixes them.

Shoulders are explicit faces here, so that taking a dimension out never moves a face. Lengths form
a random spanning tree over the joints of every run of sections whose lengths are free.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from turnsketch.geometry.elements import Point
from turnsketch.part.records import Drawn, LengthDimension, PartRecord, Place, Section

__all__ = ["DimensionSet", "Span", "dimension_sets"]


@dataclass(frozen=True)
class Span:
    """A length that the print does not have: between the fronts of two sections, in hundredths."""

    first: int
    last: int
    """From the front of section `first` to the back of section `last`."""
    hundredths: int


@dataclass(frozen=True)
class DimensionSet:
    """A part record and the vertices that its dimensions must give."""

    part: PartRecord
    vertices: tuple[Point, ...]
    removable: tuple[tuple[int, str], ...]
    """Fields of sections (number from 0) of which each is needed."""
    spare: tuple[Span, ...]
    """Lengths that would only repeat others."""


@dataclass
class _Maker:
    draw: DrawFn
    sections: list[dict[str, Any]] = field(default_factory=list)
    vertices: list[Point] = field(default_factory=lambda: [Point(0.0, 0.0)])
    runs: list[list[tuple[int, int]]] = field(default_factory=lambda: [[]])
    """Runs of sections with free lengths: (number of the section from 0, hundredths)."""
    removable: list[tuple[int, str]] = field(default_factory=list)

    def steps(self, least: int, most: int) -> int:
        return self.draw(st.integers(least, most))

    def add(self, to: Point, needed: tuple[str, ...], free: int | None, **fields: Any) -> None:
        number = len(self.sections)
        self.removable += [(number, name) for name in needed]
        self.sections.append(fields)
        self.vertices.append(to)
        if free is None:
            self.runs.append([])
        elif free:
            self.runs[-1].append((number, free))

    @property
    def here(self) -> Point:
        return self.vertices[-1]


def text(hundredths: int) -> str:
    return f"{hundredths / 100:.2f}".removesuffix("0").removesuffix(".0")


def degrees(angle: float) -> str:
    """Return an angle with as many digits as text may have."""
    value = math.degrees(angle)
    return f"{value:.{11 - len(str(int(value)))}f}°"


def _start(maker: _Maker) -> int:
    """Step to a new radius by an explicit face; return the radius in hundredths."""
    now = round(maker.here.r * 100)
    radius = maker.steps(300, 4000)
    if abs(radius - now) < 40:
        radius = now + 60
    maker.add(Point(maker.here.z, radius / 100), (), 0, kind="face")
    return radius


def _cylinder(maker: _Maker) -> None:
    radius, length = _start(maker), maker.steps(50, 5000)
    maker.add(
        Point(maker.here.z - length / 100, radius / 100),
        ("diameter",),
        length,
        kind="cylinder",
        diameter=text(2 * radius),
    )


def _taper(maker: _Maker) -> None:
    front = _start(maker)
    form = maker.draw(st.sampled_from(("diameters", "ratio", "angle", "no length")))
    opens = front < 600 or maker.draw(st.booleans())
    if form in ("ratio", "no length"):
        change = maker.steps(2, 20) * 5
        length = 10 * 2 * change
        back = front + (change if opens else -change)
    else:
        length = maker.steps(200, 3000)
        change = maker.steps(20, 280)
        back = front + (change if opens else -change)
    half = math.atan(change / length)
    ratio = "1:10" if maker.draw(st.booleans()) else degrees(math.atan(0.05))
    to = Point(maker.here.z - length / 100, back / 100)
    both = {"front_diameter": text(2 * front), "back_diameter": text(2 * back)}
    if form == "diameters":
        maker.add(to, tuple(both), length, kind="taper", **both)
        return
    if form == "no length":
        maker.add(to, (*both, "angle"), None, kind="taper", angle=ratio, **both)
        return
    kept = maker.draw(st.sampled_from(tuple(both)))
    angle = ratio if form == "ratio" else f"{degrees(2.0 * half)} incl"
    maker.add(
        to,
        (kept, "angle"),
        length,
        kind="taper",
        angle=angle,
        narrows=not opens,
        **{kept: both[kept]},
    )


def _arc(maker: _Maker) -> None:
    """An arc by its ends and radius, or by its radius and its centre's height, no length."""
    front = _start(maker)
    form = maker.draw(st.sampled_from(("ends", "centre", "tangent")))
    if form == "ends":
        length, change = maker.steps(200, 3000), maker.steps(-150, 150)
        back = max(300, front + change)
        chord = math.hypot(length, back - front)
        radius = math.ceil(chord / 2) + maker.steps(20, 4000)
        sag = radius - math.sqrt(radius**2 - chord**2 / 4)
        senses = ("convex", "concave") if sag < min(front, back) - 100 else ("convex",)
        maker.add(
            Point(maker.here.z - length / 100, back / 100),
            ("front_diameter", "back_diameter", "radius"),
            length,
            kind="arc",
            front_diameter=text(2 * front),
            back_diameter=text(2 * back),
            radius="R" + text(radius),
            sense=maker.draw(st.sampled_from(senses)),
        )
    elif form == "centre":
        _waist(maker, front)
    else:
        _fillet(maker, front)


def _waist(maker: _Maker, front: int) -> None:
    """A concave waist through its thinnest place; the pencil tells it from its other branch."""
    radius = maker.steps(400, 3000)
    depth = [maker.steps(10, min(radius, front) - 200) for _ in range(2)]
    back = front - depth[0] + depth[1]
    centre = front + radius - depth[0]
    halves = [math.sqrt(radius**2 - (radius - d) ** 2) / 100 for d in depth]
    to = Point(maker.here.z - sum(halves), back / 100)
    sweep = sum(math.asin(half * 100 / radius) for half in halves)
    maker.add(
        to,
        ("front_diameter", "back_diameter", "radius", "centre_diameter"),
        None,
        kind="arc",
        front_diameter=text(2 * front),
        back_diameter=text(2 * back),
        radius="R" + text(radius),
        centre_diameter=text(2 * centre),
        sense="concave",
        drawn=Drawn(Point(to.z + 0.05, to.r - 0.1), -math.tan(sweep / 4) * 1.02),
    )


def _fillet(maker: _Maker, front: int) -> None:
    """A cylinder and an arc that leaves it without a kink, outward."""
    length = maker.steps(50, 3000)
    maker.add(
        Point(maker.here.z - length / 100, front / 100),
        ("diameter",),
        length,
        kind="cylinder",
        diameter=text(2 * front),
    )
    radius = maker.steps(100, 2000)
    rise = maker.steps(radius // 10, radius * 9 // 10)
    along = math.sqrt(radius**2 - (radius - rise) ** 2) / 100
    maker.add(
        Point(maker.here.z - along, (front + rise) / 100),
        ("back_diameter", "radius", "tangent"),
        None,
        kind="arc",
        back_diameter=text(2 * (front + rise)),
        radius="R" + text(radius),
        sense="concave",
        tangent="front",
    )


def _lengths(
    maker: _Maker,
) -> tuple[list[LengthDimension], list[Span]]:
    """Choose a spanning tree over the joints of every run; return it and what it leaves over."""
    chosen: list[LengthDimension] = []
    spare: list[Span] = []
    for run in maker.runs:
        joined = [{joint} for joint in range(len(run) + 1)]
        pairs = [(a, b) for a in range(len(run)) for b in range(a + 1, len(run) + 1)]
        for a, b in maker.draw(st.permutations(pairs)):
            first, last = run[a][0], run[b - 1][0]
            total = sum(size for _, size in run[a:b])
            one, two = (next(s for s in joined if joint in s) for joint in (a, b))
            if one is two:
                spare.append(Span(first, last, total))
                continue
            joined = [s for s in joined if s is not one and s is not two] + [one | two]
            if first == last and maker.draw(st.booleans()):
                maker.sections[first]["length"] = text(total)
                maker.removable.append((first, "length"))
                continue
            ends = [Place(first + 1, "front"), Place(last + 1, "back")]
            if maker.draw(st.booleans()):
                ends.reverse()
            chosen.append(LengthDimension(ends[0], ends[1], text(total)))
    return chosen, spare


@st.composite
def dimension_sets(draw: DrawFn, most: int = 6) -> DimensionSet:
    """Yield parts of up to `most` steps with dimensions that fix them, none too many."""
    maker = _Maker(draw)
    for _ in range(draw(st.integers(1, most))):
        draw(st.sampled_from((_cylinder, _taper, _arc)))(maker)
    maker.add(Point(maker.here.z, 0.0), (), 0, kind="face")
    lengths, spare = _lengths(maker)
    part = PartRecord(
        name="drawn",
        sections=tuple(Section(**fields) for fields in maker.sections),
        lengths=tuple(lengths),
    )
    return DimensionSet(part, tuple(maker.vertices), tuple(maker.removable), tuple(spare))
