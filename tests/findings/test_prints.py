"""Findings about the print."""

from __future__ import annotations

import pytest

from tests.findings.cases import PIN, SHAFT, but, codes, one, with_part, with_section
from turnsketch.part.records import LengthDimension, Place

OVERALL = (Place(1, "front"), Place(3, "back"))


def test_a_free_length_is_a_stop_at_its_section() -> None:
    found = one("print-open", with_section(PIN, 2, length=None))
    assert found.severity == "stop"
    assert found.z is not None
    assert -58 < found.z < -22
    assert found.r == pytest.approx(12.5, abs=0.01)
    assert "seat" in found.message
    assert "print-open" not in codes(PIN)


def test_lengths_that_do_not_close_are_a_stop_with_the_gap() -> None:
    wrong = with_part(PIN, lengths=(LengthDimension(*OVERALL, "67"),))
    found = one("print-contradiction", wrong)
    assert found.severity == "stop"
    assert "1.00" in found.message
    assert "print-contradiction" not in codes(PIN)


def test_a_length_given_twice_is_a_note() -> None:
    twice = with_part(PIN, lengths=(LengthDimension(*OVERALL, "66"),))
    assert one("print-repeat", twice).severity == "note"
    bracketed = with_part(PIN, lengths=(LengthDimension(*OVERALL, "(66)"),))
    assert "print-repeat" not in codes(bracketed)


def test_a_reference_that_is_not_what_comes_out_is_a_note() -> None:
    wrong = with_part(PIN, lengths=(LengthDimension(*OVERALL, "(67)"),))
    assert one("print-ill-posed", wrong).severity == "note"
    right = with_part(PIN, lengths=(LengthDimension(*OVERALL, "(66)"),))
    assert "print-ill-posed" not in codes(right)


def test_places_stand_in_the_setups_frame() -> None:
    open_job = with_section(SHAFT, 3, length=None)
    shifted = but(open_job, setups=(but(open_job.setups[0], zero="100"),))
    at_zero, at_hundred = one("print-open", open_job), one("print-open", shifted)
    assert at_zero.z is not None
    assert at_hundred.z == pytest.approx(at_zero.z + 100)
