"""Places of a finishing path that are not exact are told."""

from __future__ import annotations

from tests.findings.cases import PIN, but, codes, planned, view_of, with_pass
from turnsketch.findings.paths import inexact_paths
from turnsketch.plan_records import PathCaution


def test_an_unverified_join_is_a_caution_at_its_place() -> None:
    plan = planned(PIN)
    last = next(p for p in plan.setups[0].passes if p.operation == "finish")
    changed = but(last, cautions=(PathCaution(-5.0, 6.0, "unverified", "the join is not exact"),))
    (found,) = inexact_paths(view_of(PIN, with_pass(plan, changed)))
    assert (found.code, found.severity) == ("path-unverified", "caution")
    assert (found.pass_number, found.z) == (last.number, -5.0)
    assert "the join is not exact" in found.message


def test_a_corner_cut_short_is_a_note() -> None:
    plan = planned(PIN)
    last = plan.setups[0].passes[-1]
    changed = but(last, cautions=(PathCaution(-5.0, 6.0, "cut short", "the corner is too sharp"),))
    (found,) = inexact_paths(view_of(PIN, with_pass(plan, changed)))
    assert found.severity == "note"


def test_an_exact_path_says_nothing() -> None:
    assert not [code for code in codes(PIN) if code.startswith("path-")]
