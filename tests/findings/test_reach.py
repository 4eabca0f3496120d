"""Findings about metal that stays."""

from __future__ import annotations

from typing import Literal

import pytest

from tests.findings.cases import (
    KNOB,
    PIN,
    ROLLER,
    but,
    codes,
    one,
    planned,
    view_of,
    with_blank,
    with_list,
    with_part,
    without,
)
from turnsketch.findings.reach import left_over, off_size
from turnsketch.job import Operation


def test_corners_that_the_print_allows_are_one_note() -> None:
    found = one("left-over-nose", PIN)
    assert found.severity == "note"
    assert "R0.4" in found.message
    assert "2 inside corners at Z-22.00 and Z-58.00" in found.message
    assert "0.12 mm high" in found.message
    assert "the print allows R0.8" in found.message
    assert found.remedy == "nothing to do"


@pytest.mark.parametrize(
    ("allowed", "says"), [(None, "does not say"), ("R0.2", "no more than R0.2")]
)
def test_corners_beyond_the_print_are_a_caution(allowed: str | None, says: str) -> None:
    found = one("left-over-nose", with_part(PIN, inside_corners=allowed))
    assert found.severity == "caution"
    assert says in found.message
    assert found.remedy != "nothing to do"


def test_the_cusps_of_a_step_table_are_one_note() -> None:
    found = one("left-over-cusp", ROLLER)
    assert found.severity == "note"
    assert "waist" in found.message
    assert " in high" in found.message
    assert found.z is not None
    assert -1.125 * 25.4 < found.z < -0.25 * 25.4
    assert "left-over-cusp" not in codes(PIN)


def test_surfaces_without_a_finish_are_one_caution_with_their_stretches() -> None:
    found = one("left-over-not-planned", without(PIN, "finish"))
    assert found.severity == "caution"
    assert found.message.count("Z-") >= 3
    assert "mm³" in found.message
    assert "left-over-not-planned" not in codes(PIN)


def test_a_back_that_no_right_hand_edge_reaches_is_a_caution() -> None:
    job = with_list(KNOB, Operation("face", 1), Operation("rough", 1), Operation("finish", 1))
    kept = [f for f in planned(job).findings if f.code.startswith("left-over-")]
    assert any(f.severity == "caution" and f.code != "left-over-nose" for f in kept), kept


def test_metal_that_the_jaws_keep_is_told_beside_the_stop() -> None:
    found = one("left-over-jaws", with_blank(PIN, length="90"))
    assert found.severity == "caution"
    assert "to Z-66.00" in found.message
    assert found.z is not None
    assert found.z > -66


@pytest.mark.parametrize("length", ["60", "75", "85", "90", "95", "98", "117"])
def test_every_left_over_is_in_a_finding(length: str) -> None:
    made = planned(with_blank(PIN, length=length))
    told = [f.message for f in made.findings if f.code.startswith("left-over")]
    for left in made.finished.left_over:
        ends = {f"Z{left.z[0]:.2f}", f"Z{left.z[1]:.2f}"}
        assert any(end in message for message in told for end in ends), left


@pytest.mark.parametrize(("height", "group"), [(0.3, "corner"), (1.0, "metal")])
def test_what_stands_higher_than_a_corner_can_is_no_corner(
    height: float, group: Literal["corner", "metal"]
) -> None:
    made = planned(PIN)
    left = tuple(but(one, height_mm=height) for one in made.finished.left_over)
    view = view_of(PIN, but(made, finished=but(made.finished, left_over=left)))
    assert len(list(left_over(view))) == (1 if group == "metal" else 0)


def test_a_surface_off_its_aim_is_a_caution_with_its_name() -> None:
    made = planned(PIN)
    sections = tuple(
        but(d, over_mm=0.02 if d.section == 2 else 0.0) for d in made.finished.sections
    )
    off = but(made, finished=but(made.finished, over_mm=0.02, sections=sections))
    (found,) = off_size(view_of(PIN, off))
    assert (found.code, found.severity) == ("over-size", "caution")
    assert "seat Ø25 h6 comes out 0.020 mm over" in found.message
    assert found.z == pytest.approx(-22)
    assert not list(off_size(view_of(PIN)))


def test_readings_far_over_the_aim_are_told_as_readings() -> None:
    made = planned(PIN)
    off = but(made, finished_as_read=but(made.finished_as_read, over_mm=0.02))
    (found,) = off_size(view_of(PIN, off))
    assert "readings as rounded" in found.message
