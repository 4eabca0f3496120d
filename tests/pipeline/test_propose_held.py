"""Proposals beside the turn-around: centres, pulled out bar, mandrel, jaws in the bore.

Limits after common practice: 3 diameters free, 10 on a centre; a bore's outside on a mandrel.
"""

from __future__ import annotations

from functools import cache

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pipeline.turned_jobs import codes, comes_out, cylinder, one
from turnsketch.document.validate import checked
from turnsketch.job import Blank, Job
from turnsketch.part.records import Bore, PartRecord, Section, Tie
from turnsketch.pipeline import plan
from turnsketch.pipeline.propose_setups import propose_setups
from turnsketch.plan_records import Plan
from turnsketch.shop.files import demo_shop

SHOP = demo_shop()


def part(*sections: Section, **fields: object) -> PartRecord:
    made = PartRecord("Rudder pin", sections, material="mild steel", inside_corners="R0.8")
    return msgspec.structs.replace(made, **fields)


PIN = (cylinder("16", "60", "1x45°"), cylinder("20", "70"))
BOTH = (*PIN, cylinder("16", "20", None, "1x45°"))
STEPS = (cylinder("14", "30"), cylinder("16", "35"), cylinder("20", "40"), cylinder("22", "40"))
TIED = part(
    cylinder("40", "6", "1x45°"),
    cylinder("30 h7", "25", None, "1x45°"),
    material="bronze",
    bore=Bore((cylinder("20 H7", "31", "0.5x45°"),), through=True),
    ties=(Tie("run-out", (2, 3), "0.02"),),
)
RING = part(
    cylinder("80 h7", "14", "1x45°", "1x45°"),
    material="bronze",
    bore=Bore((cylinder("60 H7", "14", "1x45°"),), through=True),
)
CASES = {
    "between": (part(*BOTH, centre_hole="required"), "22"),
    "asked": (part(*BOTH), "22"),
    "one end": (part(*PIN, centre_hole="allowed"), "22"),
    "tied": (part(*BOTH, ties=(Tie("coaxial", (1, 3), "0.02"),)), "22"),
    "pulled": (part(*STEPS, centre_hole="not allowed"), "24"),
    "mandrel": (TIED, "45"),
    "ring": (RING, "85"),
}


@cache
def proposed(name: str) -> tuple[Job, str]:
    record, diameter = CASES[name]
    made = propose_setups(one(record, Blank(diameter, "100", "1"), "20"), SHOP)
    return checked(made.job), "; ".join(made.reasons)


@cache
def planned(name: str) -> Plan:
    return plan(proposed(name)[0])


@pytest.mark.parametrize("name", CASES)
def test_what_is_proposed_comes_out(name: str) -> None:
    made = planned(name)
    comes_out(made)
    told = {"stick-out", "grip-short", "grip-partly", "grip-on-finished", "tie-split"}
    assert told.isdisjoint(codes(made)), [f.message for f in made.findings if f.code in told]
    for setup in made.setups:
        assert setup.grip_mm > 0


def test_both_ends_of_a_slender_part_go_between_centres_where_holes_may_stay() -> None:
    job, why = proposed("between")
    assert [s.holding.kind for s in job.setups] == ["between centres"] * 2
    assert [s.turned for s in job.setups] == [False, True]
    assert (job.blank.length, job.blank.front) == ("150", "0")
    assert "6.8 times as long as the bar is thick" in why
    assert "centred A 2.5 at both ends" in why
    zero = planned("between").setups[1].zero_from
    assert "it runs true by itself" in zero
    assert "indicator" not in zero


def test_a_print_that_says_nothing_of_holes_gets_chuck_and_centre() -> None:
    job, why = proposed("asked")
    first, second = job.setups
    assert (first.holding.kind, first.holding.centre) == ("chuck", True)
    assert "is to be asked about" in why
    assert not second.holding.centre, "it reaches through the chuck: it stands out little"
    assert "centre-hole-not-said" in codes(planned("asked"))


def test_a_long_part_is_sawn_off_and_not_parted() -> None:
    """130 mm of Ø22 is 5.9 diameters: common practice parts nothing off with a long free end."""
    job, why = proposed("one end")
    assert [s.holding.centre for s in job.setups] == [True]
    assert "it is sawn off with the spindle standing" in why
    made = planned("one end")
    assert "part off" not in [o.kind for o in made.setups[0].operations]
    told = next(f for f in made.findings if f.code == "back-not-made")
    assert "5.9 times as long as it is thick it would whip" in told.message
    assert told.remedy.startswith("saw it off 1 mm behind that")


def test_what_no_blade_parts_is_sawn_off_without_a_stop() -> None:
    """The longest blade of the shop goes 25 mm deep; solid Ø78 has 39 to its axis."""
    job = one(part(cylinder("78", "30")), Blank("80", "80", "1"), "30")
    made = propose_setups(job, SHOP)
    assert made.job.setups[0].name == "Turned, to be sawn off"
    for asked in (job, checked(made.job)):
        found = plan(asked)
        assert codes(found, "stop") == []
        assert "part off" not in [o.kind for o in found.setups[0].operations]
        told = next(f for f in found.findings if f.code == "back-not-made")
        assert "no blade of the shop file goes 39.00 mm deep" in told.message


def test_tied_ends_stay_in_one_holding_on_the_centre() -> None:
    job, why = proposed("tied")
    assert job.setups[0].holding.centre
    assert job.setups[0].sections is None
    assert why.endswith("the first setup makes them in one holding")


