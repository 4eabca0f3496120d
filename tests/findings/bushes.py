"""A bush with a bore, its own operation list, for findings about drilling and boring."""

from __future__ import annotations

from tests.findings.cases import but, with_list
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Section

__all__ = ["BORED", "REAMED", "bush", "section"]


def section(diameter: str, length: str | None = None, **more: str) -> Section:
    """Return a cylinder."""
    return Section("cylinder", diameter=diameter, length=length, **more)  # type: ignore[arg-type]


def bush(bore: Bore, *operations: Operation, length: str = "40", lathe: str = "Slipway 1") -> Job:
    """Return a bush of mild steel, Ø44; without operations the program proposes them."""
    part = PartRecord(
        "bush", (section("44", length),), material="mild steel", inside_corners="R0.8", bore=bore
    )
    setups = (Setup(Holding("Three-jaw 160", grip="25")),)
    job = Job(part, Blank("50", str(float(length) + 40)), lathe, setups)
    return with_list(job, *operations) if operations else job


REAMED = bush(
    Bore((section("20 H7"),), through=True),
    Operation("face", 1),
    Operation("centre hole", 13),
    Operation("drill", 42),
    Operation("drill", 49),
    Operation("ream", 62),
    Operation("rough", 1),
    Operation("finish", 2),
    Operation("part off", 7),
)
"""Drilled and reamed to Ø20 H7."""

BORED = but(
    with_list(
        REAMED,
        Operation("face", 1),
        Operation("centre hole", 13),
        Operation("drill", 42),
        Operation("drill", 49),
        Operation("rough", 1),
        Operation("finish", 2),
        Operation("bore", 22),
        Operation("finish bore", 22),
        Operation("part off", 7),
    ),
    part=but(REAMED.part, bore=Bore((section("24 H7"),), through=True)),
)
"""Drilled and bored to Ø24 H7."""
