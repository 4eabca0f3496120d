"""What can still be done with a seat that came out too thin: another fit, a sleeve, a shorter part.

Fits after ISO 286 (`turnsketch.part.limits.fit_limits`); how a fit feels is common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from turnsketch.errors import InputError
from turnsketch.part.limits import fit_limits
from turnsketch.part.outline_records import SectionInfo, Size
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RescueLine, SheetInput

__all__ = ["rescue_lines"]

_CLOSE_MM = 0.1
"""Only a diameter with a tolerance up to this, or with a fit, gets a line."""

_GAP_MM = 0.002
"""No micrometer in the shop tells a smaller gap between two fits."""

_SHAFT = re.compile(r"([a-z]{1,2})(\d{1,2})\b")
_LOOSER = (
    ("h7", "slides on by hand"),
    ("g6", "runs with hardly any play"),
    ("f7", "running fit, easy"),
    ("e8", "running fit, loose"),
)
"""Looser fits in order, each with what it is good for (common practice)."""


def rescue_lines(given: SheetInput, numbers: Numbers) -> tuple[RescueLine, ...]:
    """Return one line for each close outside diameter; nothing for a part without one."""
    return tuple(
        _line(section, section.diameter, numbers)
        for section in given.part.sections
        if section.diameter is not None and section.kind == "cylinder" and _close(section.diameter)
    )


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
