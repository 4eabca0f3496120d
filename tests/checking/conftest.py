"""A builder of small hand-made plans, shared by the tests of the replay."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import pytest

from turnsketch.geometry.elements import Point, Turn
from turnsketch.plan_records import (
    Finished,
    Frame,
    Move,
    MoveKind,
    Obstacle,
    Pass,
    Plan,
    Reading,
    Ring,
    SectionSpan,
    SetupPlan,
    ToolPiece,
    ToolRecord,
    Totals,
)
from turnsketch.units import Units, from_mm

Step = tuple[Any, ...]
"""``(kind, z, r)``, or ``(kind, z, r, centre z, centre r, turn)`` for an arc."""


@dataclass(frozen=True)
class Cut:
    """One pass to build; `start` None: where the pass before ended."""

    steps: tuple[Step, ...]
    operation: str = "rough"
    tool: int = 1
    start: Point | None = None


def ring(*points: tuple[float, float]) -> Ring:
    return tuple(Point(float(z), float(r)) for z, r in points)


def bar(front: float, back: float, radius: float) -> Ring:
    return ring((front, 0), (front, radius), (back, radius), (back, 0))


def disc(radius: float, centre_z: float = math.nan, chord: float = 1e-4) -> Ring:
    """A disc whose lowest point is at r = 0; its left side is at z = 0 unless said otherwise."""
    at = radius if math.isnan(centre_z) else centre_z
    count = 4 * math.ceil(math.pi / (4 * math.acos(1 - chord / radius)))
    turn = [2 * math.pi * i / count - math.pi for i in range(count)]
    return tuple(Point(at + radius * math.cos(a), radius + radius * math.sin(a)) for a in turn)


def nosed(radius: float, height: float = 60.0) -> Ring:
    """A round nose with sides straight up; the reference is its left side and lowest point."""
    low = [point for point in disc(radius) if point.r <= radius + 1e-12]
    return (*low, Point(2 * radius, height), Point(0.0, height))


KNIFE = ring((0, 0), (20, 0), (20, 30), (0, 30))
"""A sharp square corner, the reference at its lower left."""

HOLDER = ring((1, 6), (30, 6), (30, 60), (1, 60))


class Bench:
    """Builds plans: a bar of 30 mm in jaws from Z-80 to Z-60, the part 20 mm by 40."""

    KNIFE = KNIFE
    CHANGE = Point(60.0, 60.0)
    PART = bar(0, -40, 10)
    BLANK = bar(1, -80, 15)
    JAWS = Obstacle("jaws", ring((-60, 15), (-60, 40), (-80, 40), (-80, 15)))

    ring = staticmethod(ring)
    bar = staticmethod(bar)
    disc = staticmethod(disc)
    nosed = staticmethod(nosed)

    @staticmethod
    def tool(
        edge: Ring = KNIFE, holder: Ring | None = None, number: int = 1, nose: float = 0.0
    ) -> ToolRecord:
        pieces = [ToolPiece("insert", True, edge)]
        if holder is not None:
            pieces.append(ToolPiece("holder", False, holder))
        return ToolRecord(number, f"tool {number}", nose, tuple(pieces))

    @staticmethod
    def turn_to(radius: float, z: float, out: float = 16.0, **more: Any) -> Cut:
        """A pass along the bar: come in front, cut at `radius` to `z`, out and back."""
        return Cut(
            (
                ("position", 3, 60),
                ("position", 3, radius),
                ("cut", z, radius),
                ("cut", z, out),
                ("position", z + 1, out + 1),
                ("position", 3, 60),
            ),
            **more,
        )

    def plan(
        self,
        cuts: Sequence[Cut],
        part: Ring = PART,
        blank: Ring = BLANK,
        tools: Sequence[ToolRecord] = (),
        obstacles: Sequence[Obstacle] = (JAWS,),
        sections: tuple[SectionSpan, ...] = (),
        units: Units = "mm",
        x_step: float = 0.0,
        z_step: float = 0.0,
    ) -> Plan:
        """Build a plan; readings are rounded to the steps (display units), 0: not rounded."""
        passes: list[Pass] = []
        at, tool = self.CHANGE, None
        for number, cut in enumerate(cuts, start=1):
            start = cut.start or (at if cut.tool == tool else self.CHANGE)
            moves = tuple(_move(step) for step in cut.steps)
            ends = [start, *(move.to for move in moves)]
            readings = tuple(_reading(end, units, x_step, z_step) for end in ends)
            passes.append(
                Pass(
                    number,
                    cut.operation,
                    cut.tool,
                    start,
                    moves,
                    rpm=900.0,
                    surface_speed_m_min=None,
                    feed_mm_per_rev=0.1,
                    minutes=0.0,
                    removed_mm3=0.0,
                    start_reading=readings[0],
                    readings=readings[1:],
                )
            )
            at, tool = ends[-1], cut.tool
        setup = SetupPlan(
            number=1,
            name="First setup",
            frame=Frame(),
            part=(part,),
            blank=(blank,),
            obstacles=tuple(obstacles),
            change_point=self.CHANGE,
            tools=tuple(tools) or (self.tool(),),
            passes=tuple(passes),
            remaining=(),
            sections=sections,
        )
        none = Finished(0.0, 0.0)
        return Plan("job", "0" * 8, units, (setup,), none, none, (), Totals(0, 0.0, 0.0))

    @staticmethod
    def cut(steps: Sequence[Step], operation: str = "rough", tool: int = 1) -> Cut:
        return Cut(tuple(steps), operation, tool)

    @staticmethod
    def shifted(cut: Cut, **change: Any) -> Cut:
        return replace(cut, **change)


def _move(step: Step) -> Move:
    kind: MoveKind = step[0]
    to = Point(float(step[1]), float(step[2]))
    if len(step) == 3:
        return Move(kind, to)
    turn: Turn = step[5]
    return Move(kind, to, Point(float(step[3]), float(step[4])), turn)


def _reading(at: Point, units: Units, x_step: float, z_step: float) -> Reading:
    x, z = from_mm(2 * at.r, units), from_mm(at.z, units)
    return Reading(
        round(x / x_step) * x_step if x_step else x, round(z / z_step) * z_step if z_step else z
    )


@pytest.fixture(name="bench", scope="session")
def _bench() -> Bench:
    return Bench()
