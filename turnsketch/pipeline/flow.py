"""`plan(job) -> Plan`, a pure function, and a planner that remembers unchanged operations."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from turnsketch.checking.replay import replay
from turnsketch.errors import InputError
from turnsketch.findings.collect import findings_of
from turnsketch.findings.view import PlanView
from turnsketch.job import Job, Operation
from turnsketch.mark import mark
from turnsketch.part.resolve import resolve
from turnsketch.pipeline.leftovers import explained
from turnsketch.pipeline.passes import passes_of
from turnsketch.pipeline.request import context_of
from turnsketch.pipeline.setup_plan import setup_plan
from turnsketch.plan_records import Finished, Pass, Plan, PlanSource, SetupPlan, Totals
from turnsketch.planning.context import Context
from turnsketch.planning.fold import FoldCache, Planned, fold
from turnsketch.planning.propose import propose
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop
from turnsketch.version import VERSION

__all__ = ["Planner", "plan"]


def plan(job: Job, shop: Shop | None = None) -> Plan:
    """Return the plan of `job`, checked by an independent replay.

    Parameters
    ----------
    job : Job
        One setup is planned.
    shop : Shop, optional
        What the shop owns; default: the demo shop that comes with the program.

    Raises
    ------
    InputError
        When the job cannot be planned at all; everything else becomes a finding.
    """
    return Planner(shop).plan(job)


class Planner:
    """Plans jobs of one shop and keeps what has not changed between two calls.

    Not for sharing between threads: give each its own.
    """

    def __init__(self, shop: Shop | None = None) -> None:
        self.shop = shop if shop is not None else demo_shop()
        self._cache = FoldCache()
        self._proposals: dict[object, tuple[Operation, ...]] = {}

    def plan(self, job: Job) -> Plan:
        """Return the plan of `job`; see `turnsketch.pipeline.plan`."""
        if len(job.setups) != 1:
            raise InputError("this version plans one setup; leave the first one alone", "setups")
        part = resolve(job.part, job.units)
        ctx = context_of(job, self.shop, part)
        operations = job.setups[0].operations
        if operations is None:
            operations = self._proposal(ctx)
        planned = fold(ctx, operations, self._cache)
        return _checked(ctx, planned)

    def propose(self, job: Job) -> tuple[Operation, ...]:
        """Return the program's operation list for `job`, whatever list the job has."""
        return self._proposal(context_of(job, self.shop))

    def _proposal(self, ctx: Context) -> tuple[Operation, ...]:
        key = (ctx.part, ctx.held, ctx.lathe, ctx.units, ctx.setup.zero, ctx.setup.holding)
        found = self._proposals.get(key)
        if found is None:
            found = propose(ctx)
            self._proposals.clear()
            self._proposals[key] = found
        return found


def _checked(ctx: Context, planned: Planned) -> Plan:
    """Return the plan with what the replay saw: removed volumes, remaining, deviations."""
    passes, operations = passes_of(ctx, planned)
    setup = setup_plan(ctx, passes, operations)
    nothing = Finished(0.0, 0.0)
    draft = Plan(
        job=ctx.job.title or ctx.job.part.name,
        mark=mark(ctx.job, ctx.shop, VERSION),
        display_units=ctx.units,
        setups=(setup,),
        finished=nothing,
        finished_as_read=nothing,
        findings=(),
        totals=_totals([setup]),
        source=PlanSource(ctx.job, _used_shop(ctx, setup)),
    )
    exact, read = replay(draft), replay(draft, as_read=True)
    results = exact.setups[0]
    removed = {result.number: result.removed_mm3 for result in results.passes}
    passes = [msgspec.structs.replace(p, removed_mm3=removed[p.number]) for p in passes]
    setup = msgspec.structs.replace(setup, passes=tuple(passes), remaining=results.remaining)
    made = msgspec.structs.replace(
        draft,
        setups=(setup,),
        finished=explained(ctx, planned, exact),
        finished_as_read=read.finished,
        totals=_totals([setup]),
    )
    view = PlanView(
        ctx.job, ctx.shop, ctx.part, ctx.lathe, ctx.chuck, ctx.material, made, exact, read
    )
    return msgspec.structs.replace(made, findings=findings_of(view))


def _totals(setups: Sequence[SetupPlan]) -> Totals:
    passes: list[Pass] = [p for setup in setups for p in setup.passes]
    return Totals(len(passes), sum(p.minutes for p in passes), sum(p.removed_mm3 for p in passes))


def _used_shop(ctx: Context, setup: SetupPlan) -> Shop:
    """Return the shop file cut down to what the plan uses."""
    used = {tool.number for tool in setup.tools}
    return msgspec.structs.replace(
        ctx.shop,
        lathes=(ctx.lathe,),
        chucks=(ctx.chuck,),
        tools=tuple(tool for tool in ctx.shop.tools if tool.number in used),
        materials=() if ctx.material is None else (ctx.material,),
        bars=(),
    )
