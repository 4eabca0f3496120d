"""The order with the fewest changes, held against all orders tried one by one."""

from __future__ import annotations

from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from turnsketch.planning.changes import Changes, Stretch, changes_of, fewest_changes

stretches = st.lists(
    st.builds(
        Stretch,
        operation=st.just(0),
        tool=st.integers(1, 3),
        tailstock=st.just(False),
        first_rpm=st.sampled_from([180.0, 355.0]),
        last_rpm=st.sampled_from([180.0, 355.0]),
    ),
    min_size=1,
    max_size=5,
)


def line(tool: int, rpm: float = 710.0, *, tailstock: bool = False, inner: int = 0) -> Stretch:
    return Stretch(0, tool, tailstock, rpm, rpm, inner)


def test_the_first_tool_is_no_change_and_a_tailstock_tool_leaves_the_post_alone() -> None:
    assert changes_of([]) == Changes(0, 0)
    assert changes_of([line(1), line(2, 355.0), line(1, inner=1)]) == Changes(2, 3)
    # The drill goes into the tailstock: one change; T1 is in the post still.
    assert changes_of([line(1), line(13, tailstock=True), line(1)]) == Changes(1, 0)


def test_the_same_tool_comes_together_where_the_order_is_free() -> None:
    work = [line(1), line(2), line(1), line(2)]
    assert fewest_changes(work, lambda *_: False) == (0, 2, 1, 3)
    assert fewest_changes(work, lambda *_: True) == (0, 1, 2, 3)
    # The third may not come before the second: nothing is gained by any other order.
    assert fewest_changes(work, lambda i, j: (i, j) == (1, 2)) == (1, 3, 0, 2)


def test_among_the_same_tool_changes_the_gears_decide() -> None:
    work = [line(1, 355.0), line(2, 180.0), line(3, 355.0)]
    assert fewest_changes(work, lambda i, _: i == 0) == (0, 2, 1)


@given(stretches, st.sets(st.tuples(st.integers(0, 4), st.integers(0, 4))))
def test_no_allowed_order_has_fewer(work: list[Stretch], rules: set[tuple[int, int]]) -> None:
    chosen = fewest_changes(work, lambda i, j: (i, j) in rules)
    allowed = [
        order
        for order in permutations(range(len(work)))
        if all(order.index(i) < order.index(j) for i, j in rules if i < j < len(work))
    ]
    assert chosen in allowed
    least = min(changes_of(work[i] for i in order) for order in allowed)
    assert changes_of(work[i] for i in chosen) == least
