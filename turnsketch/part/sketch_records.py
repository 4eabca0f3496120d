"""The sketch: what the print says with its text read once and its understood faces put in.

Section ``i`` of a sketch spans vertex ``i`` to vertex ``i + 1``; vertex 0 lies on the axis at the
front, the last one on the axis at the back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from turnsketch.part.records import Drawn, SectionKind
from turnsketch.part.text import Dimension
from turnsketch.units import Units

__all__ = [
    "PRINT_ROUNDING_MM",
    "End",
    "Sketch",
    "SketchCorner",
    "SketchLength",
    "SketchPlace",
    "SketchSection",
]

End = Literal["front", "back"]

PRINT_ROUNDING_MM: Final = 0.005
"""Prints round worked-out sizes: two that differ by no more than this are one."""


@dataclass(frozen=True, slots=True)
class SketchSection:
    """One section, recorded or understood, with its dimensions read."""

    kind: SectionKind
    number: int | None = None
    """Number in the part record, from 1; None for an understood face."""
    name: str = ""
    path: str = ""
    """Path of the section in the job file, "part.sections[2]"; empty for an understood face."""
    diameter: Dimension | None = None
    front_diameter: Dimension | None = None
    back_diameter: Dimension | None = None
    length: Dimension | None = None
    angle: Dimension | None = None
    narrows: bool = False
    radius: Dimension | None = None
    sense: Literal["convex", "concave"] | None = None
    long_way: bool = False
    centre_diameter: Dimension | None = None
    centre_below: bool = False
    """The centre lies beyond the axis."""
    tangent_front: bool = False
    """No kink at the front end, whichever of the two neighbours says so."""
    tangent_back: bool = False
    roughness: Dimension | None = None
    drawn: Drawn | None = None

    def end_diameter(self, end: End) -> Dimension | None:
        """Return the diameter that the print gives at that end, if any."""
        if self.kind == "cylinder":
            return self.diameter
        return self.front_diameter if end == "front" else self.back_diameter

    @property
    def words(self) -> str:
        """The section for people: "section 3 (seat)", or "a shoulder" when it is understood."""
        if self.number is None:
            return "an understood face"
        return f"section {self.number}" + (f" ({self.name})" if self.name else "")


class SketchPlace(NamedTuple):
    """Where a length begins or stops along the axis: one of the two is None."""

    vertex: int | None
    centre: int | None
    """Number (from 0) of the arc in `Sketch.sections` whose centre it is."""


class SketchLength(NamedTuple):
    """A length along the axis; `front` lies nearer to the front face than `back`."""

    front: SketchPlace
    back: SketchPlace
    dimension: Dimension
    path: str


@dataclass(frozen=True, slots=True)
class SketchCorner:
    """A chamfer or round that the print gives at a vertex."""

    index: int
    vertex: int
    dimension: Dimension
    section: int
    """Number in the part record of the section that carries it."""
    end: End
    path: str


@dataclass(frozen=True, slots=True)
class Sketch:
    """The print, read."""

    name: str
    units: Units
    sections: tuple[SketchSection, ...]
    corners: tuple[SketchCorner, ...]
    lengths: tuple[SketchLength, ...]
    """Sections' own lengths first, in their order, then the part's."""
    roughness: Dimension | None = None
    inside_corners: Dimension | None = None

    @property
    def vertex_count(self) -> int:
        """Number of vertices: one more than sections."""
        return len(self.sections) + 1

    def index_of(self, number: int) -> int:
        """Return the place in `sections` of the section with that number in the record.

        Raises
        ------
        KeyError
            The record has no such section.
        """
        for index, section in enumerate(self.sections):
            if section.number == number:
                return index
        raise KeyError(number)
