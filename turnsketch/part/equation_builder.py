"""The equations of a sketch: which ones its tapers, arcs and tangencies make."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Final

from turnsketch.geometry.constants import CLOSE
from turnsketch.part.chains import Chains
from turnsketch.part.equations import (
    ArcCentre,
    ArcRadius,
    Direction,
    Equation,
    Semicircle,
    Tangent,
    TaperSlope,
)
from turnsketch.part.levels import Given, Levels, Quantity, sized
from turnsketch.part.sketch_records import Sketch
from turnsketch.part.text import Dimension

__all__ = ["EquationBuilder"]

_BACKWARD: Final = (-1.0, 0.0)
_ACROSS: Final = (0.0, 1.0)


class EquationBuilder:
    """Gathers the equations of one sketch. Lives only while the system is built."""

    def __init__(
        self,
        sketch: Sketch,
        levels: Levels,
        chains: Chains,
        givens: Sequence[Given],
        rule: str,
        slants: Mapping[int, float],
    ) -> None:
        self.sketch = sketch
        self.levels = levels
        self.chains = chains
        self.givens = list(givens)
        self.rule = rule
        self.slants = slants
        self.structural: list[Equation] = []
        self.dimensioned: list[Equation] = []
        self.references: list[Equation] = []
        self.smooth: set[int] = set()

    def build(self) -> None:
        """Gather all of them."""
        for vertex in range(1, len(self.sketch.sections)):
            if self.sketch.sections[vertex].tangent_front:
                self._tangent(vertex)
        for i, section in enumerate(self.sketch.sections):
            if section.kind == "taper" and section.angle:
                self._taper(i)
            elif section.kind == "arc":
                self._arc(i)

    def _given(self, i: int, field: str, dimension: Dimension, quantity: Quantity) -> int:
        path = f"{self.sketch.sections[i].path}.{field}"
        shorter = self.slants.get(i) if quantity == "angle" else None
        size = sized(dimension, self.rule, path, shorter)
        self.givens.append(Given(dimension, path, i, quantity, size))
        return len(self.givens) - 1

    def _between(self, a: int, b: int) -> Fraction | None:
        """Return the exact distance of two places, where the chains give it."""
        if self.chains.root[a] != self.chains.root[b]:
            return None
        return self.chains.offset[a] - self.chains.offset[b]

    def _add(self, equation: Equation, dimension: Dimension) -> None:
        (self.references if dimension.reference else self.dimensioned).append(equation)

    def _taper(self, i: int) -> None:
        section = self.sketch.sections[i]
        assert section.angle is not None
        given = self._given(i, "angle", section.angle, "angle")
        self._add(TaperSlope(i, given, self.levels.ends(i), self._opening(i)), section.angle)

    def _opening(self, i: int) -> int:
        """Return +1 for a taper that opens toward the back: by diameters, word, or pencil."""
        section, ends = self.sketch.sections[i], self.levels.ends(i)
        gain = self._between(ends.rq, ends.rp)
        if gain:
            return 1 if gain > 0 else -1
        if section.narrows:
            return -1
        if section.drawn is not None and i > 0:
            before = self.sketch.sections[i - 1].drawn
            if before is not None and abs(section.drawn.to.r - before.to.r) > CLOSE:
                return 1 if section.drawn.to.r > before.to.r else -1
        return 1

    def _arc(self, i: int) -> None:
        section, ends = self.sketch.sections[i], self.levels.ends(i)
        centre = section.centre_diameter
        if centre is not None:
            given = self._given(i, "centre_diameter", centre, "centre")
            factor = -0.5 if section.centre_below else 0.5
            self._add(ArcCentre(i, given, ends, "r", None, factor), centre)
        if i in self.levels.centre:
            self.dimensioned.append(ArcCentre(i, None, ends, "z", self.levels.centre[i]))
        if section.radius is not None:
            given = self._given(i, "radius", section.radius, "radius")
            if section.radius.reference or not self._double_roots(i, given):
                self._add(ArcRadius(i, given, ends), section.radius)

    # Double roots, each with an equation of its own

    def _double_roots(self, i: int, given: int) -> bool:
        """Put in an equation for every double root of the radius; say whether there was one.

        The radius then stands in the exact comparison that found it: where the other sizes are
        cut to their aims, it follows them.
        """
        section, ends = self.sketch.sections[i], self.levels.ends(i)
        assert section.radius is not None
        radius = section.radius.exact
        found = 0
        across, along = self._between(ends.rq, ends.rp), self._between(ends.zp, ends.zq)
        if across is not None and along is not None and across**2 + along**2 == 4 * radius**2:
            self.structural.append(Semicircle(i, given, ends))
            found += 1
        for vertex in (i, i + 1):
            other = i + 1 if vertex == i else i
            height = self._between(self.levels.r[vertex], self.levels.axis)
            centres = self._centre_heights(i, other, radius)
            if height is not None and any(abs(height - centre) == radius for centre in centres):
                self._extreme(i, vertex, _BACKWARD, None if found else given)
                found += 1
            if any(abs(off) == radius for off in self._centres_off(i, vertex, other)):
                self._extreme(i, vertex, _ACROSS, None if found else given)
                found += 1
        return found > 0

    def _centre_heights(self, i: int, other: int, radius: Fraction) -> list[Fraction]:
        """Return where the centre's r may be: as printed, or as tangency at `other` gives it."""
        section = self.sketch.sections[i]
        if section.centre_diameter is not None and not section.centre_diameter.reference:
            return [section.centre_diameter.exact / (-2 if section.centre_below else 2)]
        height = self._between(self.levels.r[other], self.levels.axis)
        beside = self._tangent_kind(i, other)
        if height is None or section.sense is None or beside not in ("cylinder", "face"):
            return []
        if beside == "face":
            return [height]
        return [height - radius if section.sense == "convex" else height + radius]

    def _centres_off(self, i: int, vertex: int, other: int) -> list[Fraction]:
        """Return how far the centre may lie from `vertex` along the axis, where it is known."""
        found = []
        if i in self.levels.centre:
            found.append(self._between(self.levels.z[vertex], self.levels.centre[i]))
        if self._tangent_kind(i, other) == "cylinder":
            found.append(self._between(self.levels.z[vertex], self.levels.z[other]))
        return [off for off in found if off is not None]

    def _tangent_kind(self, i: int, vertex: int) -> str | None:
        """Return the kind of the neighbour with which the arc is asked to be tangent there."""
        section = self.sketch.sections[i]
        if not (section.tangent_front if vertex == i else section.tangent_back):
            return None
        return self.sketch.sections[i - 1 if vertex == i else i + 1].kind

    def _extreme(
        self, i: int, vertex: int, heading: tuple[float, float], given: int | None
    ) -> None:
        """At that end the arc runs level (or square): tangent to a neighbour that does too."""
        if vertex in self.smooth:
            return
        other = i - 1 if vertex == i else i + 1
        kind = "cylinder" if heading == _BACKWARD else "face"
        if 0 <= other < len(self.sketch.sections) and self.sketch.sections[other].kind == kind:
            self.smooth.add(vertex)
        at = self._direction(i, vertex == i)
        self.structural.append(Tangent(i, given, at, Direction(heading)))

    def _tangent(self, vertex: int) -> None:
        before, after = vertex - 1, vertex
        section = before if self.sketch.sections[before].kind == "arc" else after
        self.structural.append(
            Tangent(section, None, self._direction(before, False), self._direction(after, True))
        )
        self.smooth.add(vertex)

    def _direction(self, i: int, at_start: bool) -> Direction:
        kind = self.sketch.sections[i].kind
        if kind == "cylinder":
            return Direction(_BACKWARD)
        if kind == "face":
            return Direction(_ACROSS)
        return Direction(ends=self.levels.ends(i), at="start" if at_start else "end")
