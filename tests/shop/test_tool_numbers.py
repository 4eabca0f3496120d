"""Numbers of tools in sentences."""

from __future__ import annotations

import pytest

from turnsketch.shop.tool_numbers import tools_text


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        ((), ""),
        ((7,), "T7"),
        ((8, 7), "T7, T8"),
        ((3, 1, 2, 7), "T1 to T3, T7"),
        ((20, 21, 22, 30, 5, 6), "T5, T6, T20 to T22, T30"),
    ],
)
def test_runs_are_told_by_their_ends(numbers: tuple[int, ...], text: str) -> None:
    assert tools_text(numbers) == text
