"""Operations that name no tool: the program proposes one."""

from __future__ import annotations

import msgspec
import pytest

from turnsketch.checking.replay import replay
from turnsketch.document.demo import load_demo
from turnsketch.errors import InputError
from turnsketch.job import Job, Operation
from turnsketch.pipeline import Planner
from turnsketch.shop.files import demo_shop
from turnsketch.shop.suited import SUITED


def listed(job: Job, *operations: Operation) -> Job:
    """Return the job with a list for its first setup, and no other setup."""
    setup = msgspec.structs.replace(job.setups[0], operations=operations)
    return msgspec.structs.replace(job, setups=(setup,))


@pytest.mark.parametrize("name", ["stepped_pin", "flanged_bush"])
def test_a_list_without_tools_is_planned_like_the_proposal(name: str) -> None:
    job = load_demo(name)
    proposed = Planner().propose(job)
    bare = [msgspec.structs.replace(o, tool=None) for o in proposed]
    plan = Planner().plan(listed(job, *bare))
    tools = {tool.number: tool for tool in demo_shop().tools}
    for asked, made in zip(proposed, plan.setups[0].operations, strict=True):
        assert tools[made.tool].kind in SUITED[asked.kind]
    assert not replay(plan).events
    assert not [f for f in plan.findings if f.severity == "stop"]


def test_the_finest_square_tool_finishes() -> None:
    job = listed(load_demo("stepped_pin"), Operation("rough", 1), Operation("finish"))
    assert [o.tool for o in Planner().plan(job).setups[0].operations] == [1, 2]


def test_without_a_tool_of_the_kind_it_says_which_is_wanted() -> None:
    shop = demo_shop()
    bare = msgspec.structs.replace(
        shop, tools=tuple(t for t in shop.tools if t.kind not in ("parting", "knurl"))
    )
    job = listed(load_demo("stepped_pin"), Operation("face", 1), Operation("part off"))
    with pytest.raises(InputError, match="no tool for it: enter one of the kind parting") as caught:
        Planner(bare).plan(job)
    assert "operations[1]" in caught.value.where
