"""How long planning takes, against the bare cost of the set operations that it makes.

Run with ``pytest tests/benchmarks --benchmark-enable``; a plain run does each once, to see that it
works. Nothing here asserts a time.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.benchmarks.outlines import shaft_context
from tests.benchmarks.set_operations import recording
from turnsketch.document.demo import demo_names, load_demo
from turnsketch.job import Operation
from turnsketch.pipeline import Planner
from turnsketch.pipeline.request import context_of
from turnsketch.planning.fold import fold

OPERATIONS = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))
LATHE = "Slipway 2"


def seconds(work: Callable[[], object]) -> float:
    """Return the processor's time for one run: others on the machine do not count."""
    begin = time.process_time()
    work()
    return time.process_time() - begin


@pytest.mark.parametrize("count", [10, 100, 1000])
def test_planning_against_its_set_operations(benchmark: BenchmarkFixture, count: int) -> None:
    enabled = not benchmark.disabled
    if not enabled:
        count = min(count, 40)  # the plain run only sees that it works
    ctx = shaft_context(count, LATHE)
    with recording() as recorded:
        planned = fold(ctx, OPERATIONS)
    assert planned.passes
    assert recorded.calls
    times = 3 if enabled else 1
    runs = [(seconds(recorded.again), seconds(lambda: fold(ctx, OPERATIONS))) for _ in range(times)]
    bare, whole = min(run[0] for run in runs), min(run[1] for run in runs)
    benchmark.extra_info.update(
        elements=len(ctx.part.aim.elements),
        passes=len(planned.passes),
        set_operations=len(recorded.calls),
        set_operations_ms=round(1e3 * bare, 2),
        planning_ms=round(1e3 * whole, 2),
        ratio=round(whole / bare, 2),
    )
    print(f"\n{dict(benchmark.extra_info)}")
    benchmark.pedantic(fold, args=(ctx, OPERATIONS), rounds=times)  # type: ignore[no-untyped-call]


@pytest.mark.parametrize("name", demo_names())
def test_a_demo_part_once_warm(benchmark: BenchmarkFixture, name: str) -> None:
    """The whole way from the job to the checked plan, replays and findings included."""
    job, planner = load_demo(name), Planner()
    planner.plan(job)
    benchmark.extra_info["passes"] = planner.plan(job).totals.passes
    benchmark(planner.plan, job)


@pytest.mark.parametrize("name", demo_names())
def test_a_demo_part_planned_again(benchmark: BenchmarkFixture, name: str) -> None:
    """Planning alone, nothing remembered but the proposal."""
    job, planner = load_demo(name), Planner()
    operations = planner.propose(job)
    ctx = context_of(job, planner.shop)
    benchmark.extra_info["passes"] = len(fold(ctx, operations).passes)
    benchmark(fold, ctx, operations)
