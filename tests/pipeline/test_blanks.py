"""Blanks that are no round bar: planned, replayed, and their volumes."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pipeline.invariants import _volume
from tests.pipeline.turned_jobs import (
    BUSH,
    codes,
    comes_out,
    cylinder,
    one,
    replays_clean,
    stepped_parts,
)
from turnsketch.document.sheets import plan
from turnsketch.errors import InputError
from turnsketch.findings.metal import level_moves
from turnsketch.job import Blank, BlankStep, Holding, Operation, Setup
from turnsketch.part.records import Bore, PartRecord

CAP = PartRecord(
    "Hexagon cap",
    (cylinder("20", "20", "1x45°"), cylinder("31.18", "10")),
    material="brass",
    inside_corners="R0.8",
)
HEXAGON = Blank("27", "60", "1", shape="hexagon")


def test_a_hexagon_is_planned_with_the_circle_across_its_corners() -> None:
    made = plan(one(CAP, HEXAGON, "20"))
    comes_out(made)
    corners = 27 / math.cos(math.pi / 6)
    assert 2 * max(p.r for p in made.setups[0].blank[0]) == pytest.approx(corners)
    assert made.totals.blank_mm3 == pytest.approx(math.sqrt(3) / 2 * 27**2 * 60)
    removed, left = made.totals.removed_mm3, _volume(made.setups[0].remaining)
    assert removed + left == pytest.approx(math.pi / 4 * corners**2 * 60)


def test_the_head_that_is_as_wide_as_the_corners_stays_hexagon() -> None:
    made = plan(one(CAP, HEXAGON, "20"))
    levels = [cut for p in made.setups[0].passes for cut in level_moves(p)]
    assert levels
    assert all(low >= -20.0 for _, low, _, _ in levels), "nothing is turned along the head"
    assert "flats-left" in codes(made, "note")
    assert max(p.r for p in made.setups[0].part[0]) == pytest.approx(13.5 / math.cos(math.pi / 6))


def test_the_first_levels_are_light_until_the_work_runs_round() -> None:
    usual = plan(one(CAP, Blank("31.18", "60", "1"), "20"))
    hexagon = plan(one(CAP, HEXAGON, "20"))

    def above(made: object) -> list[float]:
        passes = made.setups[0].passes  # type: ignore[attr-defined]
        return [p.depth for p in passes if p.operation == "rough" and p.moves[-3].to.r > 13.3]

    assert max(above(hexagon)) <= 0.5 * max(p.depth for p in usual.setups[0].passes[1:4]) + 0.05
    deep = one(CAP, HEXAGON, "20")
    deep = msgspec.structs.replace(
        deep,
        setups=(
            msgspec.structs.replace(deep.setups[0], operations=(Operation("rough", 1, depth="2"),)),
        ),
    )
    assert plan(deep).setups[0].passes[0].depth > 1.5, "what the user sets is kept to"


def test_speeds_are_reckoned_from_the_corners() -> None:
    """And halved, to the next gear step below: the flats strike the edge."""
    made = plan(one(CAP, Blank("27", "60", "1", shape="square"), "20", "Four-jaw 160"))
    plain = plan(one(CAP, Blank("38.2", "60", "1"), "20", "Four-jaw 160"))
    assert made.setups[0].passes[0].rpm == plain.setups[0].passes[0].rpm / 2


def test_the_least_grip_of_a_chuck_is_asked_of_the_flats() -> None:
    wide = Blank("35.5", "60", "1", shape="hexagon")  # Ø41 across corners, over the collet's 36
    made = plan(one(CAP, wide, "20", "Collet chuck 40"))
    assert "collet-shape" in codes(made, "caution")
    with pytest.raises(InputError, match="Ø37"):
        plan(one(CAP, Blank("37", "60", "1", shape="hexagon"), "20", "Collet chuck 40"))


def test_a_tube_is_not_drilled_where_it_is_open() -> None:
    tube = Blank("45", "70", "1", shape="tube", bore="17")
    made = plan(one(BUSH, tube, "25"))
    replays_clean(made)
    kinds = [o.kind for o in made.setups[0].operations]
    assert "centre hole" not in kinds
    drills = [p for p in made.setups[0].passes if p.operation == "drill"]
    assert len(drills) == 1, "no pilot in a hole"
    assert made.totals.blank_mm3 == pytest.approx(math.pi / 4 * (45**2 - 17**2) * 70)


def test_facing_a_tube_stops_at_its_rim() -> None:
    made = plan(one(BUSH, Blank("45", "70", "1", shape="tube", bore="17"), "25"))
    face = next(p for p in made.setups[0].passes if p.operation == "face")
    ends = [r.x for r, m in zip(face.readings, face.moves, strict=True) if m.kind == "cut"]
    assert ends == [pytest.approx(17 - 1.6)], "as far beyond the rim as the nose needs"


def test_a_cast_blank_is_cut_where_it_stands_proud() -> None:
    steps = (BlankStep("33", "25.5", "17"), BlankStep("45", "44.5", "15"))
    blank = Blank("45", "70", "1", shape="steps", steps=steps)
    cast, bar = plan(one(BUSH, blank, "25")), plan(one(BUSH, Blank("45", "70", "1"), "25"))
    replays_clean(cast)
    assert cast.totals.minutes < bar.totals.minutes
    assert "blank-lacks-metal" not in codes(cast)


@pytest.mark.parametrize(
    ("blank", "words"),
    [
        (Blank("45", "70", "1", shape="tube", bore="24"), "hole is wider"),
        (
            Blank(
                "45", "70", "1", shape="steps", steps=(BlankStep("29", "20"), BlankStep("45", "50"))
            ),
            "steps are thinner",
        ),
    ],
)
def test_a_blank_without_metal_where_the_part_is_is_a_stop(blank: Blank, words: str) -> None:
    made = plan(one(BUSH, blank, "25"))
    found = [f for f in made.findings if f.code == "blank-lacks-metal"]
    assert len(found) == 1
    assert found[0].severity == "stop"
    assert words in found[0].message


def test_a_tube_comes_without_a_centre_hole() -> None:
    job = one(CAP, Blank("45", "70", "1", shape="tube", bore="17"), "25")
    holding = Holding("Three-jaw 160", "25", centre=True, centred_blank=True)
    with pytest.raises(InputError) as caught:
        plan(msgspec.structs.replace(job, setups=(Setup(holding),)))
    assert caught.value.where == "setups[0].holding.centred_blank"


SHAPES = st.sampled_from(("round", "hexagon", "square", "tube", "steps"))


@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
@given(stepped_parts(2), SHAPES, st.integers(2, 6))
def test_blanks_of_every_shape_replay_clean(part: PartRecord, shape: str, room: int) -> None:
    widest = max(int(s.diameter or 0) for s in part.sections)
    total = sum(int(s.length or 0) for s in part.sections)
    size, length = widest + room, total + 50
    blank = Blank(str(size), str(length), "1", shape=shape)  # type: ignore[arg-type]
    if shape == "tube":
        blank = msgspec.structs.replace(blank, bore="4")
        through = Bore((cylinder("6", str(total)),), through=True)
        part = msgspec.structs.replace(part, bore=through)
    if shape == "steps":
        first = int(part.sections[0].length or 0)
        steps = (BlankStep(str(size - 1), str(first)), BlankStep(str(size), str(length - first)))
        blank = msgspec.structs.replace(blank, steps=steps)
    made = plan(one(part, blank, "25", "Four-jaw 160"))
    replays_clean(made)
    removed = sum(p.removed_mm3 for p in made.setups[0].passes)
    whole, left = _volume(made.setups[0].blank), _volume(made.setups[0].remaining)
    assert math.isclose(removed + left, whole, rel_tol=1e-6)
