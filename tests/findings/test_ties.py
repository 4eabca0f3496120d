"""The finding about surfaces that the print ties together and two holdings make."""

from __future__ import annotations

from tests.findings.cases import but
from tests.findings.test_setups import BAR, made_in_two
from turnsketch.part.records import Tie


def test_a_tie_over_two_holdings_is_a_caution_that_names_both() -> None:
    over = made_in_two("0", but(BAR, ties=(Tie("run-out", (1, 2), "0.02"),)))
    (found,) = [f for f in over.findings if f.code == "tie-split"]
    assert found.severity == "caution"
    assert "setups 1 and 2" in found.message
    assert "within 0.02" in found.message
    assert "by indicator to that value" in found.remedy
    assert found.setup == 2


def test_a_tie_inside_one_holding_is_none() -> None:
    inside = made_in_two("0", but(BAR, ties=(Tie("run-out", (2, 3), "0.02"),)))
    assert "tie-split" not in [f.code for f in inside.findings]
