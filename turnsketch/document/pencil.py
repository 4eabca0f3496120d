"""The outline as the pencil has it: worked out section by section in plain Python, never refused.

The solver of `turnsketch.part` gives the truth; it needs arrays, and it refuses what makes no
outline. This chain needs neither: it takes what the dimensions say directly, then what was drawn,
then a guess. It is what the desk shows before the first solution and while a vertex is dragged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.part.outline import build_outline
from turnsketch.part.outline_records import CornerSpec, OutlineElement
from turnsketch.part.records import PartRecord
from turnsketch.part.sketch import expand
from turnsketch.part.sketch_records import Sketch, SketchLength, SketchSection
from turnsketch.units import Units

__all__ = ["Pencil", "bulge_of", "element_of", "pencil_of"]

_GUESS = 10.0
"""Length, and radius, of what nothing gives, in mm."""


@dataclass(frozen=True, slots=True)
class Pencil:
    """The chain: vertex ``i`` to vertex ``i + 1`` is section ``i`` of the sketch."""

    sketch: Sketch
    vertices: tuple[Point, ...]
    elements: tuple[OutlineElement, ...]
    """With chamfers and rounds where they fit; without any when they do not."""
    sharp: tuple[OutlineElement, ...]
    fixed: frozenset[int]
    """Numbers of the sections whose dimensions alone give both ends."""

    def ends(self, number: int) -> tuple[Point, Point]:
        """Return the front and the back end of the section with that number."""
        index = self.sketch.index_of(number)
        return self.vertices[index], self.vertices[index + 1]

    def level(self, vertex: int) -> frozenset[int]:
        """Return the vertices that faces keep at one z with `vertex`."""
        return self._run(vertex, "face")

    def ring(self, vertex: int) -> frozenset[int]:
        """Return the vertices that cylinders keep at one r with `vertex`."""
        return self._run(vertex, "cylinder")

    def _run(self, vertex: int, kind: str) -> frozenset[int]:
        found = {vertex}
        sections = self.sketch.sections
        low = high = vertex
        while low > 0 and sections[low - 1].kind == kind:
            low -= 1
            found.add(low)
        while high < len(sections) and sections[high].kind == kind:
            high += 1
            found.add(high)
        return frozenset(found)


def pencil_of(part: PartRecord, units: Units) -> Pencil:
    """Return the chain of `part`.

    Raises
    ------
    InputError
        There is no section at all, or text that can't be read.
    """
    sketch = expand(part, units)
    walk = _Walk(sketch)
    walk.run()
    vertices = walk.points()
    sharp = tuple(
        OutlineElement(
            element_of(vertices[i], vertices[i + 1], walk.bulge(i, vertices)),
            section.number,
            section.kind,
        )
        for i, section in enumerate(sketch.sections)
        if vertices[i].distance(vertices[i + 1]) > 1e-9
    )
    return Pencil(sketch, vertices, _with_corners(sketch, vertices, sharp, units), sharp, walk.ink)


def element_of(start: Point, end: Point, bulge: float) -> Element:
    """Return the line, or the arc with ``bulge = tan(sweep / 4)``, positive counterclockwise."""
    if abs(bulge) < 1e-9 or start.distance(end) < 1e-9:
        return Line(start, end)
    apart = end.minus(start)
    shift = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = Point(
        (start.z + end.z) / 2 - apart.r * shift,
        (start.r + end.r) / 2 + apart.z * shift,
    )
    return Arc(start, end, centre, "ccw" if bulge > 0 else "cw")


def bulge_of(chord: float, radius: float, *, convex: bool, long_way: bool) -> float:
    """Return tan(sweep / 4) of the arc of `radius` over a chord; the sign is + for convex.

    A chord longer than the diameter gives a half circle: bulge 1.
    """
    half = min(chord / (2.0 * radius), 1.0) if radius > 0 else 1.0
    sweep = 2.0 * math.asin(half)
    if long_way:
        sweep = 2.0 * math.pi - sweep
    return math.tan(sweep / 4.0) * (1.0 if convex else -1.0)


def _size(dimension: object) -> float | None:
    """Return the nominal of a dimension that demands something (none in brackets does)."""
    if dimension is None or getattr(dimension, "reference", False):
        return None
    return float(getattr(dimension, "nominal"))  # noqa: B009


@dataclass
class _Walk:
    """Places found so far, and which of them the dimensions give."""

    sketch: Sketch
    z: list[float | None] = field(init=False)
    r: list[float | None] = field(init=False)
    ink: frozenset[int] = frozenset()

    def __post_init__(self) -> None:
        count = self.sketch.vertex_count
        self.z, self.r = [None] * count, [None] * count
        self.z[0] = 0.0
        if self.sketch.sections[0].kind == "face" or self._on_axis(0, "front"):
            self.r[0] = 0.0
        last = len(self.sketch.sections) - 1
        if self.sketch.sections[last].kind == "face" or self._on_axis(last, "back"):
            self.r[-1] = 0.0

    def _on_axis(self, index: int, end: str) -> bool:
        section = self.sketch.sections[index]
        if section.kind not in ("arc", "taper"):
            return False
        printed = section.front_diameter if end == "front" else section.back_diameter
        return section.kind == "arc" if printed is None else printed.exact == 0

    def run(self) -> None:
        """Find every place: by dimensions, then as drawn, then by guessing one at a time."""
        self._spread()
        self.ink = frozenset(
            section.number
            for i, section in enumerate(self.sketch.sections)
            if section.number is not None and self._whole(i)
        )
        self._start_from_drawn()
        self._spread()
        for i in range(1, self.sketch.vertex_count):
            for places, guess in ((self.z, -_GUESS), (self.r, 0.0)):
                if places[i] is None:
                    places[i] = (places[i - 1] or 0.0) + guess
                    if places is self.r and not places[i]:
                        places[i] = self._next_r(i)
                    self._spread()

    def points(self) -> tuple[Point, ...]:
        """Return the vertices; what is not known yet counts as 0."""
        return tuple(
            Point(z or 0.0, max(r or 0.0, 0.0)) for z, r in zip(self.z, self.r, strict=True)
        )

    def bulge(self, index: int, vertices: Sequence[Point]) -> float:
        """Return the bulge of a section, 0 for a straight one."""
        section = self.sketch.sections[index]
        if section.kind != "arc":
            return 0.0
        drawn = section.drawn.bulge if section.drawn is not None else 0.0
        convex = section.sense == "convex" if section.sense else drawn >= 0.0
        radius, chord = _size(section.radius), vertices[index].distance(vertices[index + 1])
        if radius is None:
            return drawn or (0.4 if convex else -0.4)
        long_way = section.long_way or abs(drawn) > 1.0
        return bulge_of(chord, radius, convex=convex, long_way=long_way)

    def _next_r(self, vertex: int) -> float:
        return next((r for r in self.r[vertex:] if r), _GUESS)

    def _whole(self, i: int) -> bool:
        section = self.sketch.sections[i]
        known = all(p is not None for p in (*self.z[i : i + 2], *self.r[i : i + 2]))
        return known and (section.kind != "arc" or _size(section.radius) is not None)

    def _start_from_drawn(self) -> None:
        for i, section in enumerate(self.sketch.sections):
            if section.drawn is None:
                continue
            if self.z[i + 1] is None:
                self.z[i + 1] = section.drawn.to.z
            if self.r[i + 1] is None:
                self.r[i + 1] = section.drawn.to.r

    def _spread(self) -> None:
        """Let what is known give what follows from it, until nothing more does."""
        before = -1
        while before != (before := sum(p is not None for p in (*self.z, *self.r))):
            for i, section in enumerate(self.sketch.sections):
                self._by_kind(i, section)
            for length in self.sketch.lengths:
                self._by_length(length)

    def _put(self, places: list[float | None], vertex: int, value: float | None) -> None:
        if value is not None and places[vertex] is None:
            places[vertex] = value

    def _by_kind(self, i: int, section: SketchSection) -> None:
        ends = (i, i + 1)
        for vertex, end in zip(ends, ("front", "back"), strict=True):
            size = _size(section.end_diameter("front" if end == "front" else "back"))
            self._put(self.r, vertex, None if size is None else size / 2)
        level = {"face": self.z, "cylinder": self.r}.get(section.kind)
        if level is not None:
            self._put(level, i + 1, level[i])
            self._put(level, i, level[i + 1])
        elif section.kind == "taper":
            self._by_angle(i, section)
        else:
            self._by_centre(i, section)

    def _by_angle(self, i: int, section: SketchSection) -> None:
        half = _size(section.angle)
        if half is None:
            return
        slope = math.tan(half) * (-1.0 if section.narrows else 1.0)
        (za, zb), (ra, rb) = self.z[i : i + 2], self.r[i : i + 2]
        if za is not None and zb is not None:
            rise = slope * (za - zb)
            self._put(self.r, i + 1, None if ra is None else ra + rise)
            self._put(self.r, i, None if rb is None else rb - rise)
        elif ra is not None and rb is not None and slope:
            run = abs((rb - ra) / slope)
            self._put(self.z, i + 1, None if za is None else za - run)
            self._put(self.z, i, None if zb is None else zb + run)

    def _by_centre(self, i: int, section: SketchSection) -> None:
        """An arc with a known radius and centre height runs as far as its end heights say."""
        radius, centre = _size(section.radius), _size(section.centre_diameter)
        (za, zb), (ra, rb) = self.z[i : i + 2], self.r[i : i + 2]
        if radius is None or centre is None or za is None or ra is None or rb is None:
            return
        if zb is not None:
            return
        height = centre / 2 * (-1.0 if section.centre_below else 1.0)
        reach = [math.sqrt(max(radius**2 - (r - height) ** 2, 0.0)) for r in (ra, rb)]
        drawn = section.drawn
        concave = section.sense == "concave" or (drawn is not None and drawn.bulge < 0)
        middle = za + (reach[0] if concave else -reach[0])
        options = [z for z in (middle + reach[1], middle - reach[1]) if z <= za + 1e-9]
        goal = drawn.to.z if drawn is not None else za
        self._put(self.z, i + 1, min(options, key=lambda z: abs(z - goal), default=None))

    def _by_length(self, length: SketchLength) -> None:
        size = _size(length.dimension)
        front, back = length.front.vertex, length.back.vertex
        if size is None or front is None or back is None:
            return
        za, zb = self.z[front], self.z[back]
        self._put(self.z, back, None if za is None else za - size)
        self._put(self.z, front, None if zb is None else zb + size)


def _with_corners(
    sketch: Sketch, vertices: Sequence[Point], sharp: tuple[OutlineElement, ...], units: Units
) -> tuple[OutlineElement, ...]:
    """Return the chain with its corners on; sharp where they make no outline."""
    place = {id_: n for n, id_ in enumerate(element.shape.start for element in sharp)}
    specs = [
        CornerSpec(
            index=corner.index,
            vertex=place[vertices[corner.vertex]],
            kind="chamfer" if corner.dimension.kind == "chamfer" else "round",
            size=corner.dimension.nominal,
            angle=corner.dimension.chamfer_angle or 0.0,
            text=corner.dimension.text,
            section=corner.section,
            end=corner.end,
        )
        for corner in sketch.corners
        if vertices[corner.vertex] in place
    ]
    try:
        return build_outline(sharp, specs, (), units)[0].elements
    except InputError:
        return sharp
