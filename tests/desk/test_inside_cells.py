"""Cells of bores, threads, knurls and grooves as text: what is typed there, and what is shown."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.desk.blank_steps import steps_text, with_steps
from turnsketch.desk.chain_cells import (
    chain_cell_text,
    cylinders,
    end_of_bore,
    section_in_chain,
    with_chain_cell,
)
from turnsketch.desk.groove_cells import groove_cell_text, groove_uses, with_groove_cell
from turnsketch.document.bores import all_sections, set_bore
from turnsketch.document.demo import load_demo
from turnsketch.errors import InputError
from turnsketch.job import Blank, BlankStep, Job
from turnsketch.part.records import Groove, LengthDimension, Place, Section, Tie


def bush() -> Job:
    return load_demo("flanged_bush")


def test_a_bore_reads_as_the_outside_does() -> None:
    job = bush()
    assert chain_cell_text(job.part, "bore", 0, "diameter") == "20 H7"
    assert chain_cell_text(job.part, "bore", 0, "length") == "through"
    assert chain_cell_text(job.part, "bore_back", 0, "length") == "4"
    assert section_in_chain(job.part, 4) == ("bore_back", 0)
    assert cylinders(job.part) == [1, 2, 3, 4]


def test_a_section_more_in_a_bore_moves_what_stands_behind() -> None:
    job = bush()
    tie = Tie("coaxial", (3, 4), "0.02")
    job = msgspec.structs.replace(job, part=msgspec.structs.replace(job.part, ties=(tie,)))
    longer = with_chain_cell(job, "bore", 1, "diameter", "16")
    assert [s.diameter for s in all_sections(longer.part)][2:] == ["20 H7", "16", "28 H11"]
    assert longer.part.ties == (Tie("coaxial", (3, 5), "0.02"),)
    assert chain_cell_text(longer.part, "bore", 1, "length") == "through"


def test_a_section_more_outside_moves_the_lengths_of_a_bore() -> None:
    job = with_chain_cell(bush(), "bore", 0, "length", "12 from mouth")
    assert job.part.bore is not None
    assert job.part.bore.lengths == (LengthDimension(Place(3, "front"), Place(3, "back"), "12"),)
    longer = with_chain_cell(job, "outside", 2, "diameter", "52")
    assert longer.part.bore is not None
    where = longer.part.bore.lengths[0]
    assert (where.start.section, where.end.section) == (4, 4)
    assert chain_cell_text(longer.part, "bore", 0, "length") == "12 from mouth"


def test_a_length_in_the_last_section_makes_a_bore_blind_and_through_opens_it() -> None:
    job = set_bore(bush(), "bore_back", through=False)
    alone = msgspec.structs.replace(job, part=msgspec.structs.replace(job.part, bore_back=None))
    blind = with_chain_cell(alone, "bore", 0, "length", "18")
    assert end_of_bore(blind.part, "bore") == "flat"
    again = with_chain_cell(blind, "bore", 0, "length", "thr")
    assert end_of_bore(again.part, "bore") == "through"
    assert again.part.bore == alone.part.bore
    into = with_chain_cell(job, "bore", 0, "length", "36")
    assert end_of_bore(into.part, "bore") == "through", "it opens into the other end's bore"


@pytest.mark.parametrize("text", ["12 from the middle", "deep", "0x"])
def test_a_length_that_does_not_read_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        with_chain_cell(bush(), "bore", 0, "length", text)


def test_only_the_innermost_section_goes_through() -> None:
    job = with_chain_cell(bush(), "bore", 1, "diameter", "16")
    with pytest.raises(InputError, match="last row"):
        with_chain_cell(job, "bore", 0, "length", "through")


def test_a_thread_takes_the_place_of_the_diameter_or_stands_beside_it() -> None:
    job = load_demo("stepped_pin")
    alone = with_chain_cell(job, "outside", 0, "diameter", "M12x1.75-6g, 18 long")
    assert alone.part.sections[0].diameter is None
    assert alone.part.sections[0].thread == "M12x1.75-6g"
    assert alone.part.sections[0].thread_length == "18"
    assert chain_cell_text(alone.part, "outside", 0, "diameter") == "M12x1.75-6g, 18 long"
    assert chain_cell_text(alone.part, "outside", 0, "slope") == ""
    beside = with_chain_cell(job, "outside", 0, "slope", "M16")
    assert beside.part.sections[0].diameter == job.part.sections[0].diameter
    assert chain_cell_text(beside.part, "outside", 0, "slope") == "M16"
    assert with_chain_cell(beside, "outside", 0, "slope", "") == job
    plain = with_chain_cell(alone, "outside", 0, "diameter", "12")
    assert (plain.part.sections[0].diameter, plain.part.sections[0].thread) == ("12", None)


def test_a_thread_of_the_other_side_is_refused() -> None:
    with pytest.raises(InputError):
        with_chain_cell(bush(), "bore", 0, "diameter", "M20-6g")
    with pytest.raises(InputError):
        with_chain_cell(bush(), "outside", 0, "diameter", "M30-6H")


def test_a_knurl_stands_outside_alone() -> None:
    job = with_chain_cell(bush(), "outside", 1, "slope", "rge 1.0")
    assert job.part.sections[1].knurl == "RGE 1.0"
    assert chain_cell_text(job.part, "outside", 1, "slope") == "RGE 1.0"
    with pytest.raises(InputError, match="bore"):
        with_chain_cell(bush(), "bore", 0, "slope", "RGE 1.0")


@pytest.mark.parametrize(
    ("column", "text", "groove"),
    [
        ("kind", "ri clip", Groove("ring", 2, name="clip")),
        ("kind", "undercut F seat", Groove("undercut F", 2, name="seat")),
        ("kind", "e", Groove("undercut E", 2)),
        ("kind", "relief", Groove("thread relief", 2)),
        ("kind", "oil", Groove("plain", 2, name="oil")),
        ("section", "1", Groove("plain", 1)),
        ("place", "5", Groove("plain", 2, from_front="5")),
        ("place", "5 from mouth", Groove("plain", 2, from_front="5")),
        ("place", "5 from f; 3 from b", Groove("plain", 2, from_front="5", from_back="3")),
        ("width", "2", Groove("plain", 2, width="2")),
        ("diameter", "20 h11", Groove("plain", 2, diameter="20 h11")),
        ("corner", "R0.2; 15°", Groove("plain", 2, corner="R0.2", angle="15°")),
        ("size", "25x1.2", Groove("plain", 2, size="25x1.2")),
        ("size", "DIN 76-1 - B", Groove("plain", 2, size="DIN 76-1 - B")),
    ],
)
def test_a_cell_of_a_groove_takes_text(column: str, text: str, groove: Groove) -> None:
    job = with_groove_cell(bush(), 0, column, text, chosen=2)
    assert job.part.grooves == (groove,)
    shown = groove_cell_text(groove, column)
    assert with_groove_cell(job, 0, column, shown).part.grooves == (groove,), "as it is shown"
    assert groove_uses(groove, "place")


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("section", "9"), ("section", "two"), ("place", "5 from under"), ("place", "x"),
        ("width", "wide"), ("diameter", "M8"), ("corner", "1:10"),
    ],
)  # fmt: skip
def test_a_cell_of_a_groove_refuses_what_does_not_read(column: str, text: str) -> None:
    with pytest.raises(InputError):
        with_groove_cell(bush(), 0, column, text)


def test_a_new_groove_stands_in_a_cylinder() -> None:
    job = bush()
    assert with_groove_cell(job, 0, "kind", "plain", 4).part.grooves[0].section == 4
    assert with_groove_cell(job, 0, "kind", "plain").part.grooves[0].section == 2
    cone = Section("taper", front_diameter="10", back_diameter="20", length="30")
    part = msgspec.structs.replace(job.part, sections=(cone,), bore=None, bore_back=None, ties=())
    with pytest.raises(InputError, match="cylinder"):
        with_groove_cell(msgspec.structs.replace(job, part=part), 0, "kind", "plain")


def test_steps_of_a_blank_read_as_they_are_shown() -> None:
    blank = with_steps(Blank("50", "80"), "40x12; 28 x 30 bore 10", "mm")
    assert blank.steps == (BlankStep("40", "12"), BlankStep("28", "30", "10"))
    assert (blank.shape, blank.diameter, blank.length) == ("steps", "40", "42")
    assert with_steps(blank, steps_text(blank.steps), "mm") == blank
    for text in ("", "40", "40x0", "axb", "40x12 bore"):
        with pytest.raises(InputError):
            with_steps(blank, text, "mm")
