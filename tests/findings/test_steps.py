"""Findings about step tables."""

from __future__ import annotations

from tests.findings.cases import ROLLER, codes, one, planned, with_operation


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
