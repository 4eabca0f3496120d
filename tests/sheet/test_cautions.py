"""What can hurt at a setup: a caution where its passes call for it, and none where they do not."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import plan, sheet_input
from turnsketch.sheet.cautions import setup_cautions
from turnsketch.sheet.content import sheet_content, sheet_numbers
from turnsketch.sheet.records import SheetContent, SheetInput

but = msgspec.structs.replace
BEGINNINGS = ("The jaws begin", "The work stands out", "The corners of", "Hole:", "Thread:",
              "Filing:", "Parting off:")  # fmt: skip


def content(name: str) -> SheetContent:
    return sheet_content(sheet_input(plan(load_demo(name))))


def told(cautions: tuple[str, ...]) -> set[str]:
    return {start for start in BEGINNINGS if any(c.startswith(start) for c in cautions)}


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("flanged_bush", {"The jaws begin", "Hole:", "Filing:", "Parting off:"}),
        ("capstan_shaft", {"The jaws begin", "Thread:", "Filing:", "Parting off:"}),
        # A hexagon is not filed while it turns.
        ("filler_cap", {"The jaws begin", "The corners of", "Hole:", "Thread:", "Parting off:"}),
        ("pole_handle", {"The jaws begin", "Hole:", "Filing:", "Parting off:"}),
    ],
)
def test_a_first_setup_is_told_what_its_work_can_do(name: str, expected: set[str]) -> None:
    assert told(content(name).setups[0].cautions) == expected


def test_each_setup_has_its_own() -> None:
    sheet = content("flanged_bush")
    first, second = sheet.setups
    assert told(second.cautions) == {"The jaws begin", "Hole:"}
    assert first.cautions[0] != second.cautions[0]
    assert "Z −10" in second.cautions[0]


def test_the_sheet_still_defers_to_the_shop() -> None:
    assert "shop's rules" in content("capstan_shaft").cautions[-1]


@pytest.fixture(scope="module")
def bush() -> SheetInput:
    return sheet_input(plan(load_demo("flanged_bush")))


def first_cautions(given: SheetInput, **changes: object) -> tuple[str, ...]:
    setup = but(given.plan.setups[0], **changes)
    return setup_cautions(given, setup, sheet_numbers(given), filed=False)


def test_slender_work_is_named_from_three_diameters_without_a_centre(bush: SheetInput) -> None:
    assert "The work stands out" not in told(first_cautions(bush, stick_out_mm=149.0))
    slender = next(
        c for c in first_cautions(bush, stick_out_mm=151.0) if c.startswith("The work stands out")
    )
    assert "151" in slender
    assert "with no centre" in slender


def test_a_bar_that_goes_into_the_spindle_is_named() -> None:
    job = load_demo("flanged_bush")
    assert not any("spindle. What" in c for c in content("flanged_bush").setups[0].cautions)
    first, *rest = job.setups
    deep = but(first, holding=but(first.holding, grip="349"))
    long = but(job, blank=but(job.blank, length="400"), setups=(deep, *rest))
    given = sheet_input(plan(long))
    (body,) = [o for o in given.plan.setups[0].obstacles if "body" in o.name]
    # CALC: 349 stand behind the jaws' face at Z-50; the chuck ends with its body.
    behind = 349.0 - (-50.0 - min(p.z for p in body.ring))
    found = sheet_content(given).setups[0].cautions
    assert any(f"{behind:g} mm of bar stand behind the chuck" in c for c in found)
