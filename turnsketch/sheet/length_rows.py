"""Lengths with a tolerance of their own, and ties: each is measured where its last pass is done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from turnsketch.part.outline_records import InspectionRow
from turnsketch.plan_records import SetupPlan
from turnsketch.sheet.bore_rows import every_section
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput, SheetRow

__all__ = ["length_instrument", "length_rows"]

_CLOSE_MM = 0.1 + 1e-9
"""A length with no more than this between its limits is read with a depth micrometer."""


def length_instrument(row: InspectionRow) -> str:
    """Return what a length is measured with, by its tolerance (common practice)."""
    return "depth micrometer" if row.size.upper - row.size.lower <= _CLOSE_MM else "caliper"


def length_rows(
    given: SheetInput, setup: SetupPlan, numbers: Numbers
) -> dict[int, tuple[SheetRow, ...]]:
    """Return the rows of a setup by the index of the pass that each stands before."""
    found: dict[int, tuple[SheetRow, ...]] = {}
    labels = {section.number: section.label for section in every_section(given.part)}
    final = max((s.number for s in given.part.sections), default=0)
    for row in given.part.inspection:
        if row.quantity != "length" or row.reference or row.size.source != "print":
            continue
        made = _made_at(given, row.section, final)
        if row.section is None or made is None or made[0] != setup.number:
            continue
        made_by = setup.passes[made[1]]
        # A groove's width has the section's number, too, but a name of its own.
        own = row.what.endswith(", length")
        what = f"the length of {labels.get(row.section, row.what)}" if own else row.what
        words = (
            f"STOP the spindle. Measure {what} with "
            f"{length_instrument(row)}: {row.text} on the print, {numbers.fine(row.size.lower)} to "
            f"{numbers.fine(row.size.upper)}. Outside: call."
        )
        line = SheetRow(
            "measure", "L", made_by.number, made_by.tool, words=words,
            expected=numbers.fine(row.size.aim), places=("measured",),
        )  # fmt: skip
        found[made[1] + 1] = (*found.get(made[1] + 1, ()), line)
    for index, line in _tie_rows(given, setup, labels, final):
        found[index] = (*found.get(index, ()), line)
    return found


def _tie_rows(
    given: SheetInput, setup: SetupPlan, labels: Mapping[int, str], final: int
) -> Iterator[tuple[int, SheetRow]]:
    """Yield the check of each tie whose surfaces this setup makes, while the work is still held."""
    for tie in given.job.part.ties:
        made = [_made_at(given, number, final) for number in tie.sections]
        places = [place for place in made if place is not None]
        if len(places) < len(made) or {number for number, _ in places} != {setup.number}:
            continue
        index = max(at for _, at in places)
        step = setup.passes[index]
        if step.operation == "part off":
            continue  # it is off the bar: the inspection has it
        first, *others = (labels.get(number, f"section {number}") for number in tie.sections)
        words = (
            f"STOP the spindle. Do not loosen the work. Dial indicator on {' and '.join(others)}, "
            f"then on {first}, turn the work by hand: {tie.kind} {tie.value} on the print. "
            "More: call."
        )
        yield (
            index + 1,
            SheetRow(
                "measure", "L", step.number, step.tool, words=words,
                expected=f"≤ {tie.value}", places=("measured",),
            ),
        )  # fmt: skip


def _made_at(given: SheetInput, section: int | None, final: int) -> tuple[int, int] | None:
    """Return setup and index of the pass that ends a section; parting ends the last one."""
    found = None
    for setup in given.plan.setups:
        for index, step in enumerate(setup.passes):
            parts = section == final and step.operation == "part off"
            if parts or (step.section == section and step.last_on_surface):
                found = (setup.number, index)
    return found
