"""All that fixes a part in one matrix: which dimensions a size hangs on, and how strongly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from turnsketch.part.blocks import SolvedBlock
from turnsketch.part.equations import Equation
from turnsketch.part.newton import Matrix
from turnsketch.part.system import System

__all__ = ["Fixing", "fixing_of", "hangs_on", "row_of"]

_NOTHING = 1e-7
"""A share smaller than this is none."""


@dataclass(frozen=True, slots=True)
class Fixing:
    """Rows are the links and equations that fix; columns are the quantities.

    Each row reads ``matrix · dx + slope · d(value of given) = 0``.
    """

    matrix: Matrix
    given: tuple[int | None, ...]
    slope: tuple[float, ...]


def row_of(
    system: System, equation: Equation, values: Sequence[float], x: Sequence[float]
) -> Matrix:
    """Return the derivatives of an equation as a row over all quantities."""
    row = np.zeros(system.levels.count)
    for q, slope in equation.at(x, system.value(equation, values))[1]:
        row[q] += slope
    return row


def fixing_of(
    system: System, solved: Sequence[SolvedBlock], values: Sequence[float], x: Sequence[float]
) -> Fixing:
    """Return what fixes the part, linear about `x`.

    Zero and axis stand still, by a row each.
    """
    rows: list[Matrix] = []
    given: list[int | None] = []
    slope: list[float] = []
    for still in (0, system.levels.axis):
        rows.append(np.eye(system.levels.count)[still])
        given.append(None)
        slope.append(0.0)
    for number in system.chains.tree:
        link = system.links[number]
        row = np.zeros(system.levels.count)
        row[link.start], row[link.end] = 1.0, -1.0
        rows.append(row)
        given.append(link.dimension)
        slope.append(-0.5 if system.givens[link.dimension].quantity == "diameter" else -1.0)
    for block in solved:
        for equation in block.kept:
            rows.append(row_of(system, equation, values, x))
            given.append(equation.given)
            slope.append(equation.slope(x, system.value(equation, values)))
    return Fixing(np.array(rows), tuple(given), tuple(slope))


def hangs_on(fixing: Fixing, gradient: Matrix) -> tuple[dict[int, float], bool]:
    """Return how a size changes with each dimension, and whether they fix it at all.

    Parameters
    ----------
    fixing : Fixing
        What fixes the part.
    gradient : array
        Derivatives of the size with respect to the quantities.
    """
    shares = np.linalg.lstsq(fixing.matrix.T, gradient, rcond=None)[0]
    left = float(np.abs(fixing.matrix.T @ shares - gradient).max(initial=0.0))
    found: dict[int, float] = {}
    for share, given, slope in zip(shares, fixing.given, fixing.slope, strict=True):
        if given is not None and abs(share) > _NOTHING:
            found[given] = found.get(given, 0.0) - float(share) * slope
    return found, left <= 1e-6 * float(np.abs(gradient).max(initial=1.0))
