"""Roughing levels: on the shoulders, even between, easy figures, nothing thin, nothing too deep."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from turnsketch.planning.levels import even_steps, levels
from turnsketch.rounding import SNAP, easy_figure


def easy(low: float, high: float) -> float:
    figure = easy_figure(2 * low, 2 * high, 0.01, "mm")
    return low if figure is None else figure / 2


def test_even_steps_end_on_the_floor_and_are_equal() -> None:
    assert even_steps(16.0, 12.0, 1.5) == [16 - 4 / 3, 16 - 8 / 3, 12.0]


def test_no_step_where_there_is_nothing_to_take() -> None:
    assert even_steps(12.0, 12.0, 1.5) == []


@given(
    top=st.floats(5, 60),
    shares=st.lists(st.floats(0.05, 0.99), min_size=1, max_size=6),
    depth=st.floats(0.3, 3.0),
)
def test_levels_meet_every_shoulder_and_no_cut_is_too_deep(
    top: float, shares: list[float], depth: float
) -> None:
    shoulders = [top * share for share in shares]
    found = levels(top, shoulders, depth, easy)
    steps = [a - b for a, b in pairwise([top, *found])]
    # An easy figure may lie beyond its interval by what counts as the same figure.
    assert all(step <= depth + SNAP for step in steps)
    assert all(step > 0 for step in steps)
    for shoulder in shoulders:
        # Two shoulders closer than 0.02 share a level.
        assert any(-1e-9 <= level - shoulder < 0.021 for level in [top, *found])


@given(top=st.floats(5, 60), gap=st.floats(0.5, 30), depth=st.floats(0.5, 3.0))
def test_easy_figures_add_no_pass(top: float, gap: float, depth: float) -> None:
    floor = top - min(gap, top - 0.5)
    assert len(levels(top, [floor], depth, easy)) == len(even_steps(top, floor, depth))
