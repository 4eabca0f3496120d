"""What is said of jaws that open in a stepped bore."""

from __future__ import annotations

from tests.pipeline.turned_jobs import codes, cylinder
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord
from turnsketch.pipeline import plan
from turnsketch.plan_records import Plan

RING = PartRecord(
    "Ring",
    (cylinder("90", "30", "1x45°", "1x45°"),),
    material="bronze",
    bore=Bore((cylinder("70", "12"), cylinder("60 H7", "18")), through=True),
    inside_corners="R0.8",
)


def in_bore(grip: str, *, soft: bool = True) -> Plan:
    """Return the plan of a ring turned around: its wider bore is in the jaws' way in."""
    setups = (
        Setup(Holding("Three-jaw 160", "30"), "front"),
        Setup(Holding("Three-jaw 160", grip, inside=True, soft_jaws=soft), "back", turned=True),
    )
    return plan(Job(RING, Blank("95", "75", "1"), "Slipway 1", setups))


def test_jaws_that_hold_too_little_of_a_stepped_bore() -> None:
    """17 deep: 12 lie in the wider bore, 5 touch; soft jaws of this shop want 10."""
    told = next(f for f in in_bore("17").findings if f.code == "grip-partly")
    assert told.severity == "caution"
    assert "of 17.00 mm on the jaws in the bore only 5.00 mm at Ø60.0" in told.message
    assert "grip-partly" not in codes(in_bore("23"))
    assert "grip-partly" not in codes(in_bore("11")), "all of it touches in the wider bore"


def test_hard_jaws_in_a_finished_bore_mark_it() -> None:
    told = next(f for f in in_bore("28", soft=False).findings if f.code == "grip-on-finished")
    assert "bore Ø60 H7" in told.message
    assert "turn soft jaws to Ø60.0" in told.remedy
    assert "grip-on-finished" not in codes(in_bore("23"))
