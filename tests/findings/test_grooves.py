"""Findings about grooves: each with a job that raises it and the nearest that does not."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import pytest

from tests.findings.cases import PIN, SHOP, but, codes, one, planned, view_of, with_list, with_part
from turnsketch.findings.grooves import relief_after_thread
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.shop.records import Shop

RING = Groove("ring", 2, from_front="3")
PLAIN = Groove("plain", 2, from_front="6", width="5", diameter="20")
SECTIONS = (
    Section("cylinder", name="end", diameter="12", length="22", front_corner="1x45°"),
    Section("cylinder", name="seat", diameter="25 h6", length="36", front_corner="1x45°"),
    Section("cylinder", name="head", diameter="30", length="8"),
)
FACE, ROUGH, FINISH = Operation("face", 1), Operation("rough", 1), Operation("finish", 2)
TAIL = (Operation("chamfer", 6), Operation("part off", 7))


def grooved(*grooves: Groove, tool: int = 72, after: bool = False) -> Job:
    """Return the pin with grooves, cut before finishing or after it."""
    cut = Operation("groove", tool)
    middle = (FINISH, cut) if after else (cut, FINISH)
    return with_list(
        with_part(PIN, sections=SECTIONS, grooves=grooves), FACE, ROUGH, *middle, *TAIL
    )


def without_tool(*numbers: int) -> Shop:
    return but(SHOP, tools=tuple(t for t in SHOP.tools if t.number not in numbers))


def test_a_groove_narrower_than_every_blade() -> None:
    found = one("groove-not-made", grooved(but(PLAIN, width="1.2")))
    assert found.severity == "caution"
    assert "1.20 mm wide" in found.message
    assert "1.30 mm" in found.message
    assert "no wider than 1.20 mm" in found.remedy
    # 22 + 6 and half of 1.2
    assert found.z == pytest.approx(-28.6)
    assert "groove-not-made" not in codes(grooved(but(PLAIN, width="1.3", diameter="24"), tool=71))


def test_a_groove_deeper_than_the_blades_that_fit() -> None:
    deep = but(PLAIN, width="1.5", diameter="16")
    found = one("groove-not-made", grooved(deep, tool=71))
    assert "4.50 mm deep" in found.message
    assert "3.00 mm" in found.message
    assert "groove-not-made" not in codes(grooved(but(deep, diameter="20"), tool=71))


def test_a_groove_that_no_operation_makes() -> None:
    job = grooved(PLAIN)
    left_out = with_list(job, FACE, ROUGH, FINISH, *TAIL)
    found = one("groove-not-made", left_out)
    assert "groove 5 wide Ø20" in found.message
    assert "add a grooving operation" in found.remedy
    assert "left-over-groove" not in codes(left_out), "it is told once"
    assert "groove-not-made" not in codes(job)


def test_a_groove_without_any_blade_in_the_shop() -> None:
    shop = without_tool(7, 11, 71, 72)
    job = with_list(grooved(PLAIN), FACE, ROUGH, FINISH)
    found = one("groove-not-made", job, shop)
    assert "no blade" in found.message


def test_a_tool_that_does_not_come_into_an_undercut() -> None:
    # a blade is wider than the undercut is long
    undercut = Groove("undercut F", 2)
    found = one("groove-not-made", grooved(undercut, tool=7))
    assert "T7" in found.message
    assert "groove-not-made" not in codes(grooved(undercut, tool=73))


def test_a_ring_groove_after_the_last_cut_on_its_seat() -> None:
    late = grooved(RING, tool=71, after=True)
    found = one("groove-after-finish", late)
    assert found.severity == "caution"
    made = [p.number for p in planned(late).setups[0].passes if p.operation == "groove"]
    assert found.pass_number == made[0]
    assert "burr" in found.message
    assert "groove-after-finish" not in codes(grooved(RING, tool=71))


def test_a_ring_groove_too_near_the_end_of_its_seat() -> None:
    # DIN 471 for 25: n at least 1.7; the chamfer takes 1 of the 2.5 in front of the groove
    found = one("ring-land-short", grooved(but(RING, from_front="2.5"), tool=71))
    assert "1.50 mm" in found.message
    assert "1.70 mm" in found.message
    assert "ring-land-short" not in codes(grooved(but(RING, from_front="2.8"), tool=71))


def test_a_thread_before_its_relief() -> None:
    relief = Groove("thread relief", 1, size="1.75")
    plan = planned(grooved(relief, tool=73))
    (setup,) = plan.setups
    first = next(p for p in setup.passes if p.operation == "groove")
    threading = msgspec.structs.replace(
        next(p for p in setup.passes if p.section == 1), operation="thread"
    )
    early = but(threading, number=first.number - 1)
    late = but(threading, number=setup.passes[-1].number + 1)
    view = view_of(grooved(relief, tool=73))
    for made, wanted in ((early, ["relief-after-thread"]), (late, [])):
        changed = but(plan, setups=(but(setup, passes=(*setup.passes, made)),))
        found = relief_after_thread(replace(view, plan=changed))
        assert [f.code for f in found] == wanted


def test_what_a_blades_corners_leave_is_told_with_their_own_radius() -> None:
    found = [
        f
        for f in planned(grooved(PLAIN)).findings
        if f.code == "left-over-nose" and "T72" in f.message
    ]
    assert [f.severity for f in found] == ["note"]
    assert "T72 (R0.2)" in found[0].message
    assert "Z-28.08, Z-32.92" in found[0].message, "both of its corners, among the others'"


def bush(groove: Groove, bore: str = "30", length: str = "20") -> Job:
    """Return a bush with a blind, flat-bottomed bore in front."""
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="48", length=str(float(length) + 16)),),
        material="brass",
        bore=Bore((Section("cylinder", diameter=bore, length=length),)),
        grooves=(groove,),
    )
    blank = Blank("50", str(float(length) + 62))
    return Job(part, blank, "Slipway 1", (Setup(Holding("Three-jaw 160", "30")),))


def test_a_bore_that_no_grooving_bar_goes_into() -> None:
    found = one("groove-not-made", bush(Groove("ring", 2, from_front="3"), bore="10"))
    assert "no grooving bar of the shop file goes into Ø10.00 mm" in found.message
    assert "slimmer" in found.remedy
    assert "groove-not-made" not in codes(bush(Groove("ring", 2, from_front="3"), bore="18"))


def test_a_bores_groove_deeper_in_than_the_bars_reach() -> None:
    groove = Groove("plain", 2, from_back="2", width="2.5", diameter="23")
    found = one("groove-not-made", bush(groove, bore="20", length="50"))
    assert "it ends 48.00 mm deep in the bore" in found.message
    assert "reach only 40.00 mm" in found.message


def test_a_relief_at_a_flat_bottom_is_cut_last_and_leaves_no_burr() -> None:
    job = bush(Groove("undercut E", 2))
    kinds = [o.kind for o in planned(job).setups[0].operations]
    assert kinds.index("finish bore") < kinds.index("groove")
    assert "groove-after-finish" not in codes(job)
    assert "groove-not-made" not in codes(job)


def test_a_round_groove_made_half_is_a_caution_with_its_cause() -> None:
    round_groove = Groove("round", 2, from_front="8", width="4", diameter="43")
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="60", length="30"),),
        material="aluminium",
        inside_corners="R0.8",
        bore=Bore((Section("cylinder", diameter="40", length="30"),), through=True),
        grooves=(round_groove,),
    )
    blank = Blank("62", "75", front="1")
    job = Job(part, blank, "Slipway 2", (Setup(Holding("Three-jaw 160", "28")),))
    found = one("left-over-edge-angle", job)
    assert found.severity == "caution"
    assert "the edges and the shank of T78 do not let its nose" in found.message
    assert not [f for f in planned(job).findings if f.code == "left-over-nose"], "it is no corner"


def test_a_recessing_bar_too_thick_for_its_hole() -> None:
    tools = tuple(but(t, least_bore_mm=26.0) if t.number == 75 else t for t in SHOP.tools)
    job = with_list(
        bush(Groove("plain", 2, from_front="5", width="2", diameter="25"), bore="22"),
        Operation("face", 1),
        Operation("centre hole", 13),
        Operation("drill", 42),
        Operation("drill", 49),
        Operation("bore", 22),
        Operation("groove", 75),
        Operation("finish bore", 22),
    )
    found = one("bar-too-thick", job, but(SHOP, tools=tools))
    assert found.message.startswith("T75 goes into bores from Ø26.00 mm")
    assert "bar-too-thick" not in codes(job)
