"""The mark names a state; the schema tells other programs what a file may hold."""

from __future__ import annotations

import re

import msgspec
import pytest

from tests.document.jobs import PIN
from turnsketch.document.schema import SCHEMAS, schema
from turnsketch.errors import InputError
from turnsketch.job import Operation
from turnsketch.mark import mark
from turnsketch.shop.files import demo_shop

replace = msgspec.structs.replace


def test_the_mark_is_eight_hex_digits_and_stays_the_same() -> None:
    first = mark(PIN, demo_shop(), "1.0")
    assert re.fullmatch(r"[0-9a-f]{8}", first)
    assert mark(PIN, demo_shop(), "1.0") == first


def test_the_mark_changes_with_what_the_plan_depends_on() -> None:
    shop = demo_shop()
    first = mark(PIN, shop, "1.0")
    lathe = replace(shop.lathes[0], power_kw=9.0)
    tool = replace(shop.tools[0], nose_radius_mm=0.4)
    changed = [
        mark(replace(PIN, note="deburr"), shop, "1.0"),
        mark(PIN, shop, "1.1"),
        mark(PIN, replace(shop, lathes=(lathe, *shop.lathes[1:])), "1.0"),
        mark(PIN, replace(shop, tools=(tool, *shop.tools[1:])), "1.0"),
        mark(PIN, replace(shop, limits=replace(shop.limits, greatest_rpm=900.0)), "1.0"),
    ]
    assert first not in changed
    assert len(set(changed)) == len(changed)


def test_the_mark_does_not_change_with_what_the_job_cannot_reach() -> None:
    shop = demo_shop()
    other_lathe = replace(shop.lathes[-1], power_kw=9.0)
    assert mark(PIN, replace(shop, lathes=(*shop.lathes[:-1], other_lathe)), "1.0") == mark(
        PIN, shop, "1.0"
    )
    setup = replace(PIN.setups[0], operations=(Operation(kind="rough", tool=1),))
    job = replace(PIN, setups=(setup,))
    last = replace(shop.tools[-1], width_mm=9.0)
    assert mark(job, replace(shop, tools=(*shop.tools[:-1], last)), "1.0") == mark(job, shop, "1.0")


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_a_schema_names_every_field_of_its_records(name: str) -> None:
    made = schema(name)
    top = made["$defs"][SCHEMAS[name].__name__]
    assert set(top["properties"]) == set(SCHEMAS[name].__struct_encode_fields__)
    assert {"format", "version"} <= set(top["required"])
    assert all("description" in d for d in made["$defs"].values() if d["type"] == "object")


def test_the_words_beside_a_field_stand_in_the_schema() -> None:
    section = schema("job")["$defs"]["Section"]["properties"]
    assert section["front_corner"]["description"].startswith("Chamfer (")
    passes = schema("plan")["$defs"]["Pass"]["properties"]
    assert "degree" not in passes["last_on_surface"]["description"]
    assert passes["pass" if "pass" in passes else "number"]


def test_there_is_no_other_schema() -> None:
    with pytest.raises(InputError, match="job, plan, shop"):
        schema("desk")
