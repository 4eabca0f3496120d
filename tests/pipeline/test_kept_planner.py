"""A planner that is kept while the job is edited plans what a new one does."""

from __future__ import annotations

import msgspec
import pytest

from tests.pipeline.turned_jobs import cylinder
from turnsketch.document.demo import load_demo
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import Planner

but = msgspec.structs.replace


def wider_chamfers() -> tuple[Job, Job]:
    """Return the pin, and the pin with every front chamfer wider."""
    job = load_demo("stepped_pin")
    sections = tuple(
        but(s, front_corner="1.5x45°") if s.front_corner == "1x45°" else s
        for s in job.part.sections
    )
    return job, but(job, part=but(job.part, sections=sections))


def turned_around_later() -> tuple[Job, Job]:
    """Return a bush in one setup that makes its front, and with a setup that turns it around."""
    sections = (cylinder("32", "38"), cylinder("40", "10"))
    bore = Bore((Section("cylinder", diameter="20"),), through=True)
    part = PartRecord("bush", sections, material="bronze", bore=bore)
    first = Setup(Holding("Three-jaw 160", "25"), sections=(1, 3))
    second = Setup(Holding("Three-jaw 160", "20", soft_jaws=True), turned=True)
    job = Job(part, Blank("42", "100"), "Slipway 1", (first,))
    return job, but(job, setups=(first, second))


def made_in_steps() -> tuple[Job, Job]:
    """Return the knob with its proposed list, and with its finish made in steps."""
    job = load_demo("knob")
    operations = Planner().propose(job)
    stepped = tuple(but(o, means="steps") if o.kind == "finish" else o for o in operations)

    def listed(these: tuple[object, ...]) -> Job:
        return but(job, setups=(but(job.setups[0], operations=these),))

    return listed(operations), listed(stepped)


def not_turned_around() -> tuple[Job, Job]:
    """Return the bush, and the bush whose second setup is not turned around."""
    job = load_demo("flanged_bush")
    first, second = job.setups
    return job, but(job, setups=(first, but(second, turned=False)))


EDITS = {
    one.__name__: one
    for one in (wider_chamfers, turned_around_later, made_in_steps, not_turned_around)
}


@pytest.mark.parametrize("edit", EDITS)
@pytest.mark.parametrize("back", [False, True])
def test_an_edit_shows_in_the_plan(edit: str, *, back: bool) -> None:
    before, after = EDITS[edit]() if not back else EDITS[edit]()[::-1]
    kept = Planner()
    kept.plan(before)
    assert kept.plan(after) == Planner().plan(after)
