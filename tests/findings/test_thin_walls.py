"""Thin walls along a bore: the order of work, and what is said of them."""

from __future__ import annotations

import msgspec

from tests.pipeline.turned_jobs import cylinder, one
from turnsketch.job import Blank, Job, Operation
from turnsketch.part.records import Bore, PartRecord
from turnsketch.pipeline import plan
from turnsketch.plan_records import Finding, Plan


def sleeve(hole: str, *operations: Operation) -> Job:
    bore = Bore((cylinder(hole, "30"),), through=True)
    part = PartRecord("sleeve", (cylinder("40 h7", "30"),), material="mild steel", bore=bore)
    job = one(part, Blank("45", "80", "1"), "28")
    if not operations:
        return job
    setup = msgspec.structs.replace(job.setups[0], operations=operations)
    return msgspec.structs.replace(job, setups=(setup,))


def told(made: Plan) -> list[Finding]:
    return [f for f in made.findings if f.code == "thin-wall-bored"]


def kinds(made: Plan) -> list[str]:
    return [o.kind for o in made.setups[0].operations]


def test_a_thin_wall_is_roughed_in_and_out_before_the_last_cuts() -> None:
    made = plan(sleeve("37 H7"))
    order = kinds(made)
    assert order.index("rough") < order.index("bore") < order.index("finish")
    assert order.index("finish") < order.index("finish bore")
    (found,) = told(made)
    assert found.severity == "caution"
    # Aims of h7 and H7 in the middle of their limits: (39.9875 - 37.0125) / 2 = 1.4875.
    assert "a wall of 1.49 mm" in found.message
    assert "before the heavy boring" not in found.message


def test_a_thick_wall_keeps_the_usual_order() -> None:
    made = plan(sleeve("30 H7"))
    assert kinds(made).index("finish") < kinds(made).index("bore")
    assert not told(made), "4.99 of 40 is more than a tenth"


def test_an_outside_finished_before_heavy_boring_is_told() -> None:
    work = (
        Operation("face", 1),
        Operation("drill", 44),
        Operation("drill", 50),
        Operation("rough", 1),
        Operation("finish", 2),
        Operation("bore", 22),
        Operation("finish bore", 22),
    )
    made = plan(sleeve("37 H7", *work))
    (found,) = told(made)
    assert "finishes its outside before the heavy boring" in found.message
    assert found.remedy.startswith("rough in and out before any last cut")
    first = next(p for p in made.setups[0].passes if p.operation == "finish" and p.last_on_surface)
    assert found.pass_number == first.number
