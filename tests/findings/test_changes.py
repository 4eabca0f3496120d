"""The finding about a list that changes tools or levers more often than it has to."""

from __future__ import annotations

from tests.findings.cases import PIN, ROLLER, codes, one, planned, with_list
from turnsketch.job import Operation

RIMS = Operation("finish", 2, sections=(1, 3))
WAIST = Operation("finish", 5, sections=(2,))
START = (
    Operation("face", 1),
    Operation("rough", 1),
    Operation("rough", 5, valleys_only=True),
)
END = (Operation("chamfer", 6), Operation("part off", 7))


def test_a_finish_that_could_follow_the_roughing_by_the_same_tool_is_named() -> None:
    # T1 T1 T5 T2 T5 T6 T7: T5 is put in twice.
    found = one("order-saves-change", with_list(ROLLER, *START, RIMS, WAIST, *END))
    assert found.severity == "note"
    assert found.message.startswith(("operation 4 (finish, T2)", "operation 5 (finish, T5)"))
    assert "saves a tool change" in found.message
    assert "order-saves-change" not in codes(with_list(ROLLER, *START, WAIST, RIMS, *END))


def test_an_order_that_a_rule_asks_for_is_not_named() -> None:
    # Without sections the second tool takes what the first leaves: its place is its purpose.
    rest = (Operation("finish", 2), Operation("finish", 5))
    assert "order-saves-change" not in codes(with_list(ROLLER, *START, *rest, *END))
    assert "order-saves-change" not in codes(PIN)


def test_a_list_is_never_put_in_another_order() -> None:
    job = with_list(ROLLER, *START, RIMS, WAIST, *END)
    tools = [o.tool for o in planned(job).setups[0].operations]
    assert tools == [1, 1, 5, 2, 5, 6, 7]
