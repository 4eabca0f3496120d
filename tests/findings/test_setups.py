"""Findings stand in the setup that makes the place, with z in that setup's frame."""

from __future__ import annotations

import pytest

from tests.findings.cases import planned
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.plan_records import Finding, Plan

BAR = PartRecord(
    "bar",
    (
        Section("cylinder", diameter="16 h8", length="40"),
        Section("cylinder", "middle", diameter="20 h7", length="40"),
        Section("cylinder", "flange", diameter="28", length="15"),
    ),
    material="brass",
    inside_corners="R0.8",
)


def made_in_two(zero: str, part: PartRecord = BAR, diameter: str = "30") -> Plan:
    """Return a plan whose second setup makes sections 2 and 3, with its own zero."""
    first = Setup(Holding("Three-jaw 160", "100"), "First", sections=(1,))
    second = Setup(Holding("Three-jaw 160"), "Second", zero, pull_out="60", sections=(2, 3))
    return planned(Job(part, Blank(diameter, "160"), "Slipway 1", (first, second)))


def found(plan: Plan, code: str) -> dict[int | None, Finding]:
    chosen = [f for f in plan.findings if f.code == code]
    assert len({f.setup for f in chosen}) == len(chosen)
    return {f.setup: f for f in chosen}


@pytest.mark.parametrize("zero", ["0", "100", "7.5"])
def test_corners_stand_in_the_setup_that_leaves_them(zero: str) -> None:
    corners = found(made_in_two(zero), "left-over-nose")
    assert set(corners) == {1, 2}
    assert corners[1].z == pytest.approx(-40)
    assert corners[2].z == pytest.approx(-80 + float(zero))
    assert "Z-40.00" in corners[1].message
    assert f"Z{-80 + float(zero):.2f}" in corners[2].message


@pytest.mark.parametrize("zero", ["0", "100"])
def test_a_tight_size_stands_in_the_setup_that_turns_it(zero: str) -> None:
    tight = found(made_in_two(zero), "few-readout-steps")
    assert tight[1].message.count("16 h8") == 1
    assert tight[1].z == pytest.approx(-20)
    assert "middle Ø20 h7" in tight[2].message
    assert "16 h8" not in tight[2].message
    assert tight[2].z == pytest.approx(-60 + float(zero))


def test_a_bar_too_thin_is_told_where_the_widest_section_is_made() -> None:
    thin = found(made_in_two("100", diameter="26"), "blank-too-small")
    assert set(thin) == {2}
    assert thin[2].z == pytest.approx(-80 + 100)


@pytest.mark.parametrize("zero", ["0", "100", "7.5"])
def test_a_place_of_a_finding_lies_on_the_bar_of_its_setup(zero: str) -> None:
    plan = made_in_two(zero)
    setups = {setup.number: setup for setup in plan.setups}
    for one in plan.findings:
        if one.z is not None:
            assert one.setup is not None
            zs = [p.z for ring in setups[one.setup].blank for p in ring]
            assert min(zs) - 1e-6 <= one.z <= max(zs) + 5.0, one
