"""What is said of jaws on finished surfaces, thin walls, soft jaws and the steady rest."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from tests.pipeline.turned_jobs import BUSH, CAP, SHAFT, codes, cylinder
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import plan
from turnsketch.plan_records import Finding, Plan


def turned(part: PartRecord, blank: Blank, grip: str, **holding: Any) -> Plan:
    """Return the plan of a part turned around after parting off."""
    device = holding.pop("device", "Three-jaw 160")
    setups = (
        Setup(Holding("Three-jaw 160", "25"), "front"),
        Setup(Holding(device, grip, **holding), "back", turned=True),
    )
    return plan(Job(part, blank, "Slipway 1", setups))


def of(made: Plan, code: str) -> list[Finding]:
    return [f for f in made.findings if f.code == code]


BUSH_BAR = Blank("45", "70", "1")


def test_hard_jaws_on_a_finished_seat_are_told_with_what_marks_less() -> None:
    (told,) = of(turned(BUSH, BUSH_BAR, "20"), "grip-on-finished")
    assert (told.severity, told.setup) == ("caution", 2)
    assert "Ø30 h7" in told.message
    assert "Collet chuck 40" in told.remedy
    assert "bore soft jaws to Ø29.99 mm" in told.remedy


def test_on_a_surface_without_a_tolerance_of_its_own_it_is_a_note() -> None:
    coarse = msgspec.structs.replace(BUSH, sections=(cylinder("30", "25"), *BUSH.sections[1:]))
    (told,) = of(turned(coarse, BUSH_BAR, "20"), "grip-on-finished")
    assert told.severity == "note"


def test_a_thread_in_hard_jaws_is_a_caution() -> None:
    """They crush its crests, whatever its tolerance."""
    bolt = PartRecord(
        "bolt",
        (Section("cylinder", length="30", thread="M20"), cylinder("40", "20")),
        material="mild steel",
    )
    (told,) = of(turned(bolt, Blank("42", "80", "1"), "25"), "grip-on-finished")
    assert told.severity == "caution"
    assert "M20" in told.message


@pytest.mark.parametrize("holding", [{"soft_jaws": True}, {"device": "Collet chuck 40"}])
def test_soft_jaws_and_collets_mark_nothing(holding: dict[str, Any]) -> None:
    assert not of(turned(BUSH, BUSH_BAR, "20", **holding), "grip-on-finished")


def test_soft_jaws_may_grip_less() -> None:
    assert of(turned(BUSH, BUSH_BAR, "11"), "grip-short")
    assert not of(turned(BUSH, BUSH_BAR, "11", soft_jaws=True), "grip-short")


def test_soft_jaws_that_the_shop_has_not() -> None:
    made = turned(BUSH, BUSH_BAR, "20", device="Four-jaw 160", soft_jaws=True)
    (told,) = of(made, "no-soft-jaws")
    assert "Three-jaw 160" in told.remedy


def test_jaws_over_two_diameters_hold_the_thicker_one_alone() -> None:
    made = turned(CAP, Blank("32", "60", "1"), "15")
    (told,) = of(made, "grip-partly")
    assert told.severity == "stop"
    assert "only 3.00 mm at Ø30.00 mm" in told.message
    assert not of(turned(SHAFT, Blank("30", "125", "1"), "35"), "grip-partly")


def ring(outer: str, inner: str) -> Plan:
    part = PartRecord(
        "ring",
        (cylinder(outer, "40"),),
        material="bronze",
        bore=Bore((cylinder(inner, "40"),), through=True),
    )
    blank = Blank(str(int(outer) + 2), "90", "1", shape="tube", bore=str(int(inner) - 1))
    return plan(Job(part, blank, "Slipway 1", (Setup(Holding("Three-jaw 160", "30")),)))


def test_a_thin_wall_in_three_jaws_goes_lobed() -> None:
    """Wall over diameter: (62 - 55) / 2 / 62 is 0.056, (62 - 39) / 2 / 62 is 0.19."""
    (told,) = of(ring("60", "56"), "thin-wall")
    assert told.severity == "caution"
    assert "wall of 3.50 mm at Ø62.00 mm" in told.message
    assert "soft jaws" in told.remedy
    assert "mandrel" in told.remedy
    assert not of(ring("60", "40"), "thin-wall")


def test_a_thin_bush_in_soft_jaws_is_not_told_of() -> None:
    thin = msgspec.structs.replace(
        BUSH, bore=Bore((cylinder("26", "31"),), through=True), material="bronze"
    )
    assert of(turned(thin, BUSH_BAR, "20"), "thin-wall")
    assert not of(turned(thin, BUSH_BAR, "20", soft_jaws=True), "thin-wall")


LONG = PartRecord(
    "Tiller shaft",
    (cylinder("20", "30"), cylinder("28", "90")),
    material="mild steel",
    inside_corners="R0.8",
)


def steadied(bar: Blank) -> Plan:
    holding = Holding("Four-jaw 160", "25", steady="70")
    setup = Setup(holding, "front", sections=(1,))
    return plan(Job(LONG, bar, "Slipway 1", (setup,)))


@pytest.mark.parametrize(
    ("bar", "words"),
    [
        (Blank("32", "170", "1"), ""),
        (Blank("32", "170", "1", skin="black"), "the bar is black there"),
        (Blank("32", "170", "1", shape="hexagon"), "the bar is a hexagon there"),
    ],
)
def test_the_fingers_of_a_steady_run_on_a_true_seat(bar: Blank, words: str) -> None:
    told = of(steadied(bar), "steady-seat")
    assert [words in f.message for f in told] == ([True] if words else [])
    assert all(f.severity == "stop" for f in told)


def test_what_a_setup_with_a_steady_leaves_is_told_as_left() -> None:
    made = steadied(Blank("32", "170", "1"))
    assert "left-over-no-setup" in codes(made)
