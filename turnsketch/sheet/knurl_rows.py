"""Rows about knurls: how the wheels are pressed in, and what is checked when they are off.

Common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.plan_records import Pass
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetRow

__all__ = ["knurl_after", "knurl_row"]


def knurl_row(step: Pass, numbers: Numbers) -> Iterator[SheetRow]:
    """Yield the row that stands before the first pass of a knurl."""
    knurl = step.knurl
    if knurl is None or not knurl.first:
        return
    touch, deep = numbers.diameter(knurl.blank_mm), numbers.diameter(knurl.pressed_x_mm)
    way = "" if knurl.last else " Only then feed; at the end leave the wheels in."
    words = (
        f"Knurl {knurl.text}, pressed, not cut: oil, wheels square. Touch Ø{touch}, then press in "
        "firmly at once, by hand and with the spindle slow, until the points are sharp: about "
        f"X {deep}, the look decides. Stop after one turn: a double track? Off, and again a little "
        f"further on.{way} Fingers, rag and brush never near the wheels while it turns: they draw "
        "in."
    )
    yield SheetRow("knurl", "K", step.number, step.tool, words=words)


def knurl_after(step: Pass, numbers: Numbers) -> tuple[str, ...]:
    """Return the limits over the knurl, where the wheels have come off; else nothing."""
    knurl = step.knurl
    if knurl is None or not knurl.last:
        return ()
    return numbers.fine(knurl.lower_mm), numbers.fine(knurl.upper_mm)
