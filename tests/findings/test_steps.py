"""Findings about step tables."""

from __future__ import annotations

from tests.findings.cases import ROLLER, codes, one, planned, with_operation
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section


def test_over_forty_steps_are_a_note_that_proposes_something_better() -> None:
    found = one("many-steps", with_operation(ROLLER, "finish", cusp=".0008"))
    assert found.severity == "note"
    assert "waist" in found.message
    for better in ("round nose", "form tool", "top slide"):
        assert better in found.remedy
    tables = [p.steps for p in planned(ROLLER).setups[0].passes if p.steps is not None]
    assert all(len(table.rows) <= 40 for table in tables)
    assert "many-steps" not in codes(ROLLER)


def test_a_readout_too_coarse_for_the_cusp_is_a_caution() -> None:
    found = one("cusp-high", with_operation(ROLLER, "finish", cusp=".0005"))
    assert found.severity == "caution"
    assert "0.0005 in were asked for" in found.message
    assert "cusp-high" not in codes(ROLLER)


def test_a_long_taper_is_told_its_cheaper_ways_with_figures() -> None:
    """CALC: 150 sin(atan(1/100)) = 1.50; 95 mm of taper take two stretches of a slide of 90."""
    part = PartRecord(
        "tiller",
        (
            Section("taper", angle="1:50", front_diameter="30", length="95"),
            Section("cylinder", diameter="32", length="10"),
        ),
        material="mild steel",
    )
    finish = Operation("finish", 5, sections=(1,), cusp="0.1")
    setup = Setup(Holding("Three-jaw 160", "28"), operations=(Operation("rough", 1), finish))
    found = one("many-steps", Job(part, Blank("32", "150", "0"), "Slipway 1", (setup,)))
    assert "150.00 mm long, between centres" in found.remedy
    assert "by 1.50 mm (of the 10.00 mm" in found.remedy
    assert "2 stretches, its scale at 0.573°" in found.remedy
