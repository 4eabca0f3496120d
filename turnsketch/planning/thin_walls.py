"""Walls between outside and bore so thin that heavy cuts on one side spring the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedPart, SectionInfo

__all__ = ["THIN_SHARE", "ThinWall", "bored_before_finish", "thinnest_wall"]

THIN_SHARE = 0.1
"""A wall thinner than this share of the diameter springs (common practice)."""

_LEAST_MM = 4.0
"""A shorter place is held by what stands on both its sides."""


@dataclass(frozen=True, slots=True)
class ThinWall:
    """The thinnest wall along a bore. Part frame, millimetres."""

    wall: float
    diameter: float
    low: float
    high: float
    section: int
    """Number of the section outside."""

    @property
    def share(self) -> float:
        """Wall over diameter."""
        return self.wall / self.diameter


def thinnest_wall(part: ResolvedPart) -> ThinWall | None:
    """Return the thinnest wall along the front bore, by the print; None where none is thin."""
    bore = part.bore
    if bore is None:
        return None
    found = [
        wall
        for outside in part.sections
        for inside in bore.sections
        if (wall := _between(outside, inside)) is not None and wall.share < THIN_SHARE - 1e-9
    ]
    return min(found, key=lambda wall: wall.share, default=None)


def _between(outside: SectionInfo, inside: SectionInfo) -> ThinWall | None:
    """Return the wall where a section and a bore's section lie beside each other."""
    spans = [sorted((s.front.z, s.back.z)) for s in (outside, inside)]
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high - low < _LEAST_MM:
        return None
    outer, inner = min(outside.front.r, outside.back.r), max(inside.front.r, inside.back.r)
    if outer <= inner:
        return None
    return ThinWall(outer - inner, 2 * outer, low, high, outside.number)


def bored_before_finish(operations: Sequence[Operation]) -> list[Operation]:
    """Return operations with the heavy boring before the last cuts outside."""
    boring = [o for o in operations if o.kind == "bore"]
    first = next((i for i, o in enumerate(operations) if o.kind == "finish"), None)
    if first is None:
        return list(operations)
    late = [o for o in boring if o in operations[first:]]
    head = [o for o in operations[:first] if o not in late]
    return [*head, *late, *(o for o in operations[first:] if o not in late)]
