"""Ink and pencil: which sections the dimensions fix, and in which way the others may move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from turnsketch.part.blocks import SolvedBlock, residual_of
from turnsketch.part.equations import Equation
from turnsketch.part.newton import Matrix
from turnsketch.part.sketch_records import PRINT_ROUNDING_MM
from turnsketch.part.system import System

__all__ = ["Freedom", "contradicts", "freedom_of"]

_STILL: Final = 1e-6
"""A quantity that moves less than this along every free direction stands still."""


@dataclass(frozen=True, slots=True)
class Freedom:
    """For every section of the sketch."""

    fixed: tuple[bool, ...]
    """No dimension is missing and none contradicts another."""
    words: tuple[str, ...]
    """The ways in which it may move, joined by commas."""
    loose: tuple[tuple[str, ...], ...]
    """The same ways one by one, without those that a neighbour is asked for: "length",
    "diameter", "front diameter", "back diameter", "radius"."""
    doubtful: tuple[bool, ...]
    """A contradiction runs through it."""


def contradicts(
    system: System, equation: Equation, values: Sequence[float], x: Sequence[float]
) -> bool:
    """Whether a dropped equation is off by more than prints round to."""
    return abs(residual_of(system, equation, values, x)) > PRINT_ROUNDING_MM


def freedom_of(
    system: System,
    blocks: Sequence[SolvedBlock],
    settled: Sequence[Equation],
    x: Sequence[float],
) -> Freedom:
    """Return which sections are fixed and how the others may move."""
    ways = _Ways(system, blocks)
    doubtful = _doubtful(system, blocks, settled, x)
    claimed: set[int] = set()
    count = len(system.sketch.sections)
    loose: list[tuple[str, ...]] = [()] * count
    for cylinders in (True, False):
        for i in range(count):
            if (system.sketch.sections[i].kind == "cylinder") == cylinders:
                loose[i] = ways.loose(i, claimed)
    words = [ways.words(i) for i in range(count)]
    fixed = [not word and not doubt for word, doubt in zip(words, doubtful, strict=True)]
    return Freedom(tuple(fixed), tuple(words), tuple(loose), tuple(doubtful))


class _Ways:
    """How every quantity moves along the free directions of all blocks."""

    def __init__(self, system: System, blocks: Sequence[SolvedBlock]) -> None:
        self.system = system
        self.count = sum(block.free.shape[1] for block in blocks)
        self.rows: dict[int, Matrix] = {}
        self._of_variable: dict[int, Matrix] = {}
        first = 0
        for block in blocks:
            self._add(block, first)
            first += block.free.shape[1]

    def _add(self, block: SolvedBlock, first: int) -> None:
        """Put in the rows of a block; along the axis they move with its anchor."""
        standing = block.block.anchor
        anchor = None if standing is None else self._of_variable[standing]
        for q, column in block.columns.of_quantity.items():
            row = np.zeros(self.count)
            row[first : first + block.free.shape[1]] = block.free[column]
            if anchor is not None and q < self.system.levels.axis:
                row += anchor
            self.rows[q] = row
            variable = self.system.variable[q]
            assert variable is not None
            self._of_variable[variable] = row

    def moves(self, q: int) -> bool:
        """Whether a quantity may move."""
        return q in self.rows and bool(np.abs(self.rows[q]).max(initial=0.0) > _STILL)

    def apart(self, a: int, b: int) -> bool:
        """Whether the distance of two quantities may change."""
        still = np.zeros(self.count)
        apart = self.rows.get(a, still) - self.rows.get(b, still)
        return bool(np.abs(apart).max(initial=0.0) > _STILL)

    def loose(self, i: int, claimed: set[int]) -> tuple[str, ...]:
        """Return what section `i` is to be asked for; levels are asked for once."""
        section, e = self.system.sketch.sections[i], self.system.levels.ends(i)
        if section.kind == "face":
            return ()
        found = ["length"] if self.apart(e.zp, e.zq) else []
        ends = [(e.rp, "front diameter"), (e.rq, "back diameter")]
        if section.kind == "cylinder":
            ends = [(e.rp, "diameter")]
        for q, word in ends:
            if self.moves(q) and q not in claimed:
                claimed.add(q)
                found.append(word)
        if e.bulge is not None and self.moves(e.bulge):
            found.append("radius")
        return tuple(found)

    def words(self, i: int) -> str:
        """Return the ways in which section `i` may move."""
        found = [f"in {word}" for word in self.loose(i, set())]
        if "in length" not in found and self.moves(self.system.levels.z[i]):
            found.append("in place")
        return ", ".join(found)


def _doubtful(
    system: System,
    blocks: Sequence[SolvedBlock],
    settled: Sequence[Equation],
    x: Sequence[float],
) -> list[bool]:
    values = system.nominals()
    levels: set[int] = set()
    for closure in system.chains.closures:
        if closure.gap:
            for number in (closure.link, *(member.link for member in closure.path)):
                levels |= {system.links[number].start, system.links[number].end}
    levels -= {0, system.levels.axis}
    sections: set[int] = set()
    for equation in settled:
        if contradicts(system, equation, values, x):
            sections.add(equation.section)
    for block in blocks:
        if not block.met:
            sections |= {equation.section for equation in block.kept}
        for equation in block.dropped:
            if contradicts(system, equation, values, x):
                sections.add(equation.section)
    found = []
    for i, section in enumerate(system.sketch.sections):
        e = system.levels.ends(i)
        own = {e.zp} if section.kind == "face" else {e.zp, e.rp, e.zq, e.rq}
        found.append(i in sections or bool(own & levels))
    return found
