"""The levels of a sketch, numbered: a face owns one z, a cylinder one r, an arc adds its bulge.

Quantities are numbered: first the z of every level (0 is the front face), then the z of the
centres that lengths use, then the r of every level (the first is the axis), then the bulges.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from turnsketch.errors import InputError
from turnsketch.part.equations import Ends
from turnsketch.part.limits import size_of
from turnsketch.part.outline_records import Size
from turnsketch.part.sketch_records import Sketch, SketchPlace
from turnsketch.part.text import Dimension

__all__ = ["Given", "Levels", "Quantity", "levels_of", "sized"]

Quantity = Literal["length", "diameter", "angle", "radius", "centre"]


@dataclass(frozen=True, slots=True)
class Levels:
    """Numbers of the quantities."""

    z: tuple[int, ...]
    """For each vertex."""
    r: tuple[int, ...]
    """For each vertex."""
    centre: dict[int, int]
    """For each arc (number in the sketch) whose centre a length uses."""
    bulge: dict[int, int]
    """For each arc."""
    axis: int
    places: int
    """Quantities from here on are bulges."""
    count: int

    def ends(self, section: int) -> Ends:
        """Return the quantities of a section (number in the sketch)."""
        return Ends(
            self.z[section],
            self.r[section],
            self.z[section + 1],
            self.r[section + 1],
            self.bulge.get(section),
        )

    def place(self, place: SketchPlace) -> int:
        """Return the quantity of a place where a length ends."""
        if place.vertex is not None:
            return self.z[place.vertex]
        assert place.centre is not None
        return self.centre[place.centre]


@dataclass(frozen=True, slots=True)
class Given:
    """A dimension of the print in the system."""

    dimension: Dimension
    path: str
    section: int | None
    """Number in the sketch, None for a length of the part."""
    quantity: Quantity
    size: Size


def levels_of(sketch: Sketch) -> Levels:
    """Number the quantities of a sketch."""
    z = [0]
    for section in sketch.sections:
        z.append(z[-1] + (section.kind != "face"))
    number = z[-1] + 1
    centre: dict[int, int] = {}
    for length in sketch.lengths:
        for place in (length.front, length.back):
            if place.centre is not None and place.centre not in centre:
                centre[place.centre] = number
                number += 1
    axis = number
    r = [axis]
    for i, section in enumerate(sketch.sections, 1):
        if i == len(sketch.sections):
            r.append(axis)
        elif section.kind == "cylinder":
            r.append(r[-1])
        else:
            number += 1
            r.append(number)
    places = number = number + 1
    bulge: dict[int, int] = {}
    for i, section in enumerate(sketch.sections):
        if section.kind == "arc":
            bulge[i] = number
            number += 1
    return Levels(tuple(z), tuple(r), centre, bulge, axis, places, number)


def sized(dimension: Dimension, rule: str, path: str, shorter: float | None = None) -> Size:
    """Return the limits of a dimension; the path of its field goes in front of an error."""
    try:
        return size_of(dimension, rule, shorter)
    except InputError as error:
        raise error.within(path) from error
