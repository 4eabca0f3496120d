"""From a row of the finishing path to passes, by the means that the lathe has for it."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.plan_records import TaperSetting
from turnsketch.planning.context import State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.means import Means, arc_means, taper_way
from turnsketch.planning.row_levels import turned
from turnsketch.planning.row_slants import slanted
from turnsketch.planning.row_steps import stepped_row
from turnsketch.planning.row_work import RowWork
from turnsketch.planning.rows import Row, half_angle

__all__ = ["RowMaker"]


@dataclass(frozen=True)
class RowMaker:
    """Turns rows into passes for one tool."""

    work: RowWork

    def sets_over(self, row: Row) -> bool:
        """Return whether the tailstock is set over for a row."""
        return _means(self.work, row)[0] == "set-over"

    def passes(self, row: Row, state: State) -> tuple[list[DraftPass], State]:
        """Return the passes for one row (none when it would cut nothing) and what remains."""
        means, taper = _means(self.work, row)
        if means == "steps":
            return stepped_row(self.work, row, state)
        if row.direction in ("taper", "arc"):
            return slanted(self.work, row, state, means, taper)
        return turned(self.work, row, state, means)


def _means(work: RowWork, row: Row) -> tuple[Means, TaperSetting | None]:
    """Return how the row is moved, and the setting for a taper."""
    if row.direction == "arc":
        return arc_means(work.ctx.lathe, work.operation), None
    angle = half_angle(row)
    if angle is None:
        return "wheels", None
    element = row.elements[0]
    length = abs(element.end.z - element.start.z) + work.ctx.shop.clearances.approach
    between = work.ctx.between_centres_mm
    return taper_way(work.ctx.lathe, angle, length, work.operation, between)
