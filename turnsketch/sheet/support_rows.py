"""Rows about centre and steady rest: putting them in, and measuring both ends on a centre."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.plan_records import EndsCheck, Pass, SetupPlan, SteadyWork
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetRow

__all__ = ["support_rows"]

_HALF = 0.02
"""A share so near to a half is called half."""


def support_rows(setup: SetupPlan, step: Pass, numbers: Numbers) -> Iterator[SheetRow]:
    """Yield the rows that stand before a pass on account of what supports the work."""
    centre, ends = setup.centre, setup.ends_check
    if centre is not None and centre.from_pass == step.number:
        words = (
            "Put the centre in: hole clean, grease on a fixed one, snug but not tight; lock "
            "tailstock and quill. It stays in until the sheet says otherwise."
        )
        yield SheetRow("centre", "C", step.number, step.tool, words=words)
    steady = setup.steady
    if steady is not None and steady.from_pass == step.number:
        yield SheetRow("steady", "R", step.number, step.tool, words=_set_steady(steady, numbers))
    if ends is not None and ends.before_pass == step.number:
        places = tuple(f"Z {numbers.signed(z)}" for z in ends.at_z)
        expected = tuple(numbers.diameter(d) for d in ends.expected_diameters)
        words = (
            f"STOP the spindle. Measure both ends: at {places[0]} (centre) {expected[0]}, at "
            f"{places[1]} (chuck) {expected[1]} are expected. {_move_words(ends, numbers)}. "
            "Thicker at the centre: move it toward you."
        )
        shown = expected[0] if expected[0] == expected[1] else " / ".join(expected)
        yield SheetRow(
            "measure", "E", step.number, step.tool, words=words, expected=shown, places=places
        )


def _move_words(ends: EndsCheck, numbers: Numbers) -> str:
    """Say how far the tailstock stands off, from what the two places differ."""
    share = ends.move_per_difference
    if abs(share - 0.5) < _HALF:
        return "Half of what the two errors differ is how far the tailstock stands off"
    unit = 0.01 if numbers.units == "mm" else 0.001
    decimals = 4 if numbers.units == "mm" else 5
    apart = numbers.length(abs(ends.at_z[0] - ends.at_z[1]))
    return (
        f"They lie {apart} apart on {numbers.length(ends.length_mm)}: the tailstock stands off by "
        f"{share:.2f} times what the two errors differ ({unit * share:.{decimals}f} for each "
        f"{unit:g})"
    )


def _set_steady(steady: SteadyWork, numbers: Numbers) -> str:
    """Say how the steady rest is set on its track (common practice)."""
    low, high = numbers.signed(steady.low_z), numbers.signed(steady.high_z)
    middle = numbers.signed((steady.low_z + steady.high_z) / 2)
    return (
        f"Spindle off, carriage back. Set the steady rest at Z {middle}, on the track of "
        f"Ø{numbers.diameter(steady.diameter_mm)}; lock it to the bed. Lower two jaws, then the "
        "upper one until a strip of paper just drags; lock them, turn the work by hand, oil the "
        f"jaws now and between passes. From here on NO TOOL from Z {high} to Z {low}, nor behind."
    )
