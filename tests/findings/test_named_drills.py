"""Findings that name a standard drill, and the true cause of a thread that nothing makes."""

from __future__ import annotations

import pytest

from tests.findings.bushes import bush, section
from tests.findings.cases import codes, one, planned
from turnsketch.cli_tables import plan_lines
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.units import surface_speed_text


def threaded(text: str, lathe: str = "Slipway 1", *, inch: bool = False) -> Job:
    """Return a pin with an outside thread before a shoulder."""
    front, shank, length = (".9", "1.25", ".8") if inch else ("20", "28", "20")
    part = PartRecord(
        "pin",
        (
            Section(
                "cylinder", length=front, thread=text, front_corner="1x45°" if not inch else None
            ),
            Section("cylinder", diameter=shank, length=length),
        ),
        material="mild steel",
    )
    blank = Blank("1.4", "4") if inch else Blank("32", "90")
    grip = "1.2" if inch else "30"
    setups = (Setup(Holding("Three-jaw 160", grip)),)
    return Job(part, blank, lathe, setups, units="inch" if inch else "mm")


def nut(text: str, lathe: str = "Slipway 1", *, inch: bool = False) -> Job:
    """Return a bush whose through bore is threaded."""
    size, length = ("1.25", ".9") if inch else ("25", "20")
    part = PartRecord(
        "nut",
        (Section("cylinder", diameter=size, length=length),),
        material="mild steel",
        bore=Bore((Section("cylinder", thread=text),), through=True),
    )
    blank = Blank("1.4", "4") if inch else Blank("30", "80")
    setups = (Setup(Holding("Three-jaw 160", "1.1" if inch else "28")),)
    return Job(part, blank, lathe, setups, units="inch" if inch else "mm")


def test_a_tip_too_round_for_the_pitch_is_named_as_the_cause() -> None:
    found = one("thread-not-made", threaded("M12x0.35"))
    assert "tip of T31, the sharpest, has r 0.100 mm" in found.message
    assert "allows r 0.064 mm at most" in found.message
    assert "thread-not-made" not in codes(threaded("M12x1.75"))


def test_a_left_hand_thread_without_a_relief_says_so() -> None:
    found = one("thread-not-made", threaded("M24x3 LH"))
    assert "no relief behind it" in found.message
    assert "relief" in found.remedy


def test_a_bore_that_no_threading_bar_enters_names_tap_and_drill() -> None:
    found = one("thread-not-made", nut("M5"))
    assert "no threading bar goes into its bore" in found.message
    assert "tap M5x0.8-6H" in found.remedy
    assert "drill 4.2 mm" in found.remedy
    inch = one("thread-not-made", nut("1/2-13 UNC-2B", "Boathouse", inch=True))
    assert "drill 27/64" in inch.remedy


def test_an_inch_thread_is_told_in_threads_an_inch_with_a_lathe_that_cuts_it() -> None:
    found = one("thread-not-made", nut("1/2-13 UNC-2B", inch=True))
    assert "does not cut 13 threads an inch" in found.message
    assert " mm;" not in found.message
    assert "Boathouse" in found.remedy


def test_a_hole_of_a_drills_size_names_the_drill() -> None:
    job = bush(Bore((section("6.5"),), through=True))
    assert "enter a drill 6.5 mm" in one("bore-not-made", job).remedy
    left = next(f for f in planned(job).findings if f.code.startswith("left-over"))
    assert "drill 6.5 mm" in left.remedy


def test_bars_that_bore_a_drills_size_are_noted() -> None:
    plain = bush(Bore((section("11"),), through=True))
    assert "enter a drill 11 mm" in one("drill-would-do", plain).remedy
    assert "drill-would-do" not in codes(bush(Bore((section("11.03"),), through=True)))
    assert "drill-would-do" not in codes(bush(Bore((section("11 H7"),), through=True)))
    flat = bush(Bore((section("11", "15"),)))
    assert "drill-would-do" not in codes(flat)


def test_a_reamer_without_its_drill_is_noted() -> None:
    found = one("reamer-idle", bush(Bore((section("12 H7"),), through=True), length="20"))
    assert found.severity == "note"
    assert "drill 11.7 mm or 11.8 mm" in found.remedy
    assert "reamer-idle" not in codes(bush(Bore((section("20 H7"),), through=True)))
    assert "reamer-idle" not in codes(bush(Bore((section("13 H7"),), through=True)))


def test_the_bottom_is_told_as_it_is() -> None:
    coned = bush(Bore((section("20 H7", "25"),), bottom="118°"))
    told = [f for f in planned(coned).findings if f.code.startswith("left-over")]
    assert all("flat-ended" not in f.remedy for f in told)
    short = bush(Bore((section("5", "50"),), bottom="118°"), length="70")
    told = [f for f in planned(short).findings if f.code.startswith("left-over")]
    assert any("flutes of T41 end before the bottom" in f.message for f in told)
    assert all("flat-ended" not in f.remedy for f in told)


@pytest.mark.parametrize(("units", "words"), [("mm", "100 m/min"), ("inch", "328 ft/min")])
def test_surface_speeds_are_in_the_jobs_units(units: str, words: str) -> None:
    # Computed: 100 m is 328.08 ft.
    assert surface_speed_text(100.0, units) == words  # type: ignore[arg-type]


def test_an_inch_jobs_rows_have_surface_speeds_in_feet() -> None:
    made = planned(threaded("1/2-13 UNC-2A", "Slipway 2", inch=True))
    lines = [line for line in plan_lines(made, lambda line: line) if " face " in line]
    assert lines
    assert all("ft/min" in line for line in lines)
