"""The sizes to measure, each surface by its name."""

from __future__ import annotations

import re
from dataclasses import replace

from turnsketch.blank_sizes import blank_sizes
from turnsketch.part.outline_records import InspectionRow
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import InspectionLine, SheetInput

__all__ = ["inspection_lines"]

_NAMED = re.compile(r"((?:back bore: |bore: )?section \d+) \((.+?)\)(, .*)?$")


def inspection_lines(given: SheetInput, numbers: Numbers) -> tuple[InspectionLine, ...]:
    """Return the sizes to measure, each surface by its name alone where no other has it."""
    rows = given.part.inspection
    found = [_NAMED.match(row.what) for row in rows]
    as_bar = _left_as_bar(given)
    # A bore's section is "bore: section 1" to some rows and the part's section 3 to others.
    numbers_of: dict[str, set[int | str]] = {}
    for row, match in zip(rows, found, strict=True):
        if match:
            known = match[1] if row.section is None else row.section
            numbers_of.setdefault(match[2], set()).add(known)
    lines = []
    for row, match in zip(rows, found, strict=True):
        alone = match is not None and len(numbers_of[match[2]]) == 1
        what = f"{match[2]}{match[3] or ''}" if match and alone else row.what
        named = replace(row, what=what)
        if row.quantity == "diameter" and row.section in as_bar:
            what = what.removesuffix(", diameter")
            named = replace(row, what=f"{what}, over corners: stays as the bar", reference=True)
        lines.append(_inspection(named, numbers))
    return tuple(lines)


def _left_as_bar(given: SheetInput) -> frozenset[int]:
    """Return the sections that stay hexagon or square: nobody turns or measures their corners."""
    sizes = blank_sizes(given.job.blank, given.job.units)
    if sizes.flat_radius is None:
        return frozenset()
    return frozenset(
        s.number
        for s in given.part.sections
        if s.kind == "cylinder" and min(s.front.r, s.back.r) >= sizes.radius - 0.01
    )


def _inspection(row: InspectionRow, numbers: Numbers) -> InspectionLine:
    write = numbers.angle if row.quantity == "angle" else numbers.fine
    limits = ("", "") if row.reference else (write(row.size.lower), write(row.size.upper))
    return InspectionLine(
        row.what,
        row.text,
        *limits,
        write(row.size.aim),
        row.size.source,
        row.reference,
    )
