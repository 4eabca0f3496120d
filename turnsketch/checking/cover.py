"""What each piece of a tool covers in each move of a pass, folded into the half section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.as_read import Motion
from turnsketch.checking.sweep import Coordinates, Shapes, convex_parts, swept_arc, swept_lines
from turnsketch.errors import InputError
from turnsketch.plan_records import ToolRecord

__all__ = ["Cover", "ToolPart", "cover", "tool_parts"]


@dataclass(frozen=True, slots=True)
class ToolPart:
    """A convex part of a tool's piece, true size, counterclockwise around the reference."""

    name: str
    cuts: bool
    ring: Coordinates


@dataclass(frozen=True, slots=True)
class Cover:
    """Polygons with the move (from 0), the piece and its kind that each belongs to.

    Polygons that reach below the axis stand in it a second time, mirrored: the work turns, so a
    tool at -r meets the same metal as at +r.
    """

    shapes: Shapes
    move: NDArray[np.int64]
    cuts: NDArray[np.bool_]
    name: NDArray[np.object_]

    def only(self, moves: Sequence[int], cuts: bool | None = None) -> Cover:
        """Return the share of some moves, and of the cutting or the other pieces alone."""
        wanted = np.zeros(int(self.move.max(initial=-1)) + 1, dtype=bool)
        wanted[[move for move in moves if move < len(wanted)]] = True
        chosen = wanted[self.move]
        if cuts is not None:
            chosen &= self.cuts == cuts
        return Cover(self.shapes[chosen], self.move[chosen], self.cuts[chosen], self.name[chosen])

    def union(self) -> BaseGeometry:
        """Return all of it as one region, below the axis too."""
        if len(self.shapes) == 1:
            return self.shapes[0]
        return shapely.union_all(self.shapes)


def tool_parts(tool: ToolRecord) -> tuple[ToolPart, ...]:
    """Return the convex parts of a tool.

    Raises
    ------
    InputError
        When a piece has no area.
    """
    found: list[ToolPart] = []
    for piece in tool.pieces:
        parts = convex_parts(piece.ring) if len(piece.ring) > 2 else ()
        if not parts:
            raise InputError(
                f"the piece {piece.name!r} has no area; give its outline", f"tool {tool.number}"
            )
        found.extend(ToolPart(piece.name, piece.cuts, ring) for ring in parts)
    return tuple(found)


def cover(moves: Sequence[Motion], parts: Sequence[ToolPart]) -> Cover:
    """Return what the parts cover in the moves."""
    shapes: list[Shapes] = []
    owners: list[NDArray[np.int64]] = []
    for number, part in enumerate(parts):
        for covered, move in _swept(moves, part.ring):
            shapes.append(covered)
            owners.append(np.column_stack([move, np.full(len(move), number)]))
    if not shapes:
        nothing = np.zeros(0, dtype=np.int64)
        return Cover(nothing.astype(object), nothing, nothing.astype(bool), nothing.astype(object))
    every, owner = _folded(np.concatenate(shapes), np.concatenate(owners))
    cuts = np.array([part.cuts for part in parts])[owner[:, 1]]
    names = np.array([part.name for part in parts], dtype=object)[owner[:, 1]]
    return Cover(every, owner[:, 0], cuts, names)


def _swept(moves: Sequence[Motion], ring: Coordinates) -> list[tuple[Shapes, NDArray[np.int64]]]:
    straight = [index for index, move in enumerate(moves) if move.straight]
    found: list[tuple[Shapes, NDArray[np.int64]]] = []
    if straight:
        ends = np.array([moves[index].points for index in straight])
        found.append((swept_lines(ends[:, 0], ends[:, 1], ring), np.array(straight)))
    for index, move in enumerate(moves):
        if not move.straight:
            covered = swept_arc(move.points, ring)
            found.append((covered, np.full(len(covered), index)))
    return found


def _folded(shapes: Shapes, owner: NDArray[np.int64]) -> tuple[Shapes, NDArray[np.int64]]:
    below = shapely.bounds(shapes)[:, 1] < 0
    if not below.any():
        return shapes, owner
    mirror = shapely.transform(shapes[below], lambda points: points * (1.0, -1.0))
    return np.concatenate([shapes, mirror]), np.concatenate([owner, owner[below]])
