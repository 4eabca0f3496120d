"""A thread tapped in the end that a second setup makes."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pipeline.turned_jobs import codes, comes_out, cylinder, one
from turnsketch.job import Blank
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import plan
from turnsketch.pipeline.propose_setups import propose_setups
from turnsketch.plan_records import Plan
from turnsketch.shop.files import demo_shop


def tapped(size: str, thread: str, depth: int, body: int) -> Plan:
    hole = Section(
        "cylinder", diameter=size, length=str(depth + 6), thread=thread, thread_length=str(depth)
    )
    part = PartRecord(
        "Filler cap",
        (cylinder("24", "14", "1x45°"), cylinder("30", str(body), None, "1x45°")),
        material="brass",
        bore_back=Bore((hole,), bottom="118°"),
        inside_corners="R0.8",
    )
    shop = demo_shop()
    return plan(propose_setups(one(part, Blank("32", "100", "1"), "20"), shop).job, shop)


def test_the_tap_follows_its_drill_in_the_second_setup() -> None:
    made = tapped("10", "M10x1.5-6H", 12, 22)
    comes_out(made)
    first, second = made.setups
    assert "tap" not in [o.kind for o in first.operations]
    kinds = [o.kind for o in second.operations if o.first_pass]
    assert kinds.index("face") < kinds.index("drill") < kinds.index("tap")
    last = next(p for p in second.passes if p.operation == "tap")
    reached = min(m.to.z for m in last.moves)
    assert reached == pytest.approx(-15.5, abs=3.0), "from the end that is in front now"
    assert {"no-pass", "thread-not-made"}.isdisjoint(codes(made))


@settings(max_examples=2, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.sampled_from((("6", "M6x1-6H"), ("8", "M8x1.25-6H"), ("12", "M12x1.75-6H"))),
    st.integers(10, 16),
    st.integers(24, 30),
)
def test_random_caps_are_tapped_from_their_back(
    thread: tuple[str, str], depth: int, body: int
) -> None:
    made = tapped(*thread, depth, body)
    comes_out(made)
    assert [p.operation for p in made.setups[1].passes].count("tap") == 1
