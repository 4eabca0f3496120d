"""`plan(job) -> Plan`, a pure function, and a planner that remembers unchanged operations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import msgspec

from turnsketch.blank_sizes import blank_sizes
from turnsketch.checking.records import Replay
from turnsketch.checking.replay import replay
from turnsketch.findings.collect import findings_of
from turnsketch.findings.view import PlanView
from turnsketch.job import Job, Operation
from turnsketch.mark import mark
from turnsketch.pipeline.carry import carried
from turnsketch.pipeline.fewest import with_fewest_changes
from turnsketch.pipeline.held_blank import Carried
from turnsketch.pipeline.leftovers import explained
from turnsketch.pipeline.passes import passes_of
from turnsketch.pipeline.request import context_of, planned_part
from turnsketch.pipeline.setup_plan import setup_plan
from turnsketch.plan_records import Finished, Pass, Plan, PlanSource, SetupPlan, Totals
from turnsketch.planning.choose_tool import with_tools
from turnsketch.planning.context import Context
from turnsketch.planning.fold import FoldCache, Planned, fold
from turnsketch.planning.propose import propose
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop
from turnsketch.version import VERSION

__all__ = ["Planner", "plan"]

_REMEMBERED = 16
"""Proposals, and replays, kept: a job has a few setups."""


def plan(job: Job, shop: Shop | None = None) -> Plan:
    """Return the plan of `job`, checked by an independent replay.

    Parameters
    ----------
    job : Job
        Its setups are planned in order, each on what the one before left.
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
        self._replays = _Replays()

    def plan(self, job: Job) -> Plan:
        """Return the plan of `job`; see `turnsketch.pipeline.plan`."""
        works, made, exact = self._worked(job)
        return _checked(made, works, exact, self._replays)

    def _worked(self, job: Job) -> tuple[list[Planned], Plan, Replay]:
        """Return every setup as it was planned, their plan without findings, and its replay."""
        part = planned_part(job)
        works: list[Planned] = []
        made = _empty_plan(job, self.shop)
        before: Carried | None = None
        for index, setup in enumerate(job.setups):
            ctx = context_of(job, self.shop, part, index, before)
            operations = setup.operations
            if operations is None:
                operations = self._proposal(ctx)
            operations = with_tools(ctx, operations, self._cache)
            planned = fold(ctx, operations, self._cache)
            works.append(planned)
            made, exact = _with_setup(made, planned, works[0].ctx, self._replays)
            if index + 1 < len(job.setups):
                before = carried(planned, exact.setups[-1], before)
        return works, made, exact

    def propose(self, job: Job) -> tuple[Operation, ...]:
        """Return the program's operation list for the first setup, whatever list the job has."""
        return self._proposal(context_of(job, self.shop))

    def propose_all(self, job: Job) -> tuple[tuple[Operation, ...], ...]:
        """Return the program's list for each setup, on what the setup before leaves as planned."""
        return tuple(self._proposal(planned.ctx) for planned in self._worked(job)[0])

    def _proposal(self, ctx: Context) -> tuple[Operation, ...]:
        key = (
            ctx.part,
            ctx.held,
            ctx.limit_z,
            ctx.index,
            ctx.lathe,
            ctx.material,
            ctx.units,
            ctx.setup,
            ctx.last,
            ctx.turned_later,
            ctx.turned_before,
            ctx.part_record,
            ctx.job.blank,
        )
        found = self._proposals.get(key)
        if found is None:
            found = with_fewest_changes(ctx, propose(ctx), self._cache)
            if len(self._proposals) >= _REMEMBERED:
                self._proposals.clear()
            self._proposals[key] = found
        return found


def _empty_plan(job: Job, shop: Shop) -> Plan:
    nothing = Finished(0.0, 0.0)
    return Plan(
        job=job.title or job.part.name,
        mark=mark(job, shop, VERSION),
        display_units=job.units,
        setups=(),
        finished=nothing,
        finished_as_read=nothing,
        findings=(),
        totals=_totals((), 0.0),
    )


@dataclass
class _Replays:
    """What was replayed, by what was played: the replay sees setups and units alone."""

    kept: dict[object, Replay] = field(default_factory=dict)

    def play(self, made: Plan, *, as_read: bool = False) -> Replay:
        """Return the replay of a plan, played now or remembered."""
        key = (made.setups, made.display_units, as_read)
        found = self.kept.get(key)
        if found is None:
            found = replay(made, as_read)
            if len(self.kept) >= _REMEMBERED:
                self.kept.pop(next(iter(self.kept)))
            self.kept[key] = found
        return found


def _with_setup(
    made: Plan, planned: Planned, first: Context, replays: _Replays
) -> tuple[Plan, Replay]:
    """Return the plan with one more setup, and its exact replay: removed volumes, what remains."""
    passes, operations = passes_of(planned.ctx, planned)
    setup = setup_plan(planned, passes, operations, first)
    exact = replays.play(msgspec.structs.replace(made, setups=(*made.setups, setup)))
    results = exact.setups[-1]
    removed = {result.number: result.removed_mm3 for result in results.passes}
    passes = [msgspec.structs.replace(p, removed_mm3=removed[p.number]) for p in passes]
    setup = msgspec.structs.replace(setup, passes=tuple(passes), remaining=results.remaining)
    return msgspec.structs.replace(made, setups=(*made.setups, setup)), exact


def _checked(made: Plan, works: Sequence[Planned], exact: Replay, replays: _Replays) -> Plan:
    """Return the plan with deviations, findings and totals."""
    read = replays.play(made, as_read=True)
    job, shop = works[0].ctx.job, works[0].ctx.shop
    made = msgspec.structs.replace(
        made,
        finished=explained(works, exact),
        finished_as_read=read.finished,
        totals=_totals(made.setups, blank_sizes(job.blank, job.units).volume_mm3),
        source=PlanSource(job, _used_shop(works, made.setups)),
    )
    first = works[0].ctx
    view = PlanView(
        job, shop, first.part, first.lathe, first.chuck, first.material, made, exact, read
    )
    chucks = tuple(planned.ctx.chuck for planned in works)
    findings = findings_of(replace(view, chucks=chucks, parts=tuple(w.ctx.part for w in works)))
    return msgspec.structs.replace(made, findings=findings)


def _totals(setups: Sequence[SetupPlan], blank_mm3: float) -> Totals:
    passes: list[Pass] = [p for setup in setups for p in setup.passes]
    minutes, removed = sum(p.minutes for p in passes), sum(p.removed_mm3 for p in passes)
    return Totals(len(passes), minutes, removed, blank_mm3)


def _used_shop(works: Sequence[Planned], setups: Sequence[SetupPlan]) -> Shop:
    """Return the shop file cut down to what the plan uses."""
    used = {tool.number for setup in setups for tool in setup.tools}
    first = works[0].ctx
    devices = {planned.ctx.setup.holding.device for planned in works}
    chucks = {planned.ctx.chuck.name: planned.ctx.chuck for planned in works}
    return msgspec.structs.replace(
        first.shop,
        lathes=(first.lathe,),
        chucks=tuple(chucks.values()),
        drivers=tuple(d for d in first.shop.drivers if d.name in devices),
        tools=tuple(tool for tool in first.shop.tools if tool.number in used),
        materials=() if first.material is None else (first.material,),
        bars=(),
    )
