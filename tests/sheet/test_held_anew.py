"""The row before a setup: what is loosened, what stays clamped, what makes it fast."""

from __future__ import annotations

import pytest

from turnsketch.document.sheets import plan, sheet_input
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.sheet.content import sheet_numbers
from turnsketch.sheet.held_anew import opening_words

PIN = PartRecord(
    name="Oar pin",
    material="mild steel",
    sections=(
        Section("cylinder", diameter="20", length="30"),
        Section("cylinder", diameter="24", length="20"),
    ),
)
BUSH = PartRecord(
    name="Rudder bush",
    material="bronze",
    sections=(Section("cylinder", diameter="38", length="30"),),
    bore=Bore((Section("cylinder", diameter="20 H7"),), through=True),
)


def row(part: PartRecord, blank: Blank, *setups: Setup) -> str:
    made = plan(Job(units="mm", part=part, blank=blank, lathe="Slipway 1", setups=setups))
    given = sheet_input(made)
    return opening_words(given, made.setups[1], sheet_numbers(given))


def test_taking_the_centre_out_loosens_nothing() -> None:
    held = Holding("Three-jaw 160", "22", centre=True)
    first = Setup(held, sections=(1, 2))
    text = row(
        PIN,
        Blank(diameter="28", length="90", front="1"),
        first,
        Setup(Holding("Three-jaw 160", "22")),
    )
    assert "Leave the work clamped" in text
    assert "Tailstock back, centre out" in text
    assert "Loosen" not in text
    assert "key" not in text
    assert "stays in its holding" in text


@pytest.mark.parametrize("grip", ["22", "30"])
def test_work_that_is_gripped_elsewhere_is_loosened(grip: str) -> None:
    first = Setup(Holding("Three-jaw 160", "22"), sections=(1,))
    second = Setup(Holding("Three-jaw 160", grip))
    text = row(PIN, Blank(diameter="28", length="100", front="1"), first, second)
    assert ("Loosen" in text) == ("take the key out" in text) == (grip != "22")


def test_a_mandrel_has_no_key() -> None:
    first = Setup(Holding("Three-jaw 160", "10"), sections=(2,))
    tube = Blank(diameter="40", length="42", front="1", shape="tube", bore="20")
    second = Setup(Holding("Mandrel 18-25", "26", inside=True), turned=True)
    text = row(BUSH, tube, first, second)
    assert "put it on Mandrel 18-25, expand the mandrel" in text
    assert "key" not in text
