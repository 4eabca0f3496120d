"""Ties typed in one line and read back."""

from __future__ import annotations

import pytest

from turnsketch.desk.tie_text import ties_from, ties_text
from turnsketch.errors import InputError
from turnsketch.part.records import Tie


def test_ties_go_in_and_come_back() -> None:
    ties = (Tie("run-out", (1, 3), "0.02"), Tie("coaxial", (1, 2, 3), "0.05"))
    assert ties_text(ties) == "run-out 0.02: 1, 3; coaxial 0.05: 1, 2, 3"
    assert ties_from(ties_text(ties), 3, "mm") == ties
    assert ties_from("", 3, "mm") == ()
    assert ties_text(()) == ""


@pytest.mark.parametrize("text", ["run .001:1 and 2", "Run-out .001: 1 2", "r .001 : 1, 2, 2"])
def test_ties_are_read_as_people_write_them(text: str) -> None:
    assert ties_from(text, 2, "inch") == (Tie("run-out", (1, 2), ".001"),)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("run-out 0.02", "which they are"),
        ("flat 0.02: 1, 2", "which they are"),
        ("run-out much: 1, 2", "much"),
        ("run-out 0.02: 1, 4", "1 to 3"),
        ("run-out 0.02: 1, seat", "1 to 3"),
        ("run-out 0.02: 1", "two sections"),
    ],
)
def test_what_is_no_tie_is_refused_with_the_remedy(text: str, wrong: str) -> None:
    with pytest.raises(InputError, match=wrong):
        ties_from(text, 3, "mm")
