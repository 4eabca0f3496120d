"""What stands on every page: title block, stop band, foot. Draws on a canvas that it is handed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from turnsketch.picture.style import COLOURS
from turnsketch.sheet.paint_pdf import BOLD, REGULAR, rgb
from turnsketch.sheet.records import Fact, SheetContent
from turnsketch.sheet.wrap import fitted, wrapped

__all__ = [
    "FOOT",
    "LEADING",
    "MM",
    "SIDE",
    "TOP",
    "Run",
    "foot",
    "head_height",
    "stop_banner",
    "title_block",
    "write_line",
]

MM: Final = 72 / 25.4
"""Points in a millimetre."""
SIDE, TOP, FOOT, HEAD = 9 * MM, 7 * MM, 14 * MM, 12 * MM
"""Margins of a page and the height of the title block, points."""
LEADING: Final = 1.18
"""Distance of two lines over the size of the type."""
_STOP_BAND = 8 * MM
_STOP_TYPE = 11.0

WidthOf = Callable[[str, str, float], float]
"""Width of a text in a typeface at a size, points."""


@dataclass
class Run:
    """What one building of the document learns, page by page."""

    dry: bool = False
    """Counts alone: pictures and boxes are not drawn, which takes half the time away."""
    pages: int = 0
    ticks: dict[int, int] = field(default_factory=dict)
    tools: dict[int, int] = field(default_factory=dict)
    """First tool that is put in on a page."""

    def next_tool(self, page: int) -> int | None:
        """Return the next tool that is put in on a later page."""
        return next((tool for p, tool in sorted(self.tools.items()) if p > page), None)


def _colour(canvas: Any, name: str) -> None:
    canvas.setFillColorRGB(*rgb(COLOURS.get(name, name)))


def title_block(canvas: Any, content: SheetContent, size: tuple[float, float], known: Run) -> None:
    """Draw the title block along the head of the page."""
    page = f"{canvas.getPageNumber()} of {known.pages}"
    facts = [*content.title, Fact("Page", page)]
    wide = [
        max(
            canvas.stringWidth(f.label, REGULAR, 9),
            canvas.stringWidth(f.value, BOLD, 10.5),
        )
        + 3.2 * MM
        for f in facts
    ]
    room = size[0] - 2 * SIDE
    widths = _shared(wide, room)
    x, y = SIDE, size[1] - TOP - HEAD
    canvas.saveState()
    canvas.setStrokeColorRGB(*rgb(COLOURS["ink"]))
    canvas.setLineWidth(0.5 * MM)
    canvas.rect(SIDE, y, room, HEAD, stroke=1, fill=0)
    canvas.setLineWidth(0.25 * MM)
    for index, (fact, width) in enumerate(zip(facts, widths, strict=True)):
        if index:
            canvas.line(x, y, x, y + HEAD)
        inside = width - 2.4 * MM
        write_line(canvas, fact.label, x + 1.2 * MM, y + HEAD - 10, inside, REGULAR, 9, "narrow")
        write_line(canvas, fact.value, x + 1.2 * MM, y + 6.5, inside, BOLD, 10.5, "ink")
        x += width
    canvas.restoreState()


def _shared(wanted: Sequence[float], room: float) -> list[float]:
    """Return widths that fill `room`: each its wish and a share of the rest, or squeezed."""
    spare = room - sum(wanted)
    if spare >= 0:
        return [w + spare / len(wanted) for w in wanted]
    # The longest give way first: no field may take more than a limit that makes the sum fit.
    limit = room
    while sum(min(w, limit) for w in wanted) > room:
        limit *= 0.97
    return [min(w, limit) for w in wanted]


def write_line(
    canvas: Any, text: str, x: float, y: float, room: float, font: str, size: float, colour: str,
    align: str = "left",
) -> None:  # fmt: skip
    """Write one line, narrowed or shortened to fit `room`."""
    shown, size, narrow = fitted(text, room, size, lambda t, s: canvas.stringWidth(t, font, s))
    wide = canvas.stringWidth(shown, font, size) * narrow
    x += {"left": 0.0, "right": room - wide, "centre": (room - wide) / 2}[align]
    _colour(canvas, colour)
    text_object = canvas.beginText(x, y)
    text_object.setFont(font, size)
    text_object.setHorizScale(100 * narrow)
    text_object.textOut(shown)
    text_object.setHorizScale(100)
    canvas.drawText(text_object)


def _stop_lines(content: SheetContent, size: tuple[float, float], width_of: WidthOf) -> list[str]:
    """Return the first stop, broken into lines that fit the band; nothing is cut off."""
    if not content.stops:
        return []
    more = len(content.stops) - 1
    text = f"STOP: do not cut from this sheet: {content.stops[0]}"
    if more:
        text += f"   (and {more} more)"
    room = size[0] - 2 * SIDE - 4 * MM
    return wrapped(text, room, lambda t: float(width_of(t, BOLD, _STOP_TYPE)))


def head_height(content: SheetContent, size: tuple[float, float], width_of: WidthOf) -> float:
    """Return the height of the title block, and of the band under it when a stop stands."""
    lines = len(_stop_lines(content, size, width_of))
    return HEAD + (_STOP_BAND + (lines - 1) * _STOP_TYPE * LEADING if lines else 0.0)


def stop_banner(canvas: Any, content: SheetContent, size: tuple[float, float]) -> None:
    """Print the stop across the page and in a band under the title block."""
    canvas.saveState()
    canvas.translate(size[0] / 2, size[1] / 2)
    canvas.rotate(30)
    _colour(canvas, "danger light")
    canvas.setFont(BOLD, 44)
    canvas.drawCentredString(0, 8, "STOP")
    canvas.setFont(BOLD, 38)
    canvas.drawCentredString(0, -40, "do not cut from this sheet")
    canvas.restoreState()
    lines = _stop_lines(content, size, canvas.stringWidth)
    high = head_height(content, size, canvas.stringWidth) - HEAD
    y = size[1] - TOP - HEAD - high
    canvas.saveState()
    canvas.setStrokeColorRGB(*rgb(COLOURS["danger"]))
    canvas.setLineWidth(0.5 * MM)
    room = size[0] - 2 * SIDE
    canvas.rect(SIDE, y + 1.2 * MM, room, high - 2.2 * MM, stroke=1, fill=0)
    for index, text in enumerate(reversed(lines)):
        up = y + 3.0 * MM + index * _STOP_TYPE * LEADING
        write_line(canvas, text, SIDE + 2 * MM, up, room - 4 * MM, BOLD, _STOP_TYPE, "danger")
    canvas.restoreState()


def foot(canvas: Any, content: SheetContent, size: tuple[float, float], known: Run) -> None:
    """Draw the foot: mark, page, sign rule, next tool, boxes."""
    page = canvas.getPageNumber()
    parts = [
        f"mark {content.mark}",
        f"page {page} of {known.pages}",
        "diameters; Z minus is toward the chuck",
    ]
    tool = known.next_tool(page)
    if tool is not None:
        parts.append(f"next tool T{tool}")
    ticks = known.ticks.get(page, 0)
    if ticks:
        parts.append(f"boxes on this page: {ticks}")
    canvas.saveState()
    canvas.setStrokeColorRGB(*rgb(COLOURS["ink"]))
    canvas.setLineWidth(0.25 * MM)
    y = FOOT - 3.0 * MM
    canvas.line(SIDE, y, size[0] - SIDE, y)
    room = size[0] - 2 * SIDE
    write_line(canvas, "   ·   ".join(parts), SIDE, y - 12, room, REGULAR, 9.5, "ink", "centre")
    canvas.restoreState()
