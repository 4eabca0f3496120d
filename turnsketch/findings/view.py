"""What the findings look at: the job, the shop, the plan, and both replays."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from msgspec import structs

from turnsketch.checking.records import Replay
from turnsketch.geometry.elements import Point
from turnsketch.job import Holding, Job, Operation
from turnsketch.part.outline_records import ResolvedPart, SectionInfo
from turnsketch.part.turned import turned_section
from turnsketch.plan_records import (
    Finding,
    LeftOver,
    Pass,
    Plan,
    PlannedOperation,
    SetupPlan,
    Severity,
)
from turnsketch.readings.moves import Rounder
from turnsketch.shop.records import Chuck, Lathe, Material, Shop, Tool
from turnsketch.units import INCH_MM, from_mm, surface_speed_text

__all__ = ["PlanView", "finding", "worst_first"]


@dataclass(frozen=True)
class PlanView:
    """A plan before its findings, with all that it came from."""

    job: Job
    shop: Shop
    part: ResolvedPart
    lathe: Lathe
    chuck: Chuck
    material: Material | None
    plan: Plan
    exact: Replay
    as_read: Replay
    index: int = 0
    """Of the setup that is looked at, from 0."""
    chucks: tuple[Chuck, ...] = ()
    """What holds the work in each setup; empty: `chuck` in all."""
    parts: tuple[ResolvedPart, ...] = ()
    """The part as each setup sees it (turned around or not); empty: `part` in all."""

    @property
    def setup(self) -> SetupPlan:
        """The planned setup that is looked at."""
        return self.plan.setups[self.index]

    @property
    def holding(self) -> Holding:
        """How the job holds the work in it."""
        return self.job.setups[self.index].holding

    @property
    def setup_held_inside(self) -> bool:
        """Whether jaws that open or a mandrel hold the work in its bore."""
        return self.holding.inside or self.chuck.kind == "mandrel"

    @property
    def zero(self) -> float:
        """What Z shows at the finished front face, mm: z of the part plus this is the setup's."""
        return max(point.z for ring in self.setup.part for point in ring)

    @property
    def back_z(self) -> float:
        """The part's back face in the setup's frame, millimetres."""
        return self.zero - self.part.total_length

    @property
    def end_z(self) -> float:
        """Z behind which this setup makes nothing: the part's back, or the setup's limit."""
        limit = self.setup.limit_z
        return self.back_z if limit is None else max(self.back_z, limit)

    def at(self, index: int) -> PlanView:
        """Return the same plan, looked at from another setup."""
        chuck = self.chucks[index] if self.chucks else self.chuck
        part = self.parts[index] if self.parts else self.part
        return replace(self, index=index, chuck=chuck, part=part)

    def across(self, z: float, index: int) -> float:
        """Return where a place of the part stands in another setup's part frame."""
        there = self.plan.setups[index].frame.mirrored
        return z if there == self.setup.frame.mirrored else -self.part.total_length - z

    def maker(self, z: float, *numbers: int | None) -> int:
        """Return the index of the setup that makes a place of the part.

        Parameters
        ----------
        z : float
            Of the place, in the part's frame.
        numbers : int
            Of the sections it belongs to; those whose stretch holds `z` when omitted.
        """
        asked = {n for n in numbers if n is not None} or {
            s.number for s in self.sections if _holds(s, z)
        }
        setups = list(enumerate(self.plan.setups))
        passes = [(i, p) for i, setup in setups for p in setup.passes if p.section in asked]
        finished = [i for i, p in passes if p.last_on_surface]
        if finished or passes:
            return max(finished or [i for i, _ in passes])
        zeros = [self.at(i).zero for i, _ in setups]
        within = (
            i
            for i, s in setups
            if s.limit_z is None or self.across(z, i) > s.limit_z - zeros[i] - 1e-6
        )
        return next(within, setups[-1][0])

    def makes(self, section: SectionInfo) -> bool:
        """Return whether a section is made in this setup, and not in another one."""
        middle = (section.front.z + section.back.z) / 2
        return self.maker(middle, section.number) == self.index

    @property
    def left_over(self) -> tuple[LeftOver, ...]:
        """What stays where this setup makes the surface; z in the setup's frame."""
        # The replay ends in the last setup: its frame is that of the finished part.
        end = self.at(len(self.plan.setups) - 1)
        moved = []
        for left in self.plan.finished.left_over:
            ends = sorted(end.across(z - end.zero, self.index) + self.zero for z in left.z)
            moved.append(structs.replace(left, z=(ends[0], ends[1])))
        return tuple(
            left for left in moved if self.maker(sum(left.z) / 2 - self.zero) == self.index
        )

    @property
    def on_centre(self) -> bool:
        """Whether the tailstock centre supports the front end in this setup."""
        return self.setup.centre is not None

    @property
    def last(self) -> bool:
        """Whether no setup follows."""
        return self.index == len(self.plan.setups) - 1

    @property
    def blank_diameter(self) -> float:
        """Diameter of the blank, millimetres."""
        return 2 * max(point.r for point in self.setup.blank[0])

    @property
    def rounder(self) -> Rounder:
        """Turns points into readings of the lathe's readout."""
        return Rounder.of(self.lathe.readout, self.job.units)

    def tool(self, number: int) -> Tool:
        """Return the record of a tool that the plan uses."""
        return next(tool for tool in self.shop.tools if tool.number == number)

    def passes(self, *kinds: str) -> list[Pass]:
        """Return the passes of the given operations, all when none is given."""
        return [p for p in self.setup.passes if not kinds or p.operation in kinds]

    def by_operation(self, *kinds: str) -> list[tuple[PlannedOperation, list[Pass]]]:
        """Return each planned operation with its passes, those that have some."""
        pairs = [
            (o, [p for p in self.setup.passes if p.operation_number == o.number])
            for o in self.setup.operations
            if not kinds or o.kind in kinds
        ]
        return [(operation, passes) for operation, passes in pairs if passes]

    def settings(self, number: int) -> Operation | None:
        """Return an operation as the job has it; None when the program proposed the list."""
        listed = self.job.setups[self.index].operations
        return None if listed is None else listed[number - 1]

    @property
    def sections(self) -> tuple[SectionInfo, ...]:
        """All sections of the part, outside and in its bores, part frame of this setup."""
        part = self.part
        front = part.bore.sections if part.bore is not None else ()
        back = part.bore_back.sections if part.bore_back is not None else ()
        turned = (turned_section(s, part.total_length) for s in back)
        return (*part.sections, *front, *turned)

    def section(self, number: int | None) -> SectionInfo | None:
        """Return a section of the part by its number."""
        return next((s for s in self.sections if s.number == number), None)

    def inside(self, section: SectionInfo) -> bool:
        """Return whether a section is one of a bore's."""
        return all(s.number != section.number for s in self.part.sections)

    def place(self, point: Point) -> Point:
        """Return a point of the part in the setup's frame."""
        return Point(point.z + self.zero, point.r)

    def text(self, millimetres: float) -> str:
        """Return a length in the job's units, as one reads it in a sentence."""
        if self.job.units == "inch":
            return f"{from_mm(millimetres, 'inch'):.3f} in"
        return f"{millimetres:.2f} mm"

    def fine(self, millimetres: float) -> str:
        """Return a small length in the job's units, one decimal finer than `text`."""
        if self.job.units == "inch":
            return f"{from_mm(millimetres, 'inch'):.4f} in"
        return f"{millimetres:.3f} mm"

    def z(self, millimetres: float) -> str:
        """Return a place along Z as the sheet writes it: "Z-22.00"."""
        return "Z" + self.text(millimetres + 0.0).rsplit(" ", 1)[0]

    def speed(self, metres_a_minute: float) -> str:
        """Return a surface speed in the job's units."""
        return surface_speed_text(metres_a_minute, self.job.units)

    def volume(self, cubic_mm: float) -> str:
        """Return a volume in the job's units."""
        if self.job.units == "inch":
            return f"{cubic_mm / INCH_MM**3:.4f} in³"
        return f"{cubic_mm:.1f} mm³"


def _holds(section: SectionInfo, z: float) -> bool:
    ends = (section.front.z, section.back.z)
    return min(ends) - 1e-6 <= z <= max(ends) + 1e-6


def finding(
    code: str,
    severity: Severity,
    message: str,
    remedy: str,
    *,
    pass_number: int | None = None,
    z: float | None = None,
    r: float | None = None,
    setup: int | None = 1,
    operation: int | None = None,
) -> Finding:
    """Return a finding; `message` says what and why, `remedy` what to do."""
    return Finding(code, severity, message, setup, pass_number, z, remedy, r, operation)


_ORDER = {"stop": 0, "caution": 1, "note": 2}


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings in order: stop, caution, note; then by pass and code."""
    return tuple(sorted(findings, key=lambda f: (_ORDER[f.severity], f.pass_number or 0, f.code)))
