"""The proposal of setups: which end first, from what blank, where the second one grips."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings

from tests.pipeline.turned_jobs import (
    BUSH,
    CAP,
    SHAFT,
    codes,
    comes_out,
    cylinder,
    one,
    replays_clean,
    stepped_parts,
)
from turnsketch.document.validate import checked
from turnsketch.errors import InputError
from turnsketch.job import Blank, BlankStep, Job
from turnsketch.part.records import PartRecord, Tie
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import plan
from turnsketch.pipeline.propose_setups import needs_both_ends, propose_setups
from turnsketch.shop.files import demo_shop

SHOP = demo_shop()


def proposed(part: PartRecord, diameter: str) -> Job:
    made = propose_setups(one(part, Blank(diameter, "100", "1"), "20"), SHOP)
    assert all(made.reasons)
    return checked(made.job)


def test_a_bush_comes_off_the_bar_and_is_faced_held_on_its_body() -> None:
    job = proposed(BUSH, "45")
    first, second = job.setups
    made = plan(job)
    comes_out(made)
    assert (first.turned, second.turned) == (False, True)
    assert [o.kind for o in made.setups[0].operations][-1] == "part off"
    assert [o.kind for o in made.setups[1].operations] == ["face", "chamfer"]
    assert second.holding.soft_jaws
    assert second.holding.grip == "20", "ten millimetres stay for the tools"
    told = {"grip-on-finished", "grip-partly", "thin-wall", "near-the-jaws"}
    assert told.isdisjoint(codes(made))


def test_a_shaft_is_cut_to_length_and_turned_from_both_ends_to_its_thickest() -> None:
    job = proposed(SHAFT, "30")
    first, second = job.setups
    made = plan(job)
    comes_out(made)
    assert job.blank.length == "92", "a millimetre on each end"
    assert first.sections == (1, 2, 3)
    assert made.setups[1].limit_z == pytest.approx(-25.0)
    assert "part off" not in [o.kind for s in made.setups for o in s.operations]
    assert "back-not-made" not in codes(made), "both ends are faced"
    # Ø28 is thicker, but only 15 long: the hold on the seat is nearly 1.5 times its diameter.
    assert second.holding.grip == "49.5"


def test_a_cap_is_bored_from_its_back() -> None:
    made = plan(proposed(CAP, "32"))
    comes_out(made)
    second = made.setups[1]
    assert {"drill", "countersink"} <= {o.kind for o in second.operations}
    assert "near-the-jaws" not in codes(made), "a drill inside the work is not near its jaws"


def test_a_short_spigot_at_the_back_is_left_for_the_second_setup_after_parting() -> None:
    part = PartRecord(
        "Spigot",
        (cylinder("16 h7", "40", "1x45°"), cylinder("30", "8"), cylinder("12", "5", None, "1x45°")),
        material="mild steel",
        inside_corners="R0.8",
    )
    job = proposed(part, "32")
    made = plan(job)
    comes_out(made)
    assert job.setups[0].sections == (1, 2)
    assert [o.kind for o in made.setups[0].operations][-1] == "part off"
    assert "rough" in [o.kind for o in made.setups[1].operations]


def test_a_bar_too_thick_for_its_blade_is_turned_down_to_its_back_first() -> None:
    part = PartRecord(
        "Spigot",
        (cylinder("20", "40"), cylinder("34", "8"), cylinder("12", "5", None, "1x45°")),
        material="mild steel",
        inside_corners="R0.8",
    )
    thin, thick = proposed(part, "44"), proposed(part, "54")
    assert (thin.setups[0].sections, thick.setups[0].sections) == ((1, 2), None)
    made = plan(thin)
    comes_out(made)
    assert [o.tool for o in made.setups[0].operations][-1] == 11, "the blade that reaches"
    comes_out(plan(thick))


def test_a_blank_with_steps_too_short_to_part_off_is_turned_from_both_ends() -> None:
    """Nothing is cut off a casting: it keeps its length, whichever end comes first."""
    steps = (BlankStep("48", "24"), BlankStep("52", "28"))
    blank = Blank("52", "52", "1", shape="steps", steps=steps)
    sections = (cylinder("30", "28"), cylinder("44", "20"))
    part = PartRecord("Flange", sections, material="aluminium", inside_corners="R0.8")
    job = propose_setups(one(part, blank, "25"), SHOP).job
    assert job.blank == blank
    assert [s.turned for s in job.setups] == [True, False]
    comes_out(plan(checked(job)))


def test_a_blank_with_steps_keeps_its_length_where_both_ends_are_made() -> None:
    steps = (BlankStep("40", "30"), BlankStep("46", "35"))
    blank = Blank("46", "65", "1", shape="steps", steps=steps)
    sections = (cylinder("24", "20"), cylinder("38", "20"), cylinder("30", "22", None, "1x45°"))
    part = PartRecord("Hub", sections, material="bronze", inside_corners="R0.8")
    job = propose_setups(one(part, blank, "25"), SHOP).job
    assert job.blank == blank
    comes_out(plan(checked(job)))


def test_a_head_in_front_has_its_back_end_made_first() -> None:
    part = PartRecord(
        "Headed pin",
        (
            cylinder("12", "6", "0.5x45°"),
            cylinder("30", "8"),
            cylinder("16 h7", "40", None, "1x45°"),
        ),
        material="mild steel",
        inside_corners="R0.8",
    )
    job = proposed(part, "32")
    comes_out(plan(job))
    assert [s.turned for s in job.setups] == [True, False]


def test_surfaces_that_the_print_ties_stay_in_one_holding() -> None:
    tied = msgspec.structs.replace(SHAFT, ties=(Tie("run-out", (2, 4), "0.02"),))
    made = propose_setups(one(tied, Blank("30", "100", "1"), "20"), SHOP)
    assert made.job.setups[0].sections is None
    assert "tied by the print" in made.reasons[-1]
    planned = plan(made.job)
    replays_clean(planned)
    assert "tie-split" not in codes(planned)
    assert "tie-split" in codes(plan(msgspec.structs.replace(proposed(SHAFT, "30"), part=tied)))


def test_one_setup_where_the_front_and_parting_off_make_all() -> None:
    part = PartRecord("pin", (cylinder("12", "20"), cylinder("16", "25")), material="brass")
    assert not needs_both_ends(resolve(part, "mm"))
    assert len(proposed(part, "20").setups) == 1


def test_the_bars_own_device_is_replaced_where_it_cannot_hold_the_bar() -> None:
    job = one(SHAFT, Blank("30", "100", "1"), "20", "Mandrel 18-25")
    assert propose_setups(job, SHOP).job.setups[0].holding.device == "Three-jaw 160"
    square = one(SHAFT, Blank("30", "100", "1", shape="square"), "20")
    assert propose_setups(square, SHOP).job.setups[0].holding.device == "Four-jaw 160"


def test_what_is_missing_in_the_shop_file_is_told() -> None:
    with pytest.raises(InputError, match="Lost chuck"):
        propose_setups(one(SHAFT, Blank("30", "100"), "20", "Lost chuck"), SHOP)


@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
@given(stepped_parts())
def test_what_is_proposed_for_a_stepped_part_plans_and_replays_clean(part: PartRecord) -> None:
    job = proposed(part, "44")
    made = plan(job)
    replays_clean(made)
    assert "thin-wall" not in codes(made)
    assert made.finished.over_mm <= 0.005
    # A move on the very edge of the metal may touch it as read, by less than `replays_clean` asks.
    stops = [f for f in made.findings if f.severity == "stop" and "as rounded" not in f.message]
    assert not stops, [f.message for f in stops]
