"""The door: what it lets in, what it refuses, and where it says the fault is."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given

from tests.document.jobs import PIN, jobs
from turnsketch.document.files import dumps, loads
from turnsketch.document.validate import MAX_SECTIONS, checked
from turnsketch.errors import InputError
from turnsketch.job import Job, Operation

OPERATION = {"kind": "rough"}


@given(jobs())
def test_a_sound_job_goes_through_unchanged(job: Job) -> None:
    assert checked(job) == job


def changed(path: str, value: object) -> bytes:
    """Return the pin's file with one value put in at a path like ``part.sections.0.kind``."""
    tree: Any = json.loads(dumps(PIN))
    *way, last = path.split(".")
    node = tree
    for step in way:
        node = node[int(step) if isinstance(node, list) else step]
    node[int(last) if isinstance(node, list) else last] = value
    return json.dumps(tree).encode()


@pytest.mark.parametrize(
    ("path", "value", "where"),
    [
        ("part.name", " ", "part.name"),
        ("part.sections", [], "part.sections"),
        ("part.sections.0.diameter", "12 mm mm", "part.sections[0].diameter"),
        ("part.sections.0.diameter", "", "part.sections[0].diameter"),
        ("part.sections.0.diameter", "15°", "part.sections[0].diameter"),
        ("part.sections.0.diameter", "0", "part.sections[0].diameter"),
        ("part.sections.0.length", "-20", "part.sections[0].length"),
        ("part.sections.0.angle", "15°", "part.sections[0].angle"),
        ("part.sections.0.front_corner", "1x45°x", "part.sections[0].front_corner"),
        ("part.sections.0.roughness", "smooth", "part.sections[0].roughness"),
        ("part.sections.0.drawn", {"to": [-1e6, 6]}, "part.sections[0].drawn.to"),
        ("part.sections.0.drawn", {"to": [-1, 6], "bulge": 1e6}, "part.sections[0].drawn.bulge"),
        ("part.roughness", "Ra", "part.roughness"),
        ("part.inside_corners", "0.8 h6", "part.inside_corners"),
        ("blank.diameter", "big", "blank.diameter"),
        ("blank.length", "90 m", "blank.length"),
        ("blank.length", "20000", "blank.length"),
        ("blank.diameter", "0", "blank.diameter"),
        ("blank.bore", "wide", "blank.bore"),
        ("blank.bore", "10", "blank.bore"),
        ("blank.shape", "tube", "blank.bore"),
        ("blank.shape", "steps", "blank.steps"),
        ("blank.steps", [{"diameter": "thick", "length": "5"}], "blank.steps[0].diameter"),
        ("blank.steps", [{"diameter": "30", "length": "0"}], "blank.steps[0].length"),
        ("blank.steps", [{"diameter": "30", "length": "5"}] * 101, "blank.steps"),
        ("blank.steps", [{"diameter": "30", "length": "5"}], "blank.steps"),
        ("lathe", "", "lathe"),
        ("setups", [], "setups"),
        ("setups.0.holding.device", "", "setups[0].holding.device"),
        ("setups.0.holding.grip", "tight", "setups[0].holding.grip"),
        ("setups.0.holding.steady", "far", "setups[0].holding.steady"),
        (
            "setups.0.holding",
            {"device": "Driver plate 160", "kind": "between centres", "inside": True},
            "setups[0].holding.inside",
        ),
        (
            "setups.0.holding",
            {"device": "Driver plate 160", "kind": "between centres", "soft_jaws": True},
            "setups[0].holding.soft_jaws",
        ),
        ("setups.0.zero", "x", "setups[0].zero"),
        ("setups.0.operations", [], "setups[0].operations"),
        ("setups.0.operations", [OPERATION] * 201, "setups[0].operations"),
        ("setups.0.operations", [OPERATION | {"tool": 0}], "setups[0].operations[0].tool"),
        ("setups.0.operations", [OPERATION | {"tool": -3}], "setups[0].operations[0].tool"),
        ("setups.0.operations", [OPERATION | {"rpm": 0}], "setups[0].operations[0].rpm"),
        ("setups.0.operations", [OPERATION | {"rpm": 1e6}], "setups[0].operations[0].rpm"),
        ("setups.0.operations", [OPERATION | {"feed": "fast"}], "setups[0].operations[0].feed"),
        (
            "setups.0.operations",
            [OPERATION | {"sections": [1, 3]}],
            "setups[0].operations[0].sections[1]",
        ),
        (
            "setups.0.operations",
            [OPERATION | {"sections": [2, 2]}],
            "setups[0].operations[0].sections[1]",
        ),
        (
            "part.lengths",
            [
                {
                    "from": {"section": 1, "at": "front"},
                    "to": {"section": 1, "at": "front"},
                    "text": "5",
                }
            ],
            "part.lengths[0]",
        ),
        (
            "part.lengths",
            [
                {
                    "from": {"section": 1, "at": "front"},
                    "to": {"section": 9, "at": "back"},
                    "text": "5",
                }
            ],
            "part.lengths[0].to.section",
        ),
    ],
)
def test_the_fault_is_named_with_its_place(path: str, value: object, where: str) -> None:
    with pytest.raises(InputError) as caught:
        loads(changed(path, value), "pin")
    assert caught.value.where == f"pin: {where}"


def test_more_sections_than_a_part_can_have_are_refused() -> None:
    section = {"kind": "cylinder", "diameter": "12", "length": "1"}
    with pytest.raises(InputError, match=str(MAX_SECTIONS)):
        loads(changed("part.sections", [section] * (MAX_SECTIONS + 1)))


def test_a_value_made_in_python_is_checked_as_strictly() -> None:
    setup = PIN.setups[0]
    bad = Operation(kind="rough", rpm=float("nan"))
    with pytest.raises(InputError) as caught:
        checked(
            Job(
                part=PIN.part,
                blank=PIN.blank,
                lathe=PIN.lathe,
                setups=(type(setup)(holding=setup.holding, operations=(bad,)),),
            )
        )
    assert caught.value.where == "setups[0].operations[0].rpm"
