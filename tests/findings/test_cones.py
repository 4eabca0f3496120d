"""Findings about cones by name: each with a job that raises it and the nearest that does not."""

from __future__ import annotations

from typing import Any

from tests.findings.cases import codes, one
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Section

LIST = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))


def job(bore: Bore | None = None, **fields: Any) -> Job:
    cone = Section("taper", "cone", **{"angle": "Morse 1", **fields})
    collar = Section("cylinder", "collar", diameter="24", length="10")
    body = Section("cylinder", "body", diameter="28", length="70")
    sections = (cone, collar) if bore is None else (body,)
    part = PartRecord("arbor", sections, material="mild steel", bore=bore)
    setup = Setup(Holding("Three-jaw 160", "25"), operations=LIST)
    return Job(part, Blank("30", "125"), "Slipway 1", (setup,))


def found_codes(of: Job) -> set[str]:
    return {c for c in codes(of) if c.startswith("cone-")}


def test_a_cone_after_the_standard_is_no_finding() -> None:
    assert found_codes(job()) == set()


def test_a_cone_longer_than_the_standard_s() -> None:
    # large end in the middle of 0 to 3.5 in front of the gauge line: 53.5 + 1.75 is the standard's
    found = one("cone-length", job(length="56"))
    assert found.severity == "caution"
    assert "0.75 mm longer" in found.message
    assert "strikes" in found.message
    assert found_codes(job(length="55.7")) == set()


def test_a_cone_much_shorter_than_the_standard_s() -> None:
    found = one("cone-length", job(length="41"))
    assert found.severity == "note"
    assert "shorter" in found.message
    assert found_codes(job(length="42")) == set()


def test_a_gauge_line_too_far_from_the_large_end() -> None:
    # 12.065 + 4 / 20.047 is 12.2645
    found = one("cone-off-gauge", job(back_diameter="12.27"))
    assert "3.50 mm at most" in found.message
    assert found_codes(job(back_diameter="12.26")) == set()


def test_a_cone_that_never_gets_as_thick_as_its_gauge_line() -> None:
    found = one("cone-off-gauge", job(back_diameter="12.06", length="50"))
    assert "nowhere" in found.message
    assert found_codes(job(back_diameter="12.07", length="50")) == set()


def test_a_socket_whose_mouth_is_too_wide() -> None:
    def socket(**fields: Any) -> Job:
        taper = Section("taper", "socket", angle="Morse 1", narrows=True, length="53.5", **fields)
        return job(Bore((taper,)))

    found = one("cone-off-gauge", socket(front_diameter="12.1"))
    assert "behind the socket's mouth" in found.message
    assert found_codes(socket()) == set()
    assert found_codes(socket(front_diameter="12.08")) == set()