def test_a_bar_is_pulled_out_where_no_hole_may_stay() -> None:
    job, why = proposed("pulled")
    assert [s.pull_out for s in job.setups] == [None, "40", "45"]
    assert [s.sections for s in job.setups] == [(1, 2), (1, 2, 3), None]
    assert "within 3 diameters of the jaws" in why
    made = planned("pulled")
    for before, setup in zip(made.setups, made.setups[1:], strict=False):
        assert setup.stick_out_mm > before.stick_out_mm
        starts = [m.to.z for p in setup.passes for m in p.moves[:1]]
        assert max(starts) < before.never_beyond_z + 3.0, "no cut runs along what is finished"


def test_a_pulled_out_bar_is_touched_on_its_finished_face_again() -> None:
    words = planned("pulled").setups[1].zero_from
    assert words.startswith("The bar was pulled out 40 mm: touch the finished front face")
    assert "enter Z 0.00 there" in words
    assert "A stop at the front face" in words
    assert "the shoulder at Z -65.00 must read so" in words
    assert "indicator on what was turned: within 0.02" in words


def test_the_outside_runs_on_a_mandrel_where_the_print_ties_it_to_the_bore() -> None:
    job, why = proposed("mandrel")
    first, second = job.setups
    assert first.sections == (3,), "the bore alone"
    assert second.holding.device == "Mandrel 18-25"
    assert "Ø30 h7 and bore Ø20 H7 are tied by the print" in why
    assert "within 0.02" in planned("mandrel").setups[1].zero_from
    loose = msgspec.structs.replace(TIED, ties=())
    made = propose_setups(one(loose, Blank("45", "100", "1"), "20"), SHOP)
    assert all(s.holding.device != "Mandrel 18-25" for s in made.job.setups)


def test_without_a_mandrel_of_its_size_soft_jaws_open_in_the_bore() -> None:
    wide = msgspec.structs.replace(
        TIED,
        sections=(cylinder("80", "8", "1x45°"), cylinder("70 h7", "25", None, "1x45°")),
        bore=Bore((cylinder("50 H7", "33", "0.5x45°"),), through=True),
    )
    made = propose_setups(one(wide, Blank("85", "100", "1"), "20"), SHOP)
    held = made.job.setups[1].holding
    assert (held.inside, held.soft_jaws) == (True, True)
    assert "opens Three-jaw 160 in bore Ø50 H7" in made.reasons[1]


def test_a_ring_is_held_in_its_bore() -> None:
    job, why = proposed("ring")
    assert job.setups[1].holding.inside
    assert "no cylinder is long enough for jaws" in why
    assert job.setups[1].holding.soft_jaws


def test_jaws_in_a_bore_end_behind_the_face_that_is_cut() -> None:
    """5 mm is what the shop keeps clear of jaws; a ring of 20 mm leaves them 15."""
    ring = part(
        cylinder("110", "20", "1x45°", "1x45°"),
        bore=Bore((cylinder("86 H7", "20", "1x45°", "1x45°"),), through=True),
    )
    tube = Blank("115", "60", "1", shape="tube", bore="80")
    held = propose_setups(one(ring, tube, "30"), SHOP).job.setups[1].holding
    assert (held.inside, held.grip) == (True, "15")


def test_what_nothing_supports_is_told() -> None:
    bored = part(*PIN, bore=Bore((cylinder("14", "20"),)), centre_hole="not allowed")
    thick = one(msgspec.structs.replace(bored), Blank("22", "100", "1"), "20", "Three-jaw 160")
    small = tuple(msgspec.structs.replace(c, bore_mm=0.0) for c in SHOP.chucks)
    made = propose_setups(thick, msgspec.structs.replace(SHOP, chucks=small))
    assert "set a steady rest, or take light cuts" in made.reasons[-1]


@st.composite
def slender(draw: st.DrawFn) -> tuple[PartRecord, str]:
    """Yield slender parts that grow toward the chuck, and what the print says of centre holes."""
    sizes = sorted(draw(st.lists(st.integers(10, 24), min_size=3, max_size=4, unique=True)))
    lengths = [draw(st.integers(25, 40)) for _ in sizes]
    end = draw(st.sampled_from((None, "1x45°")))
    last = len(sizes) - 1
    sections = [
        cylinder(str(d), str(n), None, end if i == last else None)
        for i, (d, n) in enumerate(zip(sizes, lengths, strict=True))
    ]
    hole = draw(st.sampled_from(("required", "not allowed", None)))
    return part(*sections, centre_hole=hole), str(sizes[-1] + 2)


@st.composite
def bored(draw: st.DrawFn) -> tuple[PartRecord, str]:
    """Yield rings and bushes, some of them with their outside tied to the bore."""
    small = draw(st.booleans())
    bore = 20 if small else draw(st.integers(50, 70))
    seat, flange = bore + draw(st.sampled_from((10, 14))), bore + 20
    tail, head = draw(st.integers(14, 25)), draw(st.integers(5, 10))
    tied = small or draw(st.booleans())
    made = part(
        cylinder(str(flange), str(head), "1x45°"),
        cylinder(f"{seat} h7", str(tail), None, "1x45°"),
        material="bronze",
        bore=Bore((cylinder(f"{bore} H7", str(head + tail), "0.5x45°"),), through=True),
        ties=(Tie("run-out", (2, 3), "0.02"),) if tied else (),
    )
    return made, str(flange + 5)


@settings(max_examples=2, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.one_of(slender(), bored()))
def test_random_parts_come_out_as_they_are_held(case: tuple[PartRecord, str]) -> None:
    record, diameter = case
    made = propose_setups(one(record, Blank(diameter, "100", "1"), "20"), SHOP)
    told = plan(checked(made.job))
    comes_out(told)
    assert {"grip-short", "grip-partly"}.isdisjoint(codes(told))
