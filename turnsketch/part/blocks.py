"""Coupled blocks: tapers, arcs and tangencies that must be solved together.

A block is tried from every start of `turnsketch.part.starts`. Where more equations stand than the
block needs, the first independent ones in their order of preference fix it, and the others repeat
them or contradict them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from turnsketch.part.equations import Equation
from turnsketch.part.faults import faults_of
from turnsketch.part.newton import (
    Columns,
    Matrix,
    independent,
    linearise,
    newton,
    null_space,
    rank_of,
)
from turnsketch.part.sketch_records import PRINT_ROUNDING_MM
from turnsketch.part.splitting import Block
from turnsketch.part.starts import drawn_quantities, starts
from turnsketch.part.system import System

__all__ = [
    "MET_MM",
    "PRINT_ROUNDING_MM",
    "Block",
    "SolvedBlock",
    "residual_of",
    "solve_block",
]

MET_MM: Final = 1e-10
"""An equation with a smaller residual is met."""

_SAME_MM: Final = 1e-6
"""Two solutions closer than this are one."""

_ASIDE_MM: Final = 0.02

_GRID_TRIES: Final = 6
"""Further starts from the grid after a solution without fault."""


@dataclass(frozen=True, slots=True)
class SolvedBlock:
    """One block at its solution, or as near as it comes."""

    block: Block
    x: list[float]
    """All quantities; those of this block are worked out."""
    columns: Columns
    kept: tuple[Equation, ...]
    """Independent ones, which fix it."""
    dropped: tuple[Equation, ...]
    """The others, which repeat or contradict."""
    free: Matrix
    """Orthonormal columns: ways in which the block may still move."""
    missed: float
    """Worst residual of the kept ones, 0 when they are met; mm."""
    rivals: tuple[int, ...] = ()
    """Sections (arcs) that could also lie another way."""

    @property
    def met(self) -> bool:
        """Whether the kept equations hold."""
        return self.missed <= MET_MM


def residual_of(
    system: System, equation: Equation, values: Sequence[float], x: Sequence[float]
) -> float:
    """Return how far an equation is from being met, in mm."""
    return equation.at(x, system.value(equation, values))[0]


def solve_block(
    system: System, block: Block, x: Sequence[float], values: Sequence[float]
) -> SolvedBlock:
    """Solve one block from the pencil `x`.

    Of several ways that meet the dimensions, the one without fault and nearest to the drawn lines
    is taken; where nothing is drawn, the one of shorter arcs, or of longer ones where the print
    says that they go the long way.
    """
    sections = _sections_of(system, block)
    ranked: list[tuple[tuple[float, ...], int, SolvedBlock]] = []
    tries = 0
    for number, (start, exact) in enumerate(
        starts(system, block.variables, block.equations, x, values)
    ):
        attempt = _attempt(system, block, start, values)
        rank = _rank(system, attempt, sections)
        ranked.append((rank, number, attempt))
        good = rank[:3] == (0.0, 0.0, 0.0)
        if good and (attempt.free.size or not _arcs(system, block)):
            break
        tries += not exact and min(ranked)[0][:3] == (0.0, 0.0, 0.0)
        if tries > _GRID_TRIES:
            break
    best = min(ranked, key=lambda entry: entry[:2])
    return _with_rivals(system, best, ranked, sections)


def _arcs(system: System, block: Block) -> list[int]:
    chosen = set(block.variables)
    return [i for i, q in system.levels.bulge.items() if system.variable[q] in chosen]


def _attempt(
    system: System, block: Block, start: Sequence[float], values: Sequence[float]
) -> SolvedBlock:
    columns = Columns.of(system, block.variables, start)
    found = newton(system, block.equations, values, start, columns)
    kept, dropped = block.equations, tuple[Equation, ...]()
    jacobian = found.jacobian
    if found.worst > MET_MM:
        # Where no outline reaches the dimensions, Newton ends at a turning point: the rank there
        # says nothing. A little beside it the rank is that of dimensions that are truly too many.
        aside = columns.moved(found.x, _ASIDE_MM * np.sin(1.0 + np.arange(columns.count)), 1.0)
        jacobian = linearise(system, block.equations, values, aside, columns)[1]
    if rank_of(jacobian) < len(block.equations):
        order = independent(jacobian)
        kept = tuple(block.equations[i] for i in order)
        dropped = tuple(eq for i, eq in enumerate(block.equations) if i not in order)
        if found.worst > MET_MM:
            found = newton(system, kept, values, found.x, columns)
        else:
            found = replace(found, residuals=found.residuals[order], jacobian=found.jacobian[order])
    free = null_space(found.jacobian) if len(kept) < columns.count else np.zeros((columns.count, 0))
    return SolvedBlock(block, found.x, columns, kept, dropped, free, found.worst)


def _sections_of(system: System, block: Block) -> list[int]:
    """Return the sections about this block that it, its anchor and what is known determine."""
    own = set(block.variables)
    chosen = own | {block.anchor}
    near = {eq.section + side for eq in block.equations for side in (-1, 0, 1)}
    found = []
    for i in sorted(near & set(range(len(system.sketch.sections)))):
        e = system.levels.ends(i)
        quantities = [q for q in (e.zp, e.rp, e.zq, e.rq, e.bulge) if q is not None]
        moved = [system.variable[q] for q in quantities if not system.known(q)]
        if own.intersection(moved) and all(variable in chosen for variable in moved):
            found.append(i)
    return found


def _rank(system: System, attempt: SolvedBlock, sections: Sequence[int]) -> tuple[float, ...]:
    """Return what makes an attempt worse than another, the gravest first."""
    values = system.nominals()
    contradicted = sum(
        abs(residual_of(system, eq, values, attempt.x)) > PRINT_ROUNDING_MM
        for eq in attempt.dropped
    )
    faults = len(faults_of(system.sketch, system.levels, attempt.x, sections))
    missed = 0.0 if attempt.met else round(attempt.missed, 6)
    grave = (float(not attempt.met), float(contradicted), float(faults))
    return (*grave, missed, _away(system, attempt, sections))


def _away(system: System, attempt: SolvedBlock, sections: Sequence[int]) -> float:
    """Return the distance from the drawn lines, or the sweeps where the print shows none."""
    hints = drawn_quantities(system.sketch, system.levels)
    total, drawn = 0.0, False
    for i in sections:
        e = system.levels.ends(i)
        for q in (e.zq, e.rq):
            if q in hints:
                total += (attempt.x[q] - hints[q]) ** 2
        if e.bulge is not None and e.bulge in hints:
            drawn = True
            chord = 1.0 / attempt.columns.unit.get(e.bulge, 1.0)
            total += (chord * (attempt.x[e.bulge] - hints[e.bulge])) ** 2
    if drawn:
        return total
    sweeps = 0.0
    for i in sections:
        bulge = system.levels.bulge.get(i)
        if bulge is not None:
            sweep = 4.0 * math.atan(abs(attempt.x[bulge]))
            sweeps += -sweep if system.sketch.sections[i].long_way else sweep
    return sweeps


def _with_rivals(
    system: System,
    best: tuple[tuple[float, ...], int, SolvedBlock],
    ranked: Iterable[tuple[tuple[float, ...], int, SolvedBlock]],
    sections: Sequence[int],
) -> SolvedBlock:
    """Note which arcs could as well lie another way, where neither pencil nor word decides."""
    rank, _, chosen = best
    if rank[:3] != (0.0, 0.0, 0.0) or chosen.free.size:
        return chosen
    rivals: set[int] = set()
    for other_rank, _, other in ranked:
        if other_rank[:3] == rank[:3]:
            rivals |= {i for i in sections if _rival(system, i, chosen.x, other.x)}
    return replace(chosen, rivals=tuple(sorted(rivals)))


def _rival(system: System, i: int, x: Sequence[float], y: Sequence[float]) -> bool:
    bulge, section = system.levels.bulge.get(i), system.sketch.sections[i]
    if bulge is None or section.long_way or (section.drawn and section.drawn.bulge):
        return False
    if (abs(x[bulge]) > 1.0) != (abs(y[bulge]) > 1.0):
        return False
    e = system.levels.ends(i)
    apart = max(abs(x[q] - y[q]) for q in (e.zp, e.rp, e.zq, e.rq))
    return apart > _SAME_MM or abs(x[bulge] - y[bulge]) > _SAME_MM
