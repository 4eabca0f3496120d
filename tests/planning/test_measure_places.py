"""Where a stop before the last cut measures: on what was cut, nowhere else."""

from __future__ import annotations

import pytest

from tests.pipeline.turned_jobs import cylinder, one
from turnsketch.job import Blank
from turnsketch.part.records import Bore, Groove, PartRecord
from turnsketch.pipeline import plan
from turnsketch.plan_records import Pass


def bored(outside: str, hole: str, length: str) -> list[Pass]:
    """Return the passes that stop for the bore."""
    bore = Bore((cylinder(hole, length),), through=True)
    part = PartRecord("sleeve", (cylinder(outside, length),), material="mild steel", bore=bore)
    job = one(part, Blank("45", str(float(length) + 50), "1"), "28")
    passes = plan(job).setups[0].passes
    return [p for p in passes if p.inside and p.measure is not None]


def test_a_bore_that_the_bar_does_not_go_through_is_measured_where_it_was_bored() -> None:
    (made,) = bored("40", "25 H7", "60")
    assert made.measure is not None
    reached = min(m.to.z for m in made.moves if m.kind == "cut")
    assert reached > -50, "the bar of the shop file is too short"
    assert min(made.measure.at_z) == pytest.approx(reached + 2.5)
    assert made.measure.expected_diameter == pytest.approx(24.7)


def test_a_bore_that_it_goes_through_is_measured_at_both_ends() -> None:
    (made,) = bored("40", "25 H7", "30")
    assert made.measure is not None
    assert made.measure.at_z == pytest.approx((-2.5, -27.5))


def test_anvils_that_find_no_land_bridge_the_groove() -> None:
    """On a nose 10 long with a ring groove in it no land is as wide as the anvils."""
    sections = (cylinder("30 h9", "10"), cylinder("40 h7", "30"))
    groove = Groove("ring", 1, from_front="4", size="30x1.5")
    part = PartRecord("nose", sections, material="mild steel", grooves=(groove,))
    passes = plan(one(part, Blank("45", "90", "1"), "28")).setups[0].passes
    (made,) = [p for p in passes if p.measure is not None and p.section == 1]
    assert made.measure is not None
    before = [p for p in passes[: made.number - 1] if p.operation == "groove"]
    assert before, "the groove is there already"
    # 28.6 is the groove's bottom (DIN 471); roughing leaves 0.6 on the diameter.
    assert made.measure.expected_diameter == pytest.approx(30.6, abs=0.11)
