"""What a size that the print does not give can come out as, at worst.

Every dimension that fixes the part is set to that limit which makes the size largest, then
smallest, and the part is solved there. Along a plain chain of lengths that is the sum of their
tolerances. Which limit is the worse one comes from the linear sensitivities about the nominal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from turnsketch.errors import InputError
from turnsketch.part.dimension_words import dimension_words
from turnsketch.part.fixing import fixing_of, hangs_on
from turnsketch.part.levels import Levels
from turnsketch.part.newton import Matrix
from turnsketch.part.outline_records import Size
from turnsketch.part.records import Place
from turnsketch.part.sketch_records import End, Sketch
from turnsketch.part.solver import Solution, Solved, quantities_at, solve_nominal
from turnsketch.part.system import build_system

__all__ = ["worst_case", "worst_case_diameter"]


@dataclass(frozen=True, slots=True)
class _Measure:
    """A size as a function of the quantities, with its gradient."""

    value: Callable[[Sequence[float]], float]
    gradient: Callable[[Sequence[float]], Matrix]


def worst_case(sketch: Sketch, solution: Solution, a: Place, b: Place, rule: str) -> Size:
    """Return what the length between two places can come out as.

    Parameters
    ----------
    sketch : Sketch
        The print.
    solution : Solution
        As `turnsketch.part.solver.solve` gave it under the same rule.
    a, b : Place
        Ends or centres of sections; the length is positive whichever comes first.
    rule : str
        General tolerance for the sizes that carry none.

    Returns
    -------
    Size
        Nominal, worst-case limits and the length of the aimed shape, in mm; its source names the
        dimensions that it hangs on.

    Raises
    ------
    InputError
        There is no such place, or the dimensions do not fix the length.
    """
    system = build_system(sketch, rule, _slants(sketch, solution))
    start, end = (_along(sketch, system.levels, place) for place in (a, b))
    nominal = solve_nominal(system)
    sign = 1.0 if start.value(nominal.x) >= end.value(nominal.x) else -1.0
    measure = _Measure(
        lambda x: sign * (start.value(x) - end.value(x)),
        lambda x: sign * (start.gradient(x) - end.gradient(x)),
    )
    return _worst(nominal, measure, "the length")


def worst_case_diameter(
    sketch: Sketch, solution: Solution, section: int, end: End, rule: str
) -> Size:
    """Return what the diameter at an end of a section can come out as.

    Parameters
    ----------
    sketch, solution, rule
        As for `worst_case`.
    section : int
        Its number in the part record, from 1.
    end : {"front", "back"}
        Which of its ends.

    Raises
    ------
    InputError
        There is no such section, or the dimensions do not fix the diameter.
    """
    system = build_system(sketch, rule, _slants(sketch, solution))
    level = system.levels.r[_index(sketch, section) + (end == "back")]
    measure = _Measure(lambda x: 2.0 * x[level], lambda x: 2.0 * _unit(system.levels.count, level))
    return _worst(solve_nominal(system), measure, "the diameter")


def _slants(sketch: Sketch, solution: Solution) -> dict[int, float]:
    """Return the length of every taper along its surface."""
    at = solution.nominal.vertices
    return {
        i: at[i].distance(at[i + 1])
        for i, section in enumerate(sketch.sections)
        if section.kind == "taper"
    }


def _index(sketch: Sketch, number: int) -> int:
    try:
        return sketch.index_of(number)
    except KeyError:
        raise InputError(f"the part has no section {number}", f"section {number}") from None


def _unit(count: int, place: int) -> Matrix:
    row = np.zeros(count)
    row[place] = 1.0
    return row


def _along(sketch: Sketch, levels: Levels, place: Place) -> _Measure:
    """Return the z of a place."""
    i = _index(sketch, place.section)
    if place.at != "centre":
        level = levels.z[i + (place.at == "back")]
        return _Measure(lambda x: x[level], lambda x: _unit(levels.count, level))
    e = levels.ends(i)
    bulge = e.bulge
    if bulge is None:
        words = sketch.sections[i].words
        raise InputError(f"{words} has no centre; only an arc has one", f"section {place.section}")

    def value(x: Sequence[float]) -> float:
        k = (1.0 - x[bulge] ** 2) / (4.0 * x[bulge])
        return (x[e.zp] + x[e.zq]) / 2.0 - k * (x[e.rq] - x[e.rp])

    def gradient(x: Sequence[float]) -> Matrix:
        k = (1.0 - x[bulge] ** 2) / (4.0 * x[bulge])
        row = np.zeros(levels.count)
        row[e.zp] += 0.5
        row[e.zq] += 0.5
        row[e.rq] -= k
        row[e.rp] += k
        row[bulge] = (x[e.rq] - x[e.rp]) * (1.0 + x[bulge] ** 2) / (4.0 * x[bulge] ** 2)
        return row

    return _Measure(value, gradient)


def _worst(nominal: Solved, measure: _Measure, words: str) -> Size:
    """Set every dimension to its worse limit, one way and the other."""
    system = nominal.system
    givens, x = system.givens, nominal.x
    fixing = fixing_of(system, nominal.blocks, system.nominals(), x)
    shares, fixed = hangs_on(fixing, measure.gradient(x))
    if not fixed:
        raise InputError(f"the dimensions do not fix {words}; give those that are missing first")
    found: list[float] = []
    for way in (-1.0, 1.0):
        values = system.nominals()
        for given, share in shares.items():
            size = givens[given].size
            values[given] = size.upper if share * way > 0 else size.lower
        there = quantities_at(nominal, values)
        if there is not None:
            found.append(measure.value(there))
        else:
            # The limits themselves do not make an outline: as far as the linear part goes.
            change = sum(
                share * (values[given] - givens[given].size.nominal)
                for given, share in shares.items()
            )
            found.append(measure.value(x) + change)
    aims = quantities_at(nominal, system.aims())
    names = ", ".join(dimension_words(givens[given]) for given in sorted(shares))
    value = measure.value(x)
    return Size(
        nominal=value,
        lower=min(found),
        upper=max(found),
        aim=measure.value(aims) if aims is not None else value,
        source=f"worst case of {names}" if names else "exact",
    )
