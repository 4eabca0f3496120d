"""Damped Newton on a coupled block, with ranks by singular values.

Columns are millimetres: a bulge counts with the chord of its arc. Where there are fewer equations
than unknowns, or more, each step is the shortest that meets them best, so an open block stays near
its pencil and a closed one converges as Newton does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from turnsketch.part.equations import Equation
from turnsketch.part.system import System

__all__ = [
    "RANK",
    "Columns",
    "Converged",
    "independent",
    "linearise",
    "newton",
    "null_space",
    "rank_of",
]

Matrix = npt.NDArray[np.float64]

RANK: Final = 1e-7
"""Singular values below this share of the largest are zero."""

_NOTHING: Final = 1e-10
"""Everything counts in millimetres: a singular value below this is zero whatever the others."""

_STEPS: Final = 40
_SLOW_STEPS: Final = 6
"""Steps that gain less than a fifth: after so many there is no solution near."""

_ROUNDING: Final = 4e-15
"""Relative to the block's size: residuals below are rounding."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Unknowns of a block: which variable is which column, and how they move quantities."""

    of_quantity: dict[int, int]
    """Column of every quantity that a variable of the block moves."""
    unit: dict[int, float]
    """For bulges: how much one millimetre of the column changes it."""
    count: int

    @classmethod
    def of(cls, system: System, variables: Sequence[int], x: Sequence[float]) -> Columns:
        """Number the columns; bulges are scaled by the chord at `x`."""
        column = {variable: i for i, variable in enumerate(variables)}
        of_quantity = {
            q: column[v] for q, v in enumerate(system.variable) if v is not None and v in column
        }
        unit: dict[int, float] = {}
        for section, q in system.levels.bulge.items():
            if q in of_quantity:
                e = system.levels.ends(section)
                chord = math.hypot(x[e.zq] - x[e.zp], x[e.rq] - x[e.rp])
                unit[q] = 1.0 / max(chord, 1e-3)
        return cls(of_quantity, unit, len(variables))

    def moved(self, x: Sequence[float], step: npt.NDArray[np.float64], share: float) -> list[float]:
        """Return the quantities after a share of a step."""
        y = list(x)
        for q, column in self.of_quantity.items():
            y[q] += share * float(step[column]) * self.unit.get(q, 1.0)
        return y


@dataclass(frozen=True, slots=True)
class Converged:
    """Where Newton ended: the quantities, the worst residual (mm) and the Jacobian there."""

    x: list[float]
    residuals: Matrix
    jacobian: Matrix

    @property
    def worst(self) -> float:
        """Largest residual, 0 without equations."""
        return float(np.abs(self.residuals).max()) if self.residuals.size else 0.0


def linearise(
    system: System,
    equations: Sequence[Equation],
    values: Sequence[float],
    x: Sequence[float],
    columns: Columns,
) -> tuple[Matrix, Matrix]:
    """Return residuals and Jacobian of the equations at `x`."""
    residuals = np.zeros(len(equations))
    jacobian = np.zeros((len(equations), columns.count))
    for row, equation in enumerate(equations):
        residuals[row], partials = equation.at(x, system.value(equation, values))
        for q, slope in partials:
            column = columns.of_quantity.get(q)
            if column is not None:
                jacobian[row, column] += slope * columns.unit.get(q, 1.0)
    return residuals, jacobian


def newton(
    system: System,
    equations: Sequence[Equation],
    values: Sequence[float],
    x: Sequence[float],
    columns: Columns,
) -> Converged:
    """Solve the equations from `x` for the quantities that `columns` moves."""
    here = list(x)
    size = max([1.0, *(abs(here[q]) for q in columns.of_quantity)])
    residuals, jacobian = linearise(system, equations, values, here, columns)
    slow = 0
    for _ in range(_STEPS):
        norm = float(np.linalg.norm(residuals))
        if norm <= _ROUNDING * size or not columns.count:
            break
        step = np.asarray(np.linalg.lstsq(jacobian, -residuals, rcond=RANK * 1e-3)[0], np.float64)
        bound = share = _bounded(system, here, step, columns, size)
        while True:
            trial = columns.moved(here, step, share)
            new_residuals, new_jacobian = linearise(system, equations, values, trial, columns)
            new_norm = float(np.linalg.norm(new_residuals))
            if new_norm < norm or share < 1e-4:
                break
            share *= 0.5
        if not new_norm < norm:
            break
        slow += new_norm > 0.8 * norm and (share < bound or bound == 1.0)
        here, residuals, jacobian = trial, new_residuals, new_jacobian
        if slow > _SLOW_STEPS:
            break
    return Converged(here, residuals, jacobian)


def _bounded(
    system: System, x: Sequence[float], step: Matrix, columns: Columns, size: float
) -> float:
    """Return the share of a step that leaves every arc its sense and no level flung away."""
    share = 1.0
    longest = float(np.abs(step).max(initial=0.0))
    if longest > 10.0 * size:
        share = 10.0 * size / longest
    for q in columns.unit:
        change = float(step[columns.of_quantity[q]]) * columns.unit[q] * share
        if change * x[q] < 0 and abs(change) > 0.8 * abs(x[q]):
            share *= 0.8 * abs(x[q]) / abs(change)
        elif abs(change) > 2.0 * (abs(x[q]) + 0.2):
            share *= 2.0 * (abs(x[q]) + 0.2) / abs(change)
    return share


def rank_of(matrix: Matrix) -> int:
    """Return the rank by singular values, threshold `RANK` relative."""
    if not matrix.size:
        return 0
    singular = np.linalg.svd(matrix, compute_uv=False)
    return int((singular > max(RANK * singular[0], _NOTHING)).sum())


def null_space(matrix: Matrix) -> Matrix:
    """Return orthonormal directions (columns) that leave all equations met."""
    count = matrix.shape[1]
    if not matrix.size:
        return np.eye(count)
    _, singular, right = np.linalg.svd(matrix)
    rank = int((singular > max(RANK * singular[0], _NOTHING)).sum())
    return np.asarray(right[rank:].T)


def independent(matrix: Matrix) -> list[int]:
    """Return the rows that add to those before them, by modified Gram-Schmidt."""
    basis: list[Matrix] = []
    kept: list[int] = []
    largest = float(np.linalg.norm(matrix, axis=1).max(initial=0.0))
    for number, row in enumerate(matrix):
        rest = row.copy()
        for _ in range(2):
            for direction in basis:
                rest = rest - float(rest @ direction) * direction
        length = float(np.linalg.norm(rest))
        if length > max(RANK * largest, _NOTHING):
            basis.append(rest / length)
            kept.append(number)
    return kept
