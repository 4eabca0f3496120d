"""Short words for the tests of the solver: sections, places, and what a solution must say."""

from __future__ import annotations

from turnsketch.geometry.elements import Point
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section
from turnsketch.part.sketch import expand
from turnsketch.part.solver import Solution, solve
from turnsketch.units import Units

__all__ = [
    "P",
    "assert_all_ink",
    "assert_vertices",
    "back",
    "cylinder",
    "front",
    "length",
    "messages",
    "solved",
]


def length(start: Place, end: Place, text: str) -> LengthDimension:
    return LengthDimension(start, end, text)


def front(number: int) -> Place:
    return Place(number, "front")


def back(number: int) -> Place:
    return Place(number, "back")


def solved(
    *sections: Section,
    lengths: tuple[LengthDimension, ...] = (),
    units: Units = "mm",
    rule: str = "ISO 2768-m",
) -> Solution:
    part = PartRecord("part", sections, lengths=lengths)
    return solve(expand(part, units), rule)


def cylinder(diameter: str | None = None, length: str | None = None) -> Section:
    return Section("cylinder", diameter=diameter, length=length)


def messages(solution: Solution, kind: str) -> list[str]:
    return [issue.message for issue in solution.issues if issue.kind == kind]


def assert_vertices(solution: Solution, expected: list[tuple[float, float]]) -> None:
    assert len(solution.nominal.vertices) == len(expected)
    for found, wanted in zip(solution.nominal.vertices, expected, strict=True):
        assert found.distance(Point(*wanted)) < 1e-9


def assert_all_ink(solution: Solution) -> None:
    assert all(solution.fixed)
    assert set(solution.free) == {""}
    assert not messages(solution, "open")
    assert not messages(solution, "contradiction")


P = cylinder
