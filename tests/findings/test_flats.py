"""What is said of hexagon and square bar."""

from __future__ import annotations

import pytest

from tests.pipeline.turned_jobs import cylinder, one
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Groove, PartRecord
from turnsketch.pipeline import plan
from turnsketch.plan_records import Finding


def cap(head: str) -> PartRecord:
    return PartRecord(
        "cap",
        (cylinder("20", "20", "1x45°"), cylinder(head, "10")),
        material="brass",
        inside_corners="R0.8",
    )


HEXAGON = Blank("27", "60", "1", shape="hexagon")
SQUARE = Blank("27", "60", "1", shape="square")


def found(job: Job, code: str) -> list[Finding]:
    return [f for f in plan(job).findings if f.code == code]


def test_a_cut_above_the_flats_is_interrupted() -> None:
    (told,) = found(one(cap("26"), HEXAGON, "20"), "interrupted-cut")
    assert told.severity == "caution"
    assert "6 times a turn" in told.message
    assert "27.00 mm across" in told.message
    assert "T1" in told.remedy, "the carbide tools are named"


def test_a_plunge_by_a_tool_that_has_no_width_is_looked_at_too() -> None:
    """A round nose goes into a groove on bar that has its flats still."""
    part = PartRecord(
        "cap",
        (cylinder("31.18", "24"),),
        material="brass",
        grooves=(Groove("round", 1, from_front="8", width="4", diameter="24"),),
    )
    operations = (Operation("groove", 9),)
    setup = Setup(Holding("Three-jaw 160", "20"), operations=operations)
    job = Job(part, HEXAGON, "Slipway 1", (setup,))
    made = [p for p in plan(job).setups[0].passes if p.operation == "groove"]
    assert "plunge" in {p.direction for p in made}
    (told,) = found(job, "interrupted-cut")
    assert told.pass_number == made[0].number


def test_no_cut_is_interrupted_on_a_round_bar_of_that_size() -> None:
    assert not found(one(cap("26"), Blank("31.2", "60", "1"), "20"), "interrupted-cut")


@pytest.mark.parametrize(
    ("head", "code", "words"),
    [
        ("31.18", "flats-left", "stays hexagon"),
        # A chord of a circle Ø29 at 13.5 from its middle: 2 sqrt(14.5² - 13.5²) = 10.58.
        ("29", "flats-on-section", "6 flats, 10.58 mm wide"),
        ("27", "", ""),
        ("26", "", ""),
    ],
)
def test_which_sections_keep_their_flats(head: str, code: str, words: str) -> None:
    told = [f for f in plan(one(cap(head), HEXAGON, "20")).findings if f.code.startswith("flats")]
    assert [f.code for f in told] == ([code] if code else [])
    assert not code or words in told[0].message


def test_a_hexagon_that_is_too_thin_is_told_across_its_corners() -> None:
    made = plan(one(cap("34"), HEXAGON, "20")).findings
    told = next(f for f in made if f.code == "blank-too-small")
    assert "Ø31.18 mm across its corners" in told.message
    # 34 cos 30° = 29.44 across flats.
    assert "hexagon of at least 29.44 mm across flats" in told.remedy
    assert not [f for f in made if f.code.startswith("flats")]


def test_three_jaws_take_a_hexagon_and_no_square() -> None:
    assert not found(one(cap("26"), HEXAGON, "20"), "shape-not-held")
    (told,) = found(one(cap("26"), SQUARE, "20"), "shape-not-held")
    assert told.severity == "stop"
    assert "Four-jaw 160" in told.remedy
    assert not found(one(cap("26"), SQUARE, "20", "Four-jaw 160"), "shape-not-held")


def test_a_round_collet_touches_flats_at_their_corners() -> None:
    (told,) = found(one(cap("20"), HEXAGON, "20", "Collet chuck 40"), "collet-shape")
    assert "hexagon collet of 27.00 mm" in told.remedy


def test_rows_above_the_flats_run_at_half_the_speed() -> None:
    """The speed falls where the edge is struck, the facing cut too; below it is the usual one."""
    made = plan(one(cap("26"), HEXAGON, "20"))
    (told,) = (f for f in made.findings if f.code == "interrupted-cut")
    passes = made.setups[0].passes
    struck = [p for p in passes if p.speed_limited_by == "interrupted cut"]
    assert {p.operation for p in struck} >= {"face", "rough"}
    assert told.pass_number == struck[0].number == 1, "facing across the flats is named"
    rough = [p for p in passes if p.operation == "rough"]
    free = [p for p in rough if p.speed_limited_by != "interrupted cut"]
    assert max(p.rpm for p in struck if p.operation == "rough") < min(p.rpm for p in free)
    limited = [f.message for f in made.findings if f.code == "speed-limited"]
    assert not any("interrupted" in words for words in limited), "it is told once"


def test_on_a_round_bar_nothing_is_slowed_down() -> None:
    passes = plan(one(cap("26"), Blank("31.2", "60", "1"), "20")).setups[0].passes
    assert {p.speed_limited_by for p in passes if p.operation == "rough"}
    assert all(p.speed_limited_by != "interrupted cut" for p in passes)
