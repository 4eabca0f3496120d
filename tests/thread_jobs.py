"""Jobs with threads for tests, and their plans, which are kept."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec

from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan, ThreadSetting
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop, Tool
from turnsketch.units import Units

but = msgspec.structs.replace

RELIEF = (Groove("thread relief", 1, size="1.75"),)
BEFORE = (
    Operation("face", 1),
    Operation("rough", 1),
    Operation("groove", 72),
    Operation("finish", 2),
    Operation("chamfer", 6),
)
"""What a pin gets before its thread."""
DRILLED = (
    Operation("face", 1),
    Operation("rough", 1),
    Operation("finish", 2),
    Operation("centre hole", 13),
)


def pin(thread: str = "M12", **end: Any) -> PartRecord:
    """Return a pin: a threaded end of 22, a seat of Ø25, a collar of Ø30."""
    given: dict[str, Any] = {"length": "22", "front_corner": "1x45°", "thread": thread, **end}
    return PartRecord(
        "mooring pin",
        (
            Section("cylinder", name="end", **given),
            Section("cylinder", diameter="25 h6", length="36", name="seat"),
            Section("cylinder", diameter="30", length="8"),
        ),
        material="mild steel",
    )


def relieved(thread: str = "M12", **end: Any) -> PartRecord:
    """Return the pin with a thread relief at its shoulder."""
    return but(pin(thread, **end), grooves=RELIEF)


def cap(*sections: Section, through: bool = False, **more: Any) -> PartRecord:
    """Return a cap Ø40 x 40 with that bore in its front end."""
    bore = Bore(sections, through=through, bottom=None if through else "118°")
    body = (Section("cylinder", diameter="40", length="40"),)
    return PartRecord("filler cap", body, bore=bore, material="mild steel", **more)


def tapped(thread: str = "M8", length: str = "15") -> PartRecord:
    """Return the cap with a tapped blind hole 24 deep."""
    hole = Section(
        "cylinder", thread=thread, thread_length=length, length="24", front_corner="1x45°"
    )
    return cap(hole)


def job(
    part: PartRecord,
    *operations: Operation,
    lathe: str = "Slipway 1",
    units: Units = "mm",
    bar: str = "45",
    length: str = "110",
    grip: str = "25",
) -> Job:
    """Return a job; without operations the program proposes them."""
    setup = Setup(Holding("Three-jaw 160", grip), operations=operations or None)
    return Job(part, Blank(bar, length), lathe, (setup,), units=units)


@cache
def planned(made: Job, shop: Shop | None = None) -> Plan:
    """Return the plan of a job."""
    return Planner(shop or demo_shop()).plan(made)


def with_tools(*tools: Tool, without: tuple[int, ...] = ()) -> Shop:
    """Return the demo shop with these tools in place of those of the same numbers."""
    mine = {tool.number: tool for tool in demo_shop().tools if tool.number not in without}
    mine |= {tool.number: tool for tool in tools}
    return but(demo_shop(), tools=tuple(mine.values()))


def tool(number: int) -> Tool:
    """Return a tool of the demo shop."""
    return next(t for t in demo_shop().tools if t.number == number)


def thread_passes(plan: Plan) -> list[Pass]:
    """Return the passes with a single point."""
    return [p for setup in plan.setups for p in setup.passes if p.thread is not None]


def setting(made: Pass) -> ThreadSetting:
    """Return the thread of a pass that has one."""
    assert made.thread is not None
    return made.thread


def codes(plan: Plan) -> set[str]:
    """Return the codes of a plan's findings."""
    return {finding.code for finding in plan.findings}
