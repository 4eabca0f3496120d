"""Findings about drills, reamers and countersinks."""

from __future__ import annotations

from typing import Any

import pytest

from tests.findings.bushes import REAMED, bush, section
from tests.findings.cases import (
    SHOP,
    but,
    codes,
    one,
    planned,
    with_lathe,
    with_operation,
    with_part,
    with_tool,
    without,
)
from turnsketch.job import Job, Operation
from turnsketch.part.records import Bore

DRILLING = (
    "drill-held-back", "drill-short", "deep-hole", "no-pilot", "ream-allowance", "ream-blind",
    "quill-reach", "speed-high", "wrong-tool", "no-pass", "near-the-jaws", "bore-not-made",
    "few-readout-steps",
)  # fmt: skip


def with_last_drill(job: Job, **fields: Any) -> Job:
    listed = list(job.setups[0].operations or ())
    at = max(i for i, o in enumerate(listed) if o.kind == "drill")
    listed[at] = but(listed[at], **fields)
    return but(job, setups=(but(job.setups[0], operations=tuple(listed)),))


def test_nothing_is_said_of_a_bush_drilled_and_reamed_as_it_should_be() -> None:
    assert not set(DRILLING) & set(codes(REAMED))


def test_a_hole_deeper_than_the_print_allows() -> None:
    blind = with_part(REAMED, bore=Bore((section("20 H7", "30"),)))
    blind = without(blind, "ream")
    found = one("drill-held-back", with_last_drill(blind, to_depth="35"))
    assert "asks for a hole 35.00 mm deep" in found.message
    assert "cut into the part" in found.message
    assert "drill-held-back" not in codes(with_last_drill(blind, to_depth="20"))


def test_flutes_that_end_before_the_hole() -> None:
    short = with_tool(49, length_mm=35.0)
    found = one("drill-short", REAMED, short)
    assert "flutes of T49 are 35.00 mm long" in found.message
    assert "drill-short" not in codes(REAMED, with_tool(49, length_mm=50.0))


def test_a_hole_deeper_than_eight_diameters() -> None:
    thin = with_operation(REAMED, "drill", tool=41)
    found = one("deep-hole", without(thin, "ream"))
    assert found.severity == "note"
    # Computed: to Z-46.00, 1 beyond the bar's overrun of 3.5 and its point of 1.50, from where the
    # point's side meets the rim of Ø4.25: 44.73 / 5.
    assert "8.9 diameters" in found.message
    assert "times" in found.remedy
    assert "deep-hole" not in codes(REAMED)


def test_a_thick_drill_into_solid_metal() -> None:
    listed = tuple(o for o in REAMED.setups[0].operations or () if o.tool != 42)
    solid = but(REAMED, setups=(but(REAMED.setups[0], operations=listed),))
    found = one("no-pilot", solid)
    assert found.severity == "caution"
    assert "Ø19.70 mm" in found.message
    thin = but(solid, setups=(but(solid.setups[0], operations=tuple(
        but(o, tool=45) if o.tool == 49 else o for o in listed)),))  # fmt: skip
    assert "no-pilot" not in codes(thin)


@pytest.mark.parametrize(
    ("drill", "severity", "words"),
    [(46, "stop", "6.0"), (48, "stop", "2.5"), (42, "stop", "not drilled")],
)
def test_what_a_reamer_finds(drill: int, severity: str, words: str) -> None:
    found = one("ream-allowance", with_operation(REAMED, "drill", tool=drill))
    assert found.severity == severity
    assert words in found.message
    if drill == 48:
        # Common practice: 0.2 to 0.3 up to 20 mm, though T62 itself is Ø20.0105.
        assert "0.20 mm to 0.30 mm are usual, and over 0.90 mm" in found.message
        assert found.remedy == "drill Ø19.70 mm to Ø19.80 mm before it"


def test_a_reamer_that_finds_somewhat_too_much_is_a_caution() -> None:
    tools = tuple(but(t, diameter_mm=19.4) if t.number == 49 else t for t in SHOP.tools)
    found = one("ream-allowance", REAMED, but(SHOP, tools=tools))
    assert found.severity == "caution"
    assert "breaks" not in found.message
    assert "ream-allowance" not in codes(REAMED)


def test_a_reamer_in_a_blind_hole() -> None:
    blind = with_part(REAMED, bore=Bore((section("20 H7", "30"),)))
    assert "chips pack" in one("ream-blind", blind).message
    assert "ream-blind" not in codes(REAMED)


def test_a_hole_deeper_than_the_quill_comes_out() -> None:
    lathe = next(m for m in with_lathe("Slipway 1").lathes if m.name == "Slipway 1")
    short = with_lathe("Slipway 1", centre=but(lathe.centre, quill_reach_mm=46.0))
    found = one("quill-reach", without(REAMED, "ream"), short)
    assert "comes out 46.00 mm" in found.message
    assert "quill-reach" not in codes(REAMED)


def test_a_reamer_that_runs_as_fast_as_a_drill() -> None:
    found = one("speed-high", with_operation(REAMED, "ream", rpm=355.0))
    # Common practice: a third to a half of the drilling speed.
    assert "355 rpm" in found.message
    assert "Ø20.01 mm" in found.message
    assert "speed-high" not in codes(with_operation(REAMED, "ream", rpm=125.0))


@pytest.mark.parametrize(
    ("operation", "words"),
    [
        (Operation("drill", 50), "wider than the bore"),
        (Operation("drill", 41), "as wide already"),
        (Operation("ream", 49), "is a drill tool"),
        (Operation("countersink", 63), "no chamfer at the bore's mouth"),
        (Operation("bore", 23), "goes into bores from Ø26.00"),
    ],
)
def test_why_an_operation_in_a_bore_makes_no_pass(operation: Operation, words: str) -> None:
    listed = REAMED.setups[0].operations or ()
    job = but(
        REAMED, setups=(but(REAMED.setups[0], operations=(*listed[:5], operation, *listed[5:])),)
    )
    assert words in one("no-pass", job).message


def test_thin_drills_that_turn_slower_than_they_could_are_no_matter() -> None:
    slow = with_lathe("Slipway 1", speeds_rpm=(45.0, 63.0, 90.0, 125.0, 180.0))
    found = one("speed-limited", REAMED, slow)
    drills = [p.number for p in planned(REAMED, slow).setups[0].passes if p.direction == "drill"]
    assert found.pass_number not in drills
    assert "to the axis" not in found.message


def test_a_long_bush_wants_its_drill_from_both_ends() -> None:
    deep = bush(
        Bore((section("12", "70"),), bottom="118°"), Operation("face", 1), Operation("drill", 45),
        length="80",
    )  # fmt: skip
    assert "drill-short" not in codes(deep)
    assert "drill-short" in codes(deep, with_tool(45, length_mm=60.0))
