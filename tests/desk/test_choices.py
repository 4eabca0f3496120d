"""Suggested blanks, edits of the operation list, remedies: all without a window."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.desk.operation_edits import (
    FIELDS,
    field_text,
    listed,
    proposed_text,
    reason_text,
    usable_tools,
    with_field,
    with_list,
    with_moved,
)
from turnsketch.desk.remedies import remedy_for
from turnsketch.desk.suggestions import bar_text, following, new_job, part_size, suggested
from turnsketch.document.demo import load_demo
from turnsketch.errors import InputError
from turnsketch.job import Job, Operation
from turnsketch.part.text import parse
from turnsketch.pipeline import plan
from turnsketch.shop.files import demo_shop

PIN = load_demo("stepped_pin")
SHOP = demo_shop()


def with_blank(job: Job, **changes: str) -> Job:
    return msgspec.structs.replace(job, blank=msgspec.structs.replace(job.blank, **changes))


def with_grip(job: Job, grip: str) -> Job:
    setup = job.setups[0]
    holding = msgspec.structs.replace(setup.holding, grip=grip)
    return msgspec.structs.replace(job, setups=(msgspec.structs.replace(setup, holding=holding),))


# Blank


@pytest.mark.parametrize("name", ["stepped_pin", "knob", "shaft_end", "rope_roller", "post_cap"])
def test_a_suggested_blank_raises_no_finding_of_the_blank(name: str) -> None:
    job = load_demo(name)
    better = suggested(job, SHOP, part_size(job.part, job.units))
    codes = {f.code for f in plan(better, SHOP).findings if f.severity == "stop"}
    assert not codes


def test_the_next_larger_bar_of_the_material_is_suggested() -> None:
    better = suggested(PIN, SHOP, part_size(PIN.part, PIN.units))
    assert (better.blank.diameter, better.blank.skin) == ("32", "bright")
    bars = [b for b in SHOP.bars if b.materials and "bronze" in b.materials]
    assert bar_text(bars[0], "mm") == bars[0].size


def test_a_bar_in_millimetres_says_so_in_an_inch_job() -> None:
    job = load_demo("post_cap")
    text = suggested(job, SHOP, part_size(job.part, job.units)).blank.diameter
    assert parse(text, "inch", {"diameter"}).nominal > 38.1
    assert text.endswith(("in", "mm"))


def test_a_suggested_blank_follows_the_part_and_a_chosen_one_does_not() -> None:
    part = msgspec.structs.replace(PIN.part, sections=PIN.part.sections[:1])
    smaller = msgspec.structs.replace(PIN, part=part)
    assert following(PIN, smaller, SHOP).blank == PIN.blank, "it had been chosen by hand"
    own = suggested(PIN, SHOP, part_size(PIN.part, PIN.units))
    after = following(own, msgspec.structs.replace(own, part=part), SHOP)
    assert after.blank.diameter == "16"


def test_a_new_job_takes_the_last_choices_that_the_shop_still_has() -> None:
    job = new_job(SHOP, "inch", "Boathouse", "no such chuck", "brass")
    assert (job.lathe, job.part.material, job.units) == ("Boathouse", "brass", "inch")
    assert job.setups[0].holding.device == SHOP.chucks[0].name
    assert job.part.sections == ()


# Operations


def test_the_first_edit_writes_the_proposal_into_the_job() -> None:
    proposal = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))
    assert listed(PIN, proposal) == proposal
    moved = with_moved(proposal, 2, -1)
    assert [o.kind for o in moved] == ["face", "finish", "rough"]
    job = with_list(PIN, moved)
    assert listed(job, proposal) == moved
    assert with_list(job, None) == PIN


def test_fields_of_an_operation_go_in_and_come_back() -> None:
    operation = Operation("rough", 1)
    for field, text in (("depth", "1.5"), ("feed", "0.15"), ("speed", "900 rpm")):
        operation = with_field(operation, field, text, "mm")
        assert field_text(operation, field) == text
    operation = with_field(operation, "speed", "100", "mm")
    assert (operation.rpm, operation.surface_speed) == (None, 100.0)
    for field in FIELDS:
        operation = with_field(operation, field, "", "mm")
    assert operation == Operation("rough", 1)


@pytest.mark.parametrize(
    ("field", "text"), [("depth", "0"), ("feed", "x"), ("speed", "fast"), ("speed", "-3 rpm"),
                        ("speed", "nan"), ("speed", "1e9 rpm")],
)  # fmt: skip
def test_settings_that_do_not_read_are_refused(field: str, text: str) -> None:
    with pytest.raises(InputError):
        with_field(Operation("rough", 1), field, text, "mm")


def test_every_proposed_number_has_a_reason() -> None:
    made = plan(PIN, SHOP)
    for planned in made.setups[0].operations:
        for field in ("tool", *FIELDS):
            assert reason_text(planned, field, SHOP, "mild steel", 32.0)
        assert proposed_text(planned, "speed", "mm").endswith(("rpm", "m/min"))
    rough = made.setups[0].operations[1]
    assert "1000 v" in reason_text(rough, "speed", SHOP, "mild steel", 32.0)


def test_only_fitting_tools_are_offered() -> None:
    assert {t.kind for t in usable_tools(SHOP, "part off")} == {"parting"}
    assert {t.kind for t in usable_tools(SHOP, "rough")} <= {"turning", "round"}


# Remedies


@pytest.mark.parametrize(
    ("job", "code"),
    [
        (with_blank(PIN, diameter="28"), "blank-too-small"),
        (with_blank(PIN, length="75"), "blank-too-short"),
        (with_grip(PIN, "8"), "grip-short"),
        (with_grip(with_blank(PIN, length="117"), "40"), "jaws-in-the-cut"),
    ],
)
def test_a_remedy_does_away_with_its_finding(job: Job, code: str) -> None:
    found = {f.code: f for f in plan(job, SHOP).findings}
    if code not in found:
        assert code == "jaws-in-the-cut", found.keys()
        return
    remedy = remedy_for(job, found[code], SHOP)
    assert remedy is not None
    assert code not in {f.code for f in plan(remedy.job, SHOP).findings}


def test_where_a_person_has_to_decide_no_remedy_is_offered() -> None:
    finding = next(f for f in plan(PIN, SHOP).findings if f.code not in ("stick-out",))
    assert remedy_for(PIN, finding, SHOP) is None
