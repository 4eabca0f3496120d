"""Edits of bores and grooves: numbers run on, and what names them follows."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.document.bores import (
    all_sections,
    bore_of,
    chain_of,
    chain_sections,
    offset_of_chain,
    set_bore,
)
from turnsketch.document.demo import load_demo
from turnsketch.document.edits import add_section, delete_sections
from turnsketch.document.grooves import add_groove, change_groove, remove_groove
from turnsketch.document.validate import checked
from turnsketch.job import Job
from turnsketch.part.records import Groove, Section


@pytest.fixture
def bush() -> Job:
    """Return a job with an outside and a bore in each end."""
    return load_demo("flanged_bush")


def test_numbers_run_on_from_the_outside_to_the_bores(bush: Job) -> None:
    part = bush.part
    outside = len(part.sections)
    assert offset_of_chain(part, "outside") == 0
    assert offset_of_chain(part, "bore") == outside
    for number, section in enumerate(all_sections(part), 1):
        chain = chain_of(part, number)
        assert chain is not None
        assert section in chain_sections(part, chain)
    assert chain_of(part, len(all_sections(part)) + 1) is None


def test_a_section_more_outside_moves_the_numbers_behind_it(bush: Job) -> None:
    number = offset_of_chain(bush.part, "bore") + 1
    groove = Groove("plain", number, from_front="5", width="2", diameter="22")
    job = add_groove(bush, groove)
    more = add_section(job, Section("cylinder", diameter="40", length="3"), None, "outside")
    assert more.part.grooves[0].section == number + 1
    fewer = delete_sections(more, {offset_of_chain(more.part, "bore")})
    assert fewer.part.grooves[0].section == number


def test_a_bore_is_begun_by_its_first_section_and_told_how_it_ends() -> None:
    job = load_demo("stepped_pin")
    assert bore_of(job.part, "bore") is None
    job = add_section(job, Section("cylinder", diameter="6", length="10"), None, "bore")
    job = set_bore(job, "bore", through=False, bottom="118°")
    bore = bore_of(job.part, "bore")
    assert bore is not None
    assert (len(bore.sections), bore.through, bore.bottom) == (1, False, "118°")
    assert checked(job) == job, "the door lets it in"
    gone = delete_sections(job, {offset_of_chain(job.part, "bore") + 1})
    assert bore_of(gone.part, "bore") is None


def test_grooves_come_change_and_go() -> None:
    job = load_demo("stepped_pin")
    first = Groove("plain", 2, from_front="5", width="3", diameter="20")
    job = add_groove(job, first)
    job = change_groove(job, 1, width="4")
    assert job.part.grooves == (msgspec.structs.replace(first, width="4"),)
    assert remove_groove(job, 1).part.grooves == ()
