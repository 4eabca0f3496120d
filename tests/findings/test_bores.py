"""Findings about bores and boring bars."""

from __future__ import annotations

import math

import msgspec
import pytest

from tests.findings.bushes import BORED, REAMED, bush, section
from tests.findings.cases import SHOP, codes, one, planned, with_part, with_tool, without
from turnsketch.cutting.force import bar_push_off_mm, cut_load
from turnsketch.part.records import Bore

but = msgspec.structs.replace

QUIET = (
    "bar-overhang", "bar-too-thick", "bar-springs", "bore-not-made", "wrong-tool", "no-pass",
    "near-the-jaws", "too-deep", "power", "thin-cut", "blade-too-short",
)  # fmt: skip


def test_nothing_is_said_of_a_bush_bored_as_it_should_be() -> None:
    assert not set(QUIET) & set(codes(BORED))


def test_a_bar_that_stands_out_too_far() -> None:
    # Common practice: four times its diameter for steel, six for carbide.
    long = with_tool(22, length_mm=54.0)
    found = one("bar-overhang", BORED, long)
    assert "4.5 times its bar of Ø12.00 mm" in found.message
    assert "bar-overhang" not in codes(BORED, with_tool(22, length_mm=54.0, bar_material="carbide"))
    assert "bar-overhang" in codes(BORED, with_tool(22, length_mm=75.0, bar_material="carbide"))


def test_a_bar_for_wider_holes() -> None:
    thick = with_tool(22, least_bore_mm=20.0)
    found = [f for f in planned(BORED, thick).findings if f.code == "bar-too-thick"]
    assert found
    assert "from Ø20.00 mm" in found[0].message
    assert "Ø19.70 mm" in found[0].message


def test_a_bar_that_springs() -> None:
    thin = with_tool(22, bar_diameter_mm=6.0, least_bore_mm=16.0)
    found = one("bar-springs", BORED, thin)
    assert found.severity == "note"
    assert "same X" in found.remedy


def test_push_off_after_the_beam_formula() -> None:
    steel = next(m for m in SHOP.materials if m.name == "mild steel")
    load = cut_load(steel, 0.2, 0.1, math.pi / 2, 60.0)
    # Computed: half of the cutting force, F L^3 / (3 E I), I = pi d^4 / 64.
    wanted = load.force_n / 2 * 48**3 / (3 * 210e3 * math.pi * 12**4 / 64)
    assert bar_push_off_mm(load, 48.0, 12.0, "steel") == pytest.approx(wanted)
    assert bar_push_off_mm(load, 48.0, 12.0, "carbide") < wanted / 2


def test_a_bore_that_nothing_makes() -> None:
    found = one("bore-not-made", without(BORED, "bore", "finish bore"))
    assert "bore Ø24 H7" in found.message
    assert "add drilling and boring" in found.remedy
    narrow = with_part(without(REAMED, "ream"), bore=Bore((section("7 H7"),), through=True))
    assert "no boring bar" in one("bore-not-made", narrow).message


def test_a_section_that_the_tap_drill_of_another_makes_to_size() -> None:
    """Ø5 behind M6: one pass of the drill makes both, and its record names the first."""
    holes = (but(section("6", "8"), diameter=None, thread="M6"), section("5", "6"))
    drilled = with_part(without(REAMED, "ream"), bore=Bore(holes, bottom="118°"))
    drilled = but(drilled, setups=(but(drilled.setups[0], operations=None),))
    assert "bore-not-made" not in codes(drilled)
    tight = but(section("5 H7", "6"))
    other = but(drilled, part=but(drilled.part, bore=Bore((holes[0], tight), bottom="118°")))
    assert "bore-not-made" in codes(other)


def test_a_bore_in_the_end_that_no_setup_has_in_front() -> None:
    job = with_part(REAMED, bore_back=Bore((section("26", "5"),)))
    assert "no setup has that end in front" in one("bore-not-made", job).message


def test_a_wall_left_at_the_bottom_is_told_by_the_bars_reach() -> None:
    deep = bush(Bore((section("14 H8", "38"),)))
    found = {f.code: f for f in planned(deep).findings}
    assert "left-over-reach" in found
    assert "reaches only" in found["left-over-reach"].message


def test_what_is_faced_off_first_does_not_shorten_the_bar() -> None:
    """T20 reaches 24 mm: 20 mm of raw length before it is gone when it bores 12 mm deep."""
    job = bush(Bore((section("9.55 H9", "12.7"),), bottom="118°"))
    longer = msgspec.structs.replace(job.blank, front="20", length="100")
    found = {f.code for f in planned(msgspec.structs.replace(job, blank=longer)).findings}
    assert "left-over-drill-cone" in found
    assert "left-over-reach" not in found


def test_a_shallow_close_bore_is_tried_with_a_plug_gauge() -> None:
    shallow = bush(Bore((section("30 H7", "4"), section("24")), through=True))
    found = [f for f in planned(shallow).findings if f.code == "short-to-measure"]
    assert [f for f in found if "plug gauge" in f.remedy]
    plug_free = bush(Bore((section("30 H7", "6"), section("24")), through=True))
    assert not [
        f for f in planned(plug_free).findings
        if f.code == "short-to-measure" and "plug" in f.remedy
    ]  # fmt: skip


def test_parting_counts_the_hole() -> None:
    job = with_part(BORED, sections=(section("46", "40"),))
    assert "blade-too-short" not in codes(job)
    ending = next(p for p in planned(job).setups[0].passes if p.operation == "part off")
    assert min(m.to.r for m in ending.moves) == pytest.approx(11.5, abs=0.5)


def test_the_bores_inside_corner_is_told_at_its_shoulder() -> None:
    stepped = bush(Bore((section("30", "12"), section("24")), through=True))
    places = [f.z for f in planned(stepped).findings if f.code.startswith("left-over-nose")]
    assert -12.0 in [round(z, 3) for z in places if z is not None]


def test_a_readout_too_coarse_for_a_bore_leaves_metal() -> None:
    """Inside, a figure under the limits is no scrap: the rest can still be taken."""
    tight = bush(Bore((section("24.006 +0.003/0"),), through=True))
    found = one("no-readout-step", tight)
    assert found.severity == "caution"
    assert "X 24.00 is under them" in found.message
    assert "scrap" not in found.message
