"""Findings about readout steps and measuring."""

from __future__ import annotations

import pytest

from tests.findings.cases import (
    PIN,
    ROLLER,
    SHAFT,
    codes,
    one,
    planned,
    with_lathe,
    with_section,
)
from turnsketch.document.demo import load_demo


def test_fewer_than_four_steps_are_a_caution() -> None:
    # 25 h6 at 0.01 on Ø has one clear step: 24.99 (worked in the shop's own notes)
    found = one("few-readout-steps", PIN)
    assert found.severity == "caution"
    assert "seat Ø25 h6 has only 1 step of the readout's X" in found.message
    assert "5°44'" in found.remedy
    assert found.z == pytest.approx(-40)


@pytest.mark.parametrize(
    ("diameter", "severity"),
    [
        ("25 +0.04/0", "caution"),  # 3 clear steps
        ("25 +0.05/0", "note"),  # 4
        ("25 +0.10/0", "note"),  # 9
        ("25 +0.11/0", None),  # 10
    ],
)
def test_the_borders_are_four_and_ten(diameter: str, severity: str | None) -> None:
    job = with_section(PIN, 2, diameter=diameter)
    if severity is None:
        assert "few-readout-steps" not in codes(job)
    else:
        assert one("few-readout-steps", job).severity == severity


def test_two_rims_alike_are_one_note_in_inches() -> None:
    found = one("few-readout-steps", ROLLER)
    assert found.severity == "note"
    assert "have only 9 steps each" in found.message
    assert "0.0005 in" in found.message


def test_a_close_length_counts_steps_of_z() -> None:
    found = [
        f
        for f in planned(with_section(SHAFT, 1, length="18 ±0.02")).findings
        if f.code == "few-readout-steps" and "Z" in f.message
    ]
    assert len(found) == 1
    assert found[0].severity == "note"
    assert "7 steps" in found[0].message
    assert found[0].z == pytest.approx(-18)


def test_without_a_top_slide_the_remedy_needs_none() -> None:
    found = one("few-readout-steps", PIN, with_lathe("Slipway 1", top_slide=None))
    assert "top slide" not in found.remedy


def test_no_step_inside_and_a_figure_under_the_limits_is_scrap() -> None:
    job = with_section(PIN, 2, diameter="25 +0.006/+0.001")
    found = one("no-readout-step", job)
    reading_is_under = "under them" in found.message
    assert found.severity == ("stop" if reading_is_under else "caution")
    assert "25.001 to 25.006" in found.message
    assert found.pass_number is not None
    assert found.z == pytest.approx(-40)
    assert "few-readout-steps" not in codes(job)
    assert "no-readout-step" not in codes(PIN)


def test_no_step_inside_and_a_figure_over_the_limits_is_a_caution() -> None:
    found = one("no-readout-step", with_section(PIN, 2, diameter="25 +0.008/+0.002"))
    assert found.severity == "caution"
    assert "X 25.01 is over them" in found.message


def test_a_close_diameter_too_short_for_the_anvils_is_a_note() -> None:
    found = one("short-to-measure", with_section(PIN, 2, length="7"))
    assert found.severity == "note"
    assert "8.00 mm" in found.message
    assert found.z == pytest.approx(-22)
    assert "short-to-measure" not in codes(with_section(PIN, 2, length="8"))
    assert "short-to-measure" not in codes(ROLLER)  # a caliper measures the rims


def test_how_true_a_surface_runs_is_no_reading_of_z() -> None:
    tied = planned(load_demo("slender_pin"))
    assert tied.source is not None
    assert tied.source.job.part.ties
    assert not [f for f in tied.findings if "readout's Z" in f.message]
