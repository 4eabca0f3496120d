"""Edits on the board of any chain: drawing behind the last section, and what deleting leaves."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.document.bore_pencil import bore_pencil
from turnsketch.document.chain_edits import bend_in_chain, draw_in_chain, move_in_chain
from turnsketch.document.chain_pencil import ChainPencil, mouth_in_front
from turnsketch.document.demo import load_demo
from turnsketch.document.edits import delete_sections
from turnsketch.document.pencil import pencil_of
from turnsketch.document.vertices import bend, move_vertex
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Bore, Drawn, PartRecord, Section

WIDE = Section("cylinder", diameter="26", length="6")
NARROW = Section("cylinder", diameter="20 H7")


def job_with(bore: Bore | None) -> Job:
    body = Section("cylinder", diameter="40", length="30")
    part = PartRecord("Bush", (body,), bore=bore)
    return msgspec.structs.replace(load_demo("stepped_pin"), part=part)


def test_a_drawn_bore_is_blind_until_a_section_comes_out() -> None:
    job = draw_in_chain(job_with(None), WIDE, "bore")
    assert job.part.bore == Bore((WIDE,))
    job = draw_in_chain(job, NARROW, "bore", through=True)
    assert job.part.bore == Bore((WIDE, NARROW), through=True)


def test_a_bottom_stays_while_one_draws_on() -> None:
    job = draw_in_chain(job_with(Bore((WIDE,), bottom="118°")), WIDE, "bore")
    assert job.part.bore == Bore((WIDE, WIDE), bottom="118°")
    through = draw_in_chain(job, NARROW, "bore", through=True)
    assert through.part.bore == Bore((WIDE, WIDE, NARROW), through=True)


def test_there_is_no_bore_in_nothing() -> None:
    empty = msgspec.structs.replace(job_with(None), part=PartRecord("New", ()))
    with pytest.raises(InputError, match="outside first"):
        draw_in_chain(empty, WIDE, "bore_back")
    assert draw_in_chain(empty, WIDE, "outside").part.sections == (WIDE,)


@pytest.mark.parametrize(
    ("left", "through"),
    [
        (WIDE, False),
        (Section("cylinder", drawn=Drawn(Point(-6.0, 13.0))), False),
        (Section("cylinder", diameter="26"), True),
    ],
)
def test_a_through_bore_is_blind_without_the_section_that_came_out(
    left: Section, through: bool
) -> None:
    job = job_with(Bore((left, NARROW), through=True))
    assert delete_sections(job, {3}).part.bore == Bore((left,), through=through)
    assert delete_sections(job, {2}).part.bore == Bore((NARROW,), through=True)
    assert delete_sections(job, {2, 3}).part.bore is None


def test_a_blind_bottom_stays_inside_the_part_and_a_through_one_at_its_end() -> None:
    job = job_with(Bore((WIDE,)))
    bore = bore_pencil(job.part, "mm", "bore", 30.0)
    assert bore is not None
    moved = move_in_chain(job, bore, 2, Point(-50.0, 13.0)).part.bore
    assert moved is not None
    assert moved.sections[0].length == "29.5"
    job = job_with(Bore((NARROW,), through=True))
    bore = bore_pencil(job.part, "mm", "bore", 30.0)
    assert bore is not None
    assert move_in_chain(job, bore, 2, Point(-20.0, 10.0)) == job


def test_the_outside_is_one_chain_of_three() -> None:
    job = load_demo("stepped_pin")
    pencil = pencil_of(job.part, job.units)
    chain = ChainPencil("outside", 0, pencil, 66.0, len(job.part.sections))
    to = Point(-24.0, 7.0)
    assert move_in_chain(job, chain, 2, to) == move_vertex(job, pencil, 2, to) != job
    assert bend_in_chain(job, chain, 2, 0.2) == bend(job, pencil, 2, 0.2) != job
    assert chain.ends(2) == pencil.ends(2)


@pytest.mark.parametrize("chain", ["outside", "bore", "bore_back"])
def test_turned_twice_a_place_is_where_it_was(chain: str) -> None:
    at = Point(-7.0, 3.0)
    there = mouth_in_front(chain, at, 30.0)  # type: ignore[arg-type]
    assert there == (Point(-23.0, 3.0) if chain == "bore_back" else at)
    assert mouth_in_front(chain, there, 30.0) == at  # type: ignore[arg-type]
