"""What a step table meets: coarse steps bring the surface within half a millimetre first."""

from __future__ import annotations

import functools

import msgspec
import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from tests.pipeline.fitting import LATHES, Bench, fitting_jobs
from turnsketch.checking.replay import replay
from turnsketch.document.demo import load_demo
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan, Ring
from turnsketch.planning.row_steps import COARSE_MM
from turnsketch.planning.steps_pass import CUSP_MM

TWO_WHEELS = tuple(bench for bench in LATHES if bench.lathe != "Slipway 2")

SAMPLE = 0.05
"""Distances are asked so close together; on a circle that misses 0.05^2 / 8 R of them."""


def knob(lathe: str = "Slipway 1") -> Job:
    return msgspec.structs.replace(load_demo("knob"), lathe=lathe)


def cone(*operations: Operation) -> Job:
    sections = (
        Section("cylinder", diameter="20", length="15"),
        Section("taper", front_diameter="20", angle="1:5", length="30"),
        Section("cylinder", diameter="26", length="10"),
    )
    return Job(
        PartRecord("cone", sections, material="mild steel"),
        Blank("30", "100"),
        "Slipway 1",
        (Setup(Holding("Three-jaw 160", "28"), operations=operations),),
    )


def stepped(plan: Plan) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.steps is not None]


def region(rings: tuple[Ring, ...]) -> shapely.Geometry:
    return shapely.union_all(
        [shapely.make_valid(shapely.Polygon([(p.z, p.r) for p in ring])) for ring in rings]
    )


def thickest(plan: Plan) -> dict[int, float]:
    """Return how thick a cut the last step tables take, replayed as read, by pass."""
    setup, played = plan.setups[0], replay(plan, as_read=True).setups[0]
    found: dict[int, float] = {}
    for before, result, made in zip(
        played.passes, played.passes[1:], setup.passes[1:], strict=False
    ):
        if made.steps is not None and made.last_on_surface:
            after = region(result.remaining)
            taken = region(before.remaining).difference(after.buffer(1e-4))
            corners = shapely.get_coordinates(shapely.segmentize(taken, SAMPLE))
            heights = shapely.distance(after, shapely.points(corners))
            found[made.number] = float(heights.max(initial=0.0))
    return found


def rounding_mm(job: Job) -> float:
    """Return how far the readings of two tables stand apart at most: a step of X and of Z each."""
    return 0.02 if job.units == "mm" else 0.05


@functools.cache
def knob_plan() -> Plan:
    return Planner().plan(knob())


@pytest.mark.parametrize(
    "job",
    [
        load_demo("rope_roller"),
        cone(Operation("face", 1), Operation("rough", 1), Operation("finish", 2, means="steps")),
        cone(Operation("face", 1), Operation("rough", 1), Operation("finish", 5, means="steps")),
    ],
    ids=["roller", "cone under a corner", "cone under a round nose"],
)
def test_the_last_table_meets_no_more_than_half_a_millimetre(job: Job) -> None:
    plan = Planner().plan(job)
    found = thickest(plan)
    assert found, "there is a step table"
    assert all(height <= COARSE_MM + rounding_mm(job) for height in found.values()), found
    assert not replay(plan).events
    assert plan.finished.under_mm < 1e-3


def test_the_last_table_of_a_ball_meets_no_more_than_half_a_millimetre() -> None:
    (height,) = thickest(knob_plan()).values()
    assert 0.1 < height <= COARSE_MM + rounding_mm(knob())
    assert not replay(knob_plan()).events


@given(data=st.data(), bench=st.sampled_from(TWO_WHEELS))
@settings(
    max_examples=max(1, settings().max_examples // 10),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
def test_drawn_parts_are_near_their_size_before_the_last_table(
    bench: Bench, data: st.DataObject
) -> None:
    job = data.draw(fitting_jobs(bench))
    assume(any(s.kind == "arc" for s in job.part.sections))
    found = thickest(Planner().plan(job))
    assert all(height <= COARSE_MM + rounding_mm(job) for height in found.values()), found


def test_coarse_steps_stand_before_the_table_and_are_no_last_cut() -> None:
    coarse, last = stepped(knob_plan())
    assert coarse.steps is not None
    assert last.steps is not None
    assert (coarse.last_on_surface, last.last_on_surface) == (False, True)
    assert coarse.notes == ("coarse steps: the last table follows",)
    assert len(coarse.steps.rows) < len(last.steps.rows) / 2
    assert coarse.steps.cusp > 4 * last.steps.cusp
    assert last.steps.cusp <= CUSP_MM


def test_coarse_steps_leave_metal_for_the_table_everywhere() -> None:
    """Their nose stands off the ball by 0.1 at least: R15 + 1.5 about Z-15, rounded to leave."""
    coarse, _ = stepped(knob_plan())
    assert coarse.steps is not None
    for row in coarse.steps.rows:
        away = ((row.x / 2 + 1.5) ** 2 + (row.z + 1.5 + 15.0) ** 2) ** 0.5 - 16.5
        assert 0.1 - 1e-6 <= away <= 0.12, row


def test_no_coarse_steps_where_the_roughing_came_near_enough() -> None:
    """Levels of 0.1 over a slope of 1:5 leave stairs of 0.1: with 0.3 to spare that is near."""
    rough = Operation("rough", 1, depth="0.1")
    near = cone(Operation("face", 1), rough, Operation("finish", 2, means="steps"))
    assert [p.last_on_surface for p in stepped(Planner().plan(near))] == [True]


def test_no_coarse_steps_before_a_table_that_is_as_coarse() -> None:
    rough = Operation("rough", 1)
    finish = Operation("finish", 2, means="steps", cusp="0.4")
    job = cone(Operation("face", 1), rough, finish)
    assert [p.last_on_surface for p in stepped(Planner().plan(job))] == [True]


def test_what_one_tool_made_in_steps_another_does_not_make_again() -> None:
    """The proposal goes on with finer noses: a table over cusps that may stay would be for nothing.

    The ball of the knob has one last table, though sharper tools may follow.
    """
    tables = [p for p in stepped(knob_plan()) if p.last_on_surface]
    assert len(tables) == 1
    later = [p for p in knob_plan().setups[0].passes if p.number > tables[0].number]
    assert any(p.operation == "finish" and p.tool != tables[0].tool for p in later)


def test_levels_stand_close_over_what_is_made_in_steps() -> None:
    """The crest of the ball has a level of its own, and below it none is deeper than 1.2."""
    turned = [p for p in knob_plan().setups[0].passes if p.operation == "rough" and p.tool == 1]
    assert min(abs(p.readings[-2].x - 30.6) for p in turned) < 2
    assert all(p.depth <= 1.2 + 0.011 for p in turned[1:])
    guided = Planner().plan(knob("Slipway 2")).setups[0].passes
    assert len(turned) > len([p for p in guided if p.operation == "rough" and p.tool == 1])
