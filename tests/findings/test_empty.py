"""Findings about operations that make no pass, or have a tool that is not made for them."""

from __future__ import annotations

import pytest

from tests.findings.cases import KNOB, PIN, codes, one, with_blank, with_list, with_operation
from turnsketch.job import Job, Operation


def added(job: Job, operation: Operation, at: int) -> Job:
    listed = list(job.setups[0].operations or ())
    listed.insert(at, operation)
    return with_list(job, *listed)


def test_every_operation_of_the_demo_has_a_pass() -> None:
    assert "no-pass" not in codes(PIN)


def test_nothing_to_face_is_a_note() -> None:
    found = one("no-pass", with_blank(PIN, front="0"))
    assert found.severity == "note"
    assert "operation 1 (face, T1)" in found.message
    assert "finished face already" in found.message


def test_a_second_finish_after_the_first_has_nothing_left() -> None:
    found = one("no-pass", added(PIN, Operation("finish", 2), 3))
    assert found.severity == "note"
    assert "operation 4 (finish, T2)" in found.message
    assert "nothing for it" in found.message


def test_a_tool_that_cannot_get_there_is_a_caution() -> None:
    # A right-hand rougher goes into no valley.
    job = added(KNOB, Operation("rough", 1, valleys_only=True), 2)
    found = one("no-pass", job)
    assert found.severity == "caution"
    assert "no way in" in found.message


def test_a_form_tool_without_its_corner_is_a_caution() -> None:
    found = one("no-pass", with_operation(PIN, "chamfer", tool=8))
    assert found.severity == "caution"
    assert "R1.00 mm" in found.message


def test_a_tool_of_another_kind_is_named() -> None:
    found = one("no-pass", with_operation(PIN, "chamfer", tool=1))
    assert found.severity == "caution"
    assert "turning tool" in found.message
    assert "chamfer or form" in found.remedy


def test_parting_without_room_is_told_by_the_jaws_alone() -> None:
    assert "no-pass" not in codes(with_blank(PIN, length="94"))


@pytest.mark.parametrize(("kind", "tool"), [("rough", 7), ("finish", 11)])
def test_turning_sideways_with_a_blade_is_never_let_pass(kind: str, tool: int) -> None:
    found = codes(with_operation(PIN, kind, tool=tool))
    assert ("wrong-tool" in found) != ("no-pass" in found)
    assert "wrong-tool" not in codes(PIN)
