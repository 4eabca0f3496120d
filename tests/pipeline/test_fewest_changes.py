"""The proposal's order: fewest changes of tool and gear step, by the rules of order."""

from __future__ import annotations

import pytest

from turnsketch.document.demo import demo_names, load_demo
from turnsketch.pipeline import Planner
from turnsketch.planning.changes import Changes, changes_of, stretches_of


@pytest.fixture(scope="module")
def planner() -> Planner:
    return Planner()


def test_the_round_nose_stays_in_for_both_of_its_operations(planner: Planner) -> None:
    # Roughed and finished by T5 in one go, the rims by T2 behind it: T1 T5 T2 T6 T7.
    made = planner.plan(load_demo("rope_roller"))
    work = [(o.kind, o.tool) for o in made.setups[0].operations]
    assert work[2:5] == [("rough", 5), ("finish", 5), ("finish", 2)]
    assert changes_of(stretches_of(made.setups[0].passes)).tools == 4


def test_a_weak_neck_keeps_its_order_whatever_it_costs(planner: Planner) -> None:
    made = planner.plan(load_demo("knob"))
    tools = [o.tool for o in made.setups[0].operations]
    assert tools.count(2) == 2  # in front of the neck, and what comes after it is opened
    assert tools.index(2) < tools.index(9)


def test_the_levers_are_not_shifted_for_one_pass_alone(planner: Planner) -> None:
    # The cone's last pass could turn at 1400, the journal behind it at 1000 again.
    made = planner.plan(load_demo("shaft_end"))
    finish = [p.rpm for p in made.setups[0].passes if p.operation == "finish"]
    assert finish == [1400.0, *[1000.0] * (len(finish) - 1)]
    assert changes_of(stretches_of(made.setups[0].passes)) == Changes(3, 4)


@pytest.mark.parametrize("name", demo_names())
def test_no_demo_part_has_a_finding_about_its_order(name: str, planner: Planner) -> None:
    found = [f.code for f in planner.plan(load_demo(name)).findings]
    assert "order-saves-change" not in found
