"""Findings about the metal beside and under grooves, outside and in bores."""

from __future__ import annotations

import pytest

from tests.findings.cases import codes, one
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, Groove, PartRecord, Section

_SETUPS = {
    False: (Setup(Holding("Three-jaw 160", "30")),),
    True: (
        Setup(Holding("Three-jaw 160", "30")),
        Setup(Holding("Three-jaw 160", "25", soft_jaws=True), turned=True),
    ),
}


def bored(*grooves: Groove, outside: str = "44", back: bool = False, bore: str = "30") -> Job:
    """Return a bush 40 long with a blind bore 16 deep in front, or in its back end."""
    void = Bore((Section("cylinder", diameter=bore, length="16", front_corner="1x45°"),))
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter=outside, length="40"),),
        material="brass",
        bore=None if back else void,
        bore_back=void if back else None,
        grooves=grooves,
    )
    return Job(part, Blank("46", "86"), "Slipway 1", _SETUPS[back])


def ring(place: str) -> Groove:
    return Groove("ring", 2, from_front=place)


def test_a_ring_groove_too_near_the_mouth_of_a_bore_in_the_back_end() -> None:
    # DIN 472 for 30: n at least 2.1 (from memory); the chamfer takes 1 of the 2.5 before it
    found = one("ring-land-short", bored(ring("2.5"), back=True))
    assert "1.50 mm" in found.message
    assert "DIN 472 - 30x1.2 wants 2.10 mm" in found.message
    assert found.setup == 2
    # counted from the end that this setup has in front: 2.5 and the groove's 1.3
    assert found.z == pytest.approx(-3.8)
    assert "ring-land-short" not in codes(bored(ring("3.2"), back=True))


def test_a_bores_mouth_is_a_free_end_and_its_blind_bottom_is_none() -> None:
    assert "ring-land-short" in codes(bored(ring("2.5")))
    assert "ring-land-short" not in codes(bored(Groove("ring", 2, from_back="0.5")))


def test_a_groove_that_leaves_a_thin_wall_outside() -> None:
    deep = Groove("plain", 2, from_front="5", width="4", diameter="34")
    found = one("groove-thin-wall", bored(deep, outside="36.5"))
    assert found.severity == "caution"
    # (36.5 - 34) / 2
    assert "only 1.25 mm outside it, at Ø36.50 mm" in found.message
    assert "groove-thin-wall" not in codes(bored(deep, outside="39"))


def test_an_outside_groove_that_leaves_a_thin_wall_to_the_bore() -> None:
    bar = Bore((Section("cylinder", diameter="30", length="16"),))
    groove = Groove("plain", 1, from_front="5", width="4", diameter="32")
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="38", length="40"),),
        material="brass",
        bore=bar,
        grooves=(groove,),
    )
    tube = Blank("46", "86", shape="tube", bore="29.4")
    job = Job(part, tube, "Slipway 1", _SETUPS[False])
    found = one("groove-thin-wall", job)
    assert "between it and the bore" in found.message
    # cut while the bar is still solid, it leaves metal enough
    assert "groove-thin-wall" not in codes(Job(part, Blank("46", "86"), "Slipway 1", job.setups))
