"""What can still be done with a seat too thin or a bore too wide: another fit, a sleeve, a bush.

Fits after ISO 286 (`turnsketch.part.limits.fit_limits`); how a fit feels is common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from turnsketch.errors import InputError
from turnsketch.part.limits import fit_limits
from turnsketch.part.outline_records import SectionInfo, Size
from turnsketch.sheet.bore_rows import every_section, is_for_bores
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RescueLine, SheetInput

__all__ = ["rescue_lines"]

_CLOSE_MM = 0.1
"""Only a diameter with a tolerance up to this, or with a fit, gets a line."""

_GAP_MM = 0.002
"""No micrometer in the shop tells a smaller gap between two fits."""

_SHAFT = re.compile(r"([a-z]{1,2})(\d{1,2})\b")
_HOLE = re.compile(r"([A-Z]{1,2})(\d{1,2})\b")
_WIDEST_GRADE = 9
_LOOSER = (
    ("h7", "slides on by hand"),
    ("g6", "runs with hardly any play"),
    ("f7", "running fit, easy"),
    ("e8", "running fit, loose"),
)
"""Looser fits in order, each with what it is good for (common practice)."""


def rescue_lines(given: SheetInput, numbers: Numbers) -> tuple[RescueLine, ...]:
    """Return one line for each close diameter; nothing for a part without one."""
    found = []
    for section in every_section(given.part):
        size = section.diameter
        if size is not None and section.kind == "cylinder" and _close(size):
            inside = is_for_bores(given, section.number)
            found.append((_bore_line if inside else _line)(section, size, numbers))
    return tuple(found)


def _close(size: Size) -> bool:
    return size.upper - size.lower <= _CLOSE_MM + 1e-9


def _line(section: SectionInfo, size: Size, numbers: Numbers) -> RescueLine:
    fits = list(_still(size, numbers)) if _SHAFT.match(size.source) else []
    wall = size.nominal / 10
    bore = numbers.length(round(size.nominal - 2 * max(wall, 1.5)))
    words = [*fits] if fits else ["no looser fit of ISO 286 is asked for here"]
    words.append(
        f"below that, a sleeve: turn the seat to about Ø{bore}, fit a sleeve on, turn it to size"
    )
    words.append("or use it for a shorter part that ends before this seat")
    return RescueLine(
        section.label,
        f"under {numbers.fine(size.lower)}",
        "; ".join(words) + ". First ask who signs the print.",
    )


def _bore_line(section: SectionInfo, size: Size, numbers: Numbers) -> RescueLine:
    """Return the line of a bore that came out too wide."""
    words = list(_wider(size, numbers)) if _HOLE.match(size.source) else []
    if not words:
        words.append("no wider grade of ISO 286 is asked for here")
    words.append("beyond that, make the shaft to the bore as it came out, if it is not made yet")
    words.append("or bore it out, press a bush in and bore that to size, where the wall allows it")
    return RescueLine(
        section.label,
        f"over {numbers.fine(size.upper)}",
        "; ".join(words) + ". First ask who signs the print.",
    )


def _wider(size: Size, numbers: Numbers) -> Iterator[str]:
    """Yield wider grades of a bore's own letter, each with how far up it goes."""
    found = _HOLE.match(size.source)
    assert found is not None
    ceiling = size.upper
    for grade in range(int(found[2]) + 1, _WIDEST_GRADE + 1):
        code = f"{found[1]}{grade}"
        try:
            _, upper = fit_limits(size.nominal, code)
        except InputError:
            continue
        if upper > ceiling + 1e-9:
            yield f"up to {numbers.fine(upper)} it still is {code}"
            ceiling = upper


def _still(size: Size, numbers: Numbers) -> Iterator[str]:
    """Yield looser fits that lie below a size's lower limit, each with how far down it goes."""
    floor = size.lower
    for code, feel in _LOOSER:
        try:
            lower, upper = fit_limits(size.nominal, code)
        except InputError:
            continue
        # The fit must begin where the last one ended, or a gap would be promised.
        if lower < floor - 1e-9 and upper >= floor - _GAP_MM:
            yield f"down to {numbers.fine(lower)} it still is {code} ({feel})"
            floor = lower
