"""Grooves that leave a weak core come behind the cuts in front of them."""

from __future__ import annotations

import msgspec

from tests.pipeline.turned_jobs import cylinder, one
from turnsketch.job import Blank, Operation
from turnsketch.part.records import Groove, PartRecord
from turnsketch.pipeline import plan
from turnsketch.plan_records import Plan


def made(bottom: str, *operations: Operation) -> Plan:
    """Return the plan of a shaft Ø30 with a groove near its front end."""
    part = PartRecord(
        "shear pin",
        (cylinder("30", "40", "1x45°"), cylinder("38", "20")),
        material="mild steel",
        grooves=(Groove("plain", 1, from_front="10", width="3", diameter=bottom),),
        inside_corners="R0.8",
    )
    job = one(part, Blank("40", "100", "1"), "28")
    if operations:
        setup = msgspec.structs.replace(job.setups[0], operations=operations)
        job = msgspec.structs.replace(job, setups=(setup,))
    return plan(job)


def order(planned: Plan) -> list[str]:
    return [o.kind for o in planned.setups[0].operations]


def codes(planned: Plan) -> set[str]:
    return {f.code for f in planned.findings}


def test_a_groove_to_a_thin_core_is_cut_last() -> None:
    planned = made("8")
    assert order(planned)[-4:] == ["finish", "chamfer", "groove", "part off"]
    assert not codes(planned) & {"weak-core", "groove-after-finish", "groove-not-made"}


def test_a_groove_that_leaves_more_than_half_comes_before_the_finish() -> None:
    kinds = order(made("16"))
    assert kinds.index("groove") < kinds.index("finish")


OWN = (
    Operation("face", 1),
    Operation("rough", 1),
    Operation("groove", 7),
    Operation("finish", 2),
    Operation("chamfer", 6),
    Operation("part off", 7),
)


def test_cuts_in_front_of_a_thin_core_are_told() -> None:
    planned = made("8", *OWN)
    (told,) = (f for f in planned.findings if f.code == "weak-core")
    assert told.severity == "caution"
    assert "Ø8.00 mm" in told.message
    assert "cut in front of it afterwards" in told.message
    groove = next(p for p in planned.setups[0].passes if p.operation == "groove")
    after = [p for p in planned.setups[0].passes if p.operation in ("finish", "chamfer")]
    assert told.pass_number == after[0].number == groove.number + 1
    assert "weak-core" not in codes(made("16", *OWN))
