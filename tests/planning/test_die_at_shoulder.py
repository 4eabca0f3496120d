"""A die up to a shoulder: the finisher's fillet stands in the corner."""

from __future__ import annotations

import msgspec

from tests.pipeline.turned_jobs import one
from turnsketch.job import Blank, Operation
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import plan
from turnsketch.plan_records import Plan

STUD = PartRecord(
    "stud",
    (
        Section("cylinder", length="20", thread="M8", front_corner="1x45°"),
        Section("cylinder", diameter="20", length="10"),
    ),
    material="mild steel",
)
WORK = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))


def made(*operations: Operation) -> Plan:
    job = one(STUD, Blank("20", "70", "1"), "28")
    setup = msgspec.structs.replace(job.setups[0], operations=operations)
    return plan(msgspec.structs.replace(job, setups=(setup,)))


def test_it_stops_before_the_fillet_and_says_what_has_no_full_turns() -> None:
    planned = made(*WORK, Operation("die", 87))
    (cut,) = (p for p in planned.setups[0].passes if p.operation == "die")
    end = min(m.to.z for m in cut.moves)
    # The finisher's nose of R0.4 leaves its radius in the corner at Z-20.
    assert -20 + 0.3 < end < -19
    (told,) = (f for f in planned.findings if f.code == "thread-lead")
    # CALC: a lead of two pitches of 1.25 in front of where it stops.
    assert f"the last {end + 2.5 + 20:.2f} mm" in told.message
    assert not [f for f in planned.findings if f.code in ("no-pass", "thread-not-made")]


def test_it_does_not_go_onto_what_is_not_turned_yet() -> None:
    planned = made(*WORK[:2], Operation("die", 87))
    assert not [p for p in planned.setups[0].passes if p.operation == "die"]
    assert [f for f in planned.findings if f.code == "no-pass"]
