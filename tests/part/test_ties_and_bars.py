"""Tied surfaces, and sections that may stay as the bright bar came."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.errors import InputError
from turnsketch.part.bright_bar import left_as_bar
from turnsketch.part.records import PartRecord, Section, Tie
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import plan

but = msgspec.structs.replace


def part(*diameters: str, ties: tuple[Tie, ...] = ()) -> PartRecord:
    sections = tuple(Section("cylinder", name=f"s{d}", diameter=d, length="10") for d in diameters)
    return PartRecord("part", sections, ties=ties)


def test_a_tie_is_a_row_of_the_inspection() -> None:
    rows = resolve(part("10", "20", ties=(Tie("run-out", (1, 2), "0.02"),)), "mm").inspection
    assert rows[-1].what == "run-out, s10 to s20"
    assert (rows[-1].size.lower, rows[-1].size.upper) == (0.0, 0.02)


@pytest.mark.parametrize(
    ("tie", "place"),
    [
        (Tie("coaxial", (1,), "0.02"), "part.ties[0].sections"),
        (Tie("coaxial", (1, 9), "0.02"), "part.ties[0].sections"),
        (Tie("square", (1, 2), "often"), "part.ties[0].value"),
    ],
)
def test_a_tie_that_says_nothing_is_refused_with_its_place(tie: Tie, place: str) -> None:
    with pytest.raises(InputError) as caught:
        resolve(part("10", "20", ties=(tie,)), "mm")
    assert caught.value.where == place


def test_tied_seats_finished_in_one_holding_are_no_finding() -> None:
    job = load_demo("slender_pin")
    assert job.part.ties
    assert "tie-split" not in [f.code for f in plan(job).findings]


def test_a_section_that_may_be_bar_is_aimed_at_the_bar() -> None:
    """Ø30 +0.1/-0.3 holds the whole of 30 h11 (-0.130 to 0, ISO 286-2): aim 30, not 29.9."""
    found = left_as_bar(part("20", "30 +0.1/-0.3"), "mm", 30.0)
    assert resolve(found, "mm").sections[1].diameter is not None
    assert resolve(found, "mm").sections[1].diameter.aim == 30.0  # type: ignore[union-attr]


@pytest.mark.parametrize("text", ["30 h6", "30 +0.1/-0.05", "29.5", "30 aim 29.9", "(30)"])
def test_others_are_turned(text: str) -> None:
    before = part("20", text)
    assert left_as_bar(before, "mm", 30.0) == before


def test_a_surface_with_its_own_roughness_is_turned() -> None:
    fine = Section("cylinder", diameter="30 +0.1/-0.3", length="10", roughness="Ra 1.6")
    before = PartRecord("part", (fine,))
    assert left_as_bar(before, "mm", 30.0) == before


def test_the_plan_leaves_such_a_section_alone() -> None:
    job = load_demo("stepped_pin")
    sections = (*job.part.sections[:2], but(job.part.sections[2], diameter="32 +0.1/-0.3"))
    job = but(job, part=but(job.part, sections=sections))
    sections_cut = {p.section for p in plan(job).setups[0].passes if p.operation == "finish"}
    assert 3 not in sections_cut
    black = but(job, blank=but(job.blank, skin="black"))
    sections_cut = {p.section for p in plan(black).setups[0].passes if p.operation == "finish"}
    assert 3 in sections_cut
