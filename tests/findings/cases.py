"""Jobs that stand beside a demo part, and what is found in them. Plans are kept."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec

from turnsketch.checking.replay import replay
from turnsketch.document.demo import load_demo
from turnsketch.findings.view import PlanView
from turnsketch.job import Job, Operation
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import Planner
from turnsketch.pipeline.shop_records import chuck_of, lathe_of, material_of
from turnsketch.plan_records import Finding, Pass, Plan
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

but = msgspec.structs.replace

SHOP = but(
    demo_shop(),
    lathes=tuple(but(m, power_kw=5.0) for m in demo_shop().lathes),
)
"""The demo shop with lathes that no cut of the demo parts is too much for."""

LISTS: dict[str, tuple[Operation, ...]] = {
    "stepped_pin": (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("finish", 2),
        Operation("chamfer", 6),
        Operation("part off", 7),
    ),
    "shaft_end": (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("finish", 2),
        Operation("chamfer", 6),
        Operation("part off", 7),
    ),
    "knob": (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("rough", 9, valleys_only=True),
        Operation("finish", 2),
        Operation("finish", 9),
        Operation("part off", 7),
    ),
    "rope_roller": (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("rough", 5, valleys_only=True),
        Operation("finish", 2, sections=(1, 3)),
        Operation("finish", 5, sections=(2,)),
        Operation("chamfer", 6),
        Operation("part off", 7),
    ),
}
"""Operation lists of the tests' own, so that a proposal that changes does not change them."""


def with_list(job: Job, *operations: Operation) -> Job:
    """Return the job with an operation list."""
    return but(job, setups=(but(job.setups[0], operations=operations),))


def demo(name: str) -> Job:
    """Return a demo part with this module's operation list."""
    return with_list(load_demo(name), *LISTS[name])


PIN, SHAFT, KNOB, ROLLER = (demo(name) for name in LISTS)


def with_part(job: Job, **fields: Any) -> Job:
    """Return the job with fields of its part changed."""
    return but(job, part=but(job.part, **fields))


def with_section(job: Job, number: int, **fields: Any) -> Job:
    """Return the job with fields of one section changed."""
    sections = list(job.part.sections)
    sections[number - 1] = but(sections[number - 1], **fields)
    return with_part(job, sections=tuple(sections))


def with_blank(job: Job, **fields: Any) -> Job:
    """Return the job with another blank."""
    return but(job, blank=but(job.blank, **fields))


def with_holding(job: Job, **fields: Any) -> Job:
    """Return the job held otherwise."""
    setup = job.setups[0]
    return but(job, setups=(but(setup, holding=but(setup.holding, **fields)),))


def with_operation(job: Job, kind: str, **fields: Any) -> Job:
    """Return the job with fields changed in every operation of a kind."""
    listed = job.setups[0].operations or ()
    return with_list(job, *(but(o, **fields) if o.kind == kind else o for o in listed))


def without(job: Job, *kinds: str) -> Job:
    """Return the job without some kinds of operation."""
    return with_list(job, *(o for o in job.setups[0].operations or () if o.kind not in kinds))


def with_tool(number: int, **fields: Any) -> Shop:
    """Return the demo shop with one tool changed."""
    return but(SHOP, tools=tuple(but(t, **fields) if t.number == number else t for t in SHOP.tools))


def with_lathe(name: str, **fields: Any) -> Shop:
    """Return the demo shop with one lathe changed."""
    lathes = tuple(but(m, **fields) if m.name == name else m for m in SHOP.lathes)
    return but(SHOP, lathes=lathes)


@cache
def planned(job: Job, shop: Shop = SHOP) -> Plan:
    """Return the plan of a job; kept for the next test that asks."""
    return _planner(shop).plan(job)


@cache
def _planner(shop: Shop) -> Planner:
    return Planner(shop)


def codes(job: Job, shop: Shop = SHOP) -> list[str]:
    """Return the codes of what is found, worst first."""
    return [finding.code for finding in planned(job, shop).findings]


def one(code: str, job: Job, shop: Shop = SHOP) -> Finding:
    """Return the one finding with a code; it must say what to do."""
    found = [f for f in planned(job, shop).findings if f.code == code]
    assert len(found) == 1, (code, [f.message for f in found], codes(job, shop))
    assert found[0].message
    assert found[0].remedy
    return found[0]


def view_of(job: Job, changed: Plan | None = None, shop: Shop = SHOP) -> PlanView:
    """Return what the findings look at, for a plan that may have been changed by hand."""
    made = changed if changed is not None else planned(job, shop)
    return PlanView(
        job,
        shop,
        resolve(job.part, job.units),
        lathe_of(job, shop),
        chuck_of(job, shop),
        material_of(job, shop),
        made,
        replay(made),
        replay(made, as_read=True),
    )


def with_pass(made: Plan, changed: Pass) -> Plan:
    """Return a plan with one pass replaced."""
    setup = made.setups[0]
    passes = tuple(changed if p.number == changed.number else p for p in setup.passes)
    return but(made, setups=(but(setup, passes=passes),))
