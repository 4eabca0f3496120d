"""Sizes as people read them on the desk: in the job's units, without needless noughts. No Qt."""

from __future__ import annotations

from turnsketch.plan_records import Plan
from turnsketch.sheet.numbers import Numbers
from turnsketch.units import Units, from_mm

__all__ = ["MINUS", "coordinate_text", "length_text", "plan_numbers", "reading_text"]

MINUS = "\N{MINUS SIGN}"


def length_text(value_mm: float, units: Units) -> str:
    """Return a length as dimension text in the job's units, exact to a hundredth of a step."""
    decimals = 3 if units == "mm" else 4
    text = f"{from_mm(value_mm, units):.{decimals}f}".rstrip("0").rstrip(".")
    return text if text not in ("", "-0") else "0"


def coordinate_text(value_mm: float, units: Units) -> str:
    """Return a coordinate for the eye, with a proper minus sign."""
    return reading_text(from_mm(value_mm, units), units)


def reading_text(value: float, units: Units) -> str:
    """Return a reading that is in display units already."""
    text = f"{value:.{2 if units == 'mm' else 3}f}"
    if not text.strip("-0."):
        text = text.lstrip("-")
    return text.replace("-", MINUS)


def plan_numbers(plan: Plan) -> Numbers:
    """Return the writer of readings for a plan: every decimal that the lathe's readout shows.

    Screen and sheet so say the same figure. A plan that does not carry its lathe gets the usual
    decimals of its unit.
    """
    source, units = plan.source, plan.display_units
    for lathe in source.shop.lathes if source is not None else ():
        if source is not None and lathe.name == source.job.lathe:
            return Numbers.of(units, lathe.readout)
    least, step = (2, 0.01) if units == "mm" else (3, 0.001)
    return Numbers(units, least, least, step)
