"""From the sketch to solved vertices: lengths and diameters exactly, then the coupled blocks.

Redundancy is judged on the nominal values. The aimed shape then takes the aims of those dimensions
that fix; those that only repeat others are passed over.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point, Turn
from turnsketch.part.blocks import MET_MM, SolvedBlock, solve_block
from turnsketch.part.equations import Equation, centre_of
from turnsketch.part.faults import faults_of
from turnsketch.part.freedom import Freedom, freedom_of
from turnsketch.part.issues import issues_of
from turnsketch.part.levels import Levels
from turnsketch.part.newton import newton
from turnsketch.part.outline_records import PartIssue
from turnsketch.part.sketch_records import Sketch
from turnsketch.part.splitting import blocks_of
from turnsketch.part.starts import pencil
from turnsketch.part.system import System, build_system, positions

__all__ = ["Shape", "Solution", "Solved", "quantities_at", "shape_of", "solve", "solve_nominal"]


@dataclass(frozen=True, slots=True)
class Shape:
    """Solved places in the part's frame, millimetres."""

    vertices: tuple[Point, ...]
    """Section ``i`` spans vertex ``i`` to vertex ``i + 1``."""
    centres: tuple[Point | None, ...]
    """For every section that is an arc, its centre."""
    turns: tuple[Turn | None, ...]
    """For every section that is an arc, "ccw" when it is convex."""


@dataclass(frozen=True, slots=True)
class Solution:
    """What the print's dimensions make."""

    nominal: Shape
    aim: Shape
    fixed: tuple[bool, ...]
    """For every section: ink, no dimension is missing or contradicted."""
    free: tuple[str, ...]
    """For every section: in which way it may still move ("in length", "in diameter"); "" when
    in none."""
    smooth: tuple[int, ...]
    """Vertices at which the sections before and after are tangent by the solver's equations."""
    issues: tuple[PartIssue, ...]


@dataclass(frozen=True, slots=True)
class Solved:
    """The nominal solution with what fixes it."""

    system: System
    blocks: tuple[SolvedBlock, ...]
    settled: tuple[Equation, ...]
    """Equations in which nothing was left to move: they repeat or contradict the chains."""
    x: tuple[float, ...]
    """All quantities."""


def solve(sketch: Sketch, rule: str) -> Solution:
    """Solve a sketch.

    Parameters
    ----------
    sketch : Sketch
        As `turnsketch.part.sketch.expand` gives it.
    rule : str
        General tolerance for sizes that carry none: "ISO 2768-m", "decimals".

    Returns
    -------
    Solution
        Also where dimensions are missing or contradict one another: the sections concerned then
        stand in pencil and an issue says why.

    Raises
    ------
    InputError
        A section that the dimensions fix runs backwards, has no length, goes below the axis,
        lies on the wrong side, or makes a cusp; or a dimension has no limits under `rule`.
    """
    solved = solve_nominal(build_system(sketch, rule))
    system, x = solved.system, list(solved.x)
    freedom = freedom_of(system, solved.blocks, solved.settled, x)
    _refuse(sketch, system.levels, x, freedom)
    aimed = quantities_at(solved, system.aims())
    unaimed = aimed is None
    if aimed is None:
        aimed = x
    _refuse(sketch, system.levels, aimed, freedom)
    return Solution(
        nominal=shape_of(sketch, system.levels, x),
        aim=shape_of(sketch, system.levels, aimed),
        fixed=freedom.fixed,
        free=freedom.words,
        smooth=system.smooth,
        issues=issues_of(system, solved.blocks, solved.settled, x, freedom, unaimed),
    )


def solve_nominal(system: System) -> Solved:
    """Solve a system at the nominal values."""
    values = system.nominals()
    x = pencil(system, positions(system), values)
    blocks, settled = blocks_of(system)
    done: list[SolvedBlock] = []
    for block in blocks:
        solved = solve_block(system, block, x, values)
        for q in solved.columns.of_quantity:
            x[q] = solved.x[q]
        done.append(solved)
    return Solved(system, tuple(done), tuple(settled), tuple(x))


def quantities_at(solved: Solved, values: Sequence[float]) -> list[float] | None:
    """Return all quantities where the dimensions read `values`; None where they can't.

    Only the dimensions that fix are looked at; Newton sets out from the nominal solution.
    """
    system = solved.system
    nominal, moved = positions(system), positions(system, values)
    x = list(solved.x)
    for q in range(system.levels.places):
        x[q] += moved[q] - nominal[q]
    for block in solved.blocks:
        found = newton(system, block.kept, values, x, block.columns)
        if found.worst > MET_MM and block.met:
            return None
        for q in block.columns.of_quantity:
            x[q] = found.x[q]
    return x


def shape_of(sketch: Sketch, levels: Levels, x: Sequence[float]) -> Shape:
    """Return the shape that the quantities make."""
    vertices = tuple(Point(x[z] + 0.0, x[r] + 0.0) for z, r in zip(levels.z, levels.r, strict=True))
    centres: list[Point | None] = []
    turns: list[Turn | None] = []
    for i in range(len(sketch.sections)):
        bulge = levels.bulge.get(i)
        if bulge is None:
            centres.append(None)
            turns.append(None)
            continue
        centres.append(Point(*centre_of(*vertices[i], *vertices[i + 1], x[bulge])))
        turns.append("ccw" if x[bulge] > 0 else "cw")
    return Shape(vertices, tuple(centres), tuple(turns))


def _refuse(sketch: Sketch, levels: Levels, x: Sequence[float], freedom: Freedom) -> None:
    """Raise the first fault of a section that is fixed."""
    chosen = [i for i, fixed in enumerate(freedom.fixed) if fixed]
    for fault in faults_of(sketch, levels, x, chosen):
        section = sketch.sections[fault.section]
        raise InputError(f"{section.words} {fault.what}", section.path)
    if not all(math.isfinite(value) for value in x):
        raise InputError("its sizes are too far apart to be worked out; check them", "part")
