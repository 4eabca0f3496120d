"""Coupled blocks, as small as they can be.

First come the ends of tapers that nothing but their own slope moves. The other equations hang
together by the radii and bulges that they share. Along the axis only distances count: a block
stands on one of its chains, its anchor, wherever that lies, and blocks that meet in one chain of
lengths alone are solved one after the other, from the front face on. Blocks that close a ring of
chains are one.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from turnsketch.part.equations import Equation, TaperSlope
from turnsketch.part.system import System

__all__ = ["Block", "blocks_of"]

_FRONT: Final = -1
"""Stands for the chain of the front face among the variables."""

_Moved = list[tuple[Equation, frozenset[int]]]


@dataclass(frozen=True, slots=True)
class Block:
    """Variables that equations tie together, and those equations."""

    variables: tuple[int, ...]
    equations: tuple[Equation, ...]
    anchor: int | None = None
    """The chain of lengths that it stands on, when that is not the front face's own."""


def blocks_of(system: System) -> tuple[list[Block], list[Equation]]:
    """Return the blocks in the order of solving, and equations with nothing left to move."""
    anywhere = [10.0 + 9.0 * math.sin(12.9898 * q) for q in range(system.levels.places)]
    anywhere += [0.4] * len(system.levels.bulge)
    moved = [(eq, _moved_by(system, eq, anywhere)) for eq in system.equations]
    along = {v for q, v in enumerate(system.variable) if v is not None and q < system.levels.axis}
    peeled, moved = _peeled(moved, along)
    settled = [eq for eq, variables in moved if not variables - {_FRONT}]
    moved = [(eq, variables) for eq, variables in moved if variables - {_FRONT}]
    tied = {variable for block in peeled for variable in block.variables}
    tied = tied.union(*(variables for _, variables in moved))
    loose = [_Group([], {v}) for v in range(system.variables) if v not in tied]
    return peeled + _anchored(_ringless(_groups(moved, along), along) + loose, along), settled


def _moved_by(system: System, equation: Equation, x: Sequence[float]) -> frozenset[int]:
    """Return the variables that move an equation: not a chain on which both its ends hang."""
    totals: dict[int, float] = {}
    for q, slope in equation.at(x, 1.0)[1]:
        variable = system.variable[q]
        if variable is None and q < system.levels.axis:
            variable = _FRONT
        if variable is not None:
            totals[variable] = totals.get(variable, 0.0) + slope
    return frozenset(variable for variable, total in totals.items() if abs(total) > 1e-12)


def _peeled(moved: _Moved, along: set[int]) -> tuple[list[Block], _Moved]:
    """Take out the tapers that give one radius, until there is none; return the rest."""
    blocks: list[Block] = []
    while True:
        found = next((entry for entry in moved if _gives_radius(*entry, along)), None)
        if found is None:
            return blocks, moved
        blocks.append(Block(tuple(found[1]), (found[0],)))
        moved = [(eq, left - found[1]) for eq, left in moved if eq is not found[0]]


def _gives_radius(equation: Equation, variables: frozenset[int], along: set[int]) -> bool:
    chains = along | {_FRONT}
    return isinstance(equation, TaperSlope) and len(variables) == 1 and not variables & chains


@dataclass(slots=True)
class _Group:
    """Equations on their way into a block, and what moves them, the front's chain included."""

    equations: list[Equation]
    variables: set[int]


def _groups(moved: _Moved, along: set[int]) -> list[_Group]:
    """Return the equations by the radii and bulges that they share."""
    parent: dict[int, int] = {}

    def find(key: int) -> int:
        parent.setdefault(key, key)
        while parent[key] != key:
            key = parent[key]
        return key

    keys: list[int] = []
    for number, (_, variables) in enumerate(moved):
        inner = sorted(variables - along - {_FRONT})
        keys.append(inner[0] if inner else _FRONT - 1 - number)
        for other in inner:
            parent[find(other)] = find(inner[0])
    found: dict[int, _Group] = {}
    for (equation, variables), key in zip(moved, keys, strict=True):
        group = found.setdefault(find(key), _Group([], set()))
        group.equations.append(equation)
        group.variables |= variables
    return list(found.values())


def _ringless(groups: list[_Group], along: set[int]) -> list[_Group]:
    """Merge the groups that close rings of chains with one another."""
    chains = along | {_FRONT}
    left = {number: group.variables & chains for number, group in enumerate(groups)}
    while True:
        uses: dict[int, int] = {}
        for chain in itertools.chain.from_iterable(left.values()):
            uses[chain] = uses.get(chain, 0) + 1
        thinned = {
            number: kept
            for number, found in left.items()
            if len(kept := {chain for chain in found if uses[chain] > 1}) > 1
        }
        if thinned == left:
            break
        left = thinned
    merged = [group for number, group in enumerate(groups) if number not in left]
    rings: list[tuple[set[int], _Group]] = []
    for number, reach in left.items():
        group = groups[number]
        touching = [ring for ring in rings if ring[0] & reach]
        rings = [ring for ring in rings if not ring[0] & reach]
        equations = [eq for _, other in touching for eq in other.equations] + group.equations
        variables = group.variables.union(*(other.variables for _, other in touching))
        rings.append((reach.union(*(r for r, _ in touching)), _Group(equations, variables)))
    return merged + [group for _, group in rings]


def _anchored(groups: Sequence[_Group], along: set[int]) -> list[Block]:
    """Order the groups from the front face on; each stands on the chain it is reached by."""
    waiting = list(groups)
    blocks: list[Block] = []
    reached = {_FRONT}
    while waiting:
        chains = along | {_FRONT}
        group = next((group for group in waiting if group.variables & chains & reached), None)
        anchor = None
        if group is None:
            group = waiting[0]
            hung = sorted(group.variables & along)
            if hung and group.equations:
                # Nothing ties it to the front: its first chain floats, the rest stands on that.
                anchor = hung[0]
                blocks.append(Block((anchor,), ()))
        elif _FRONT not in group.variables:
            anchor = min(group.variables & along & reached)
        waiting = [other for other in waiting if other is not group]
        variables = tuple(sorted(group.variables - {anchor, _FRONT}))
        blocks.append(Block(variables, tuple(group.equations), anchor))
        reached |= group.variables & along
    return blocks
