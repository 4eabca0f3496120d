"""Rows about the tailstock centre: putting it in, and measuring both ends on it."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetRow

__all__ = ["support_rows"]


def support_rows(setup: SetupPlan, step: Pass, numbers: Numbers) -> Iterator[SheetRow]:
    """Yield the rows that stand before a pass on account of the centre."""
    centre, ends = setup.centre, setup.ends_check
    if centre is not None and centre.from_pass == step.number:
        words = (
            "Put the centre in: hole clean, grease on a fixed one, snug but not tight; lock "
            "tailstock and quill. It stays in until the sheet says otherwise."
        )
        yield SheetRow("centre", "C", step.number, step.tool, words=words)
    if ends is not None and ends.before_pass == step.number:
        places = tuple(f"Z {numbers.signed(z)}" for z in ends.at_z)
        expected = tuple(numbers.diameter(d) for d in ends.expected_diameters)
        words = (
            f"STOP the spindle. Measure both ends: at {places[0]} (centre) {expected[0]}, at "
            f"{places[1]} (chuck) {expected[1]} are expected. Half of what the two errors differ "
            "is how far the tailstock stands off. Thicker at the centre: move it toward you."
        )
        shown = expected[0] if expected[0] == expected[1] else " / ".join(expected)
        yield SheetRow(
            "measure", "E", step.number, step.tool, words=words, expected=shown, places=places
        )
