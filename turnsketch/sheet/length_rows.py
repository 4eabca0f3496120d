"""Lengths that carry a tolerance of their own: each is measured where its last pass is done."""

from __future__ import annotations

from turnsketch.part.outline_records import InspectionRow
from turnsketch.plan_records import SetupPlan
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
    labels = {section.number: section.label for section in given.part.sections}
    final = max(labels, default=0)
    for row in given.part.inspection:
        if row.quantity != "length" or row.reference or row.size.source != "print":
            continue
        made = _made_at(given, row.section, final)
        if row.section is None or made is None or made[0] != setup.number:
            continue
        made_by = setup.passes[made[1]]
        words = (
            f"STOP the spindle. Measure the length of {labels.get(row.section, row.what)} with "
            f"{length_instrument(row)}: {row.text} on the print, {numbers.fine(row.size.lower)} to "
            f"{numbers.fine(row.size.upper)}. Outside: call."
        )
        line = SheetRow(
            "measure", "L", made_by.number, made_by.tool, words=words,
            expected=numbers.fine(row.size.aim), places=("measured",),
        )  # fmt: skip
        found[made[1] + 1] = (*found.get(made[1] + 1, ()), line)
    return found


def _made_at(given: SheetInput, section: int | None, final: int) -> tuple[int, int] | None:
    """Return setup and index of the pass that ends a section; parting ends the last one."""
    found = None
    for setup in given.plan.setups:
        for index, step in enumerate(setup.passes):
            parts = section == final and step.operation == "part off"
            if parts or (step.section == section and step.last_on_surface):
                found = (setup.number, index)
    return found
