"""What one sees on a page of the PDF: words, boxes, pictures, as the PDF library's own parts."""

from __future__ import annotations

from typing import Any

from reportlab.lib.colors import Color
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus.flowables import Flowable

from turnsketch.picture.display_list import DisplayList
from turnsketch.picture.style import COLOURS
from turnsketch.sheet.blocks import Entry, Heading, Tick, Words
from turnsketch.sheet.furniture import LEADING, MM, Run, write_line
from turnsketch.sheet.paint_pdf import BOLD, REGULAR, draw_picture, rgb
from turnsketch.sheet.wrap import wrapped

__all__ = ["EntryBox", "Picture", "Text", "TickBox", "Title", "ToolMark", "rgb_colour"]

_TICK = 11.0


def rgb_colour(name: str) -> Any:
    """Return a colour of the project, or "#RRGGBB", for the PDF library."""
    return Color(*rgb(COLOURS.get(name, name)))


class Title(Flowable):  # type: ignore[misc]
    """A heading with its bookmark."""

    def __init__(self, block: Heading) -> None:
        super().__init__()
        self._block = block
        self._size = 14.0 if block.level == 0 else 11.5

    def wrap(self, width: float, _: float) -> tuple[float, float]:
        """Return width and height, points."""
        self._width = width
        self._lines = wrapped(
            self._block.text, width, lambda t: self._string_width(t), most_lines=3
        )
        above = 5.0 if self._block.level else 2.0
        return width, len(self._lines) * self._size * LEADING + above + 3.0

    def _string_width(self, text: str) -> float:
        return float(pdfmetrics.stringWidth(text, BOLD, self._size))

    def draw(self) -> None:
        """Draw it with its lower left corner at the origin."""
        canvas = self.canv
        key = f"h{canvas.getPageNumber()}.{self._block.text}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(self._block.text, key, self._block.level, closed=False)
        y = 3.0 + (len(self._lines) - 1) * self._size * LEADING + 0.22 * self._size
        for line in self._lines:
            write_line(canvas, line, 0, y, self._width, BOLD, self._size, "ink")
            y -= self._size * LEADING


class Text(Flowable):  # type: ignore[misc]
    """Words in a cell: broken into lines, or each line narrowed to the room."""

    def __init__(self, words: Words, room: float) -> None:
        super().__init__()
        self._words = words
        self._room = room
        self._font = BOLD if words.bold else REGULAR

    def _width_of(self, text: str) -> float:
        return float(pdfmetrics.stringWidth(text, self._font, self._words.size))

    def wrap(self, width: float, _: float) -> tuple[float, float]:
        """Return width and height, points."""
        words, room = self._words, min(self._room, width) if width > 0 else self._room
        self._shown = room
        if words.squeeze:
            self._lines = words.text.split("\n") if words.text else []
        else:
            self._lines = wrapped(words.text, room, self._width_of)
        return room, len(self._lines) * words.size * LEADING

    def draw(self) -> None:
        """Draw it with its lower left corner at the origin."""
        words = self._words
        colour = "danger" if words.danger else "narrow" if words.faint else "ink"
        y = (len(self._lines) - 1) * words.size * LEADING + 0.24 * words.size
        for line in self._lines:
            write_line(
                self.canv, line, 0, y, self._shown, self._font, words.size, colour, words.align
            )
            y -= words.size * LEADING


class TickBox(Flowable):  # type: ignore[misc]
    """A box to tick, by pen or on screen."""

    def __init__(self, tick: Tick, run: Run) -> None:
        super().__init__()
        self._tick = tick
        self._run = run

    def wrap(self, *_: float) -> tuple[float, float]:
        """Return width and height, points."""
        return _TICK, _TICK

    def draw(self) -> None:
        """Draw it with its lower left corner at the origin."""
        page = self.canv.getPageNumber()
        self._run.ticks[page] = self._run.ticks.get(page, 0) + 1
        if self._run.dry:
            return
        self.canv.acroForm.checkbox(
            name=self._tick.name, tooltip=self._tick.tip or self._tick.name, size=_TICK,
            borderColor=rgb_colour("ink"), fillColor=rgb_colour("#FFFFFF"),
            textColor=rgb_colour("ink"), borderWidth=0.8, fieldFlags="", relative=True,
        )  # fmt: skip


class EntryBox(Flowable):  # type: ignore[misc]
    """A box to write in, by pen or on screen."""

    def __init__(self, entry: Entry, room: float, run: Run) -> None:
        super().__init__()
        self._run = run
        self._entry = entry
        self._size = min(entry.width * MM, room), entry.height * MM

    def wrap(self, *_: float) -> tuple[float, float]:
        """Return width and height, points."""
        return self._size

    def draw(self) -> None:
        """Draw it with its lower left corner at the origin."""
        if self._run.dry:
            return
        width, height = self._size
        self.canv.acroForm.textfield(
            name=self._entry.name, tooltip=self._entry.tip or self._entry.name, width=width,
            height=height, borderColor=rgb_colour("ink"), fillColor=rgb_colour("#FFFFFF"),
            textColor=rgb_colour("ink"), borderWidth=0.8, fontSize=11, fontName="Helvetica",
            relative=True, forceBorder=True,
        )  # fmt: skip


class Picture(Flowable):  # type: ignore[misc]
    """A display list at its own scale."""

    def __init__(self, picture: DisplayList, run: Run) -> None:
        super().__init__()
        self._run = run
        self._picture = picture

    def wrap(self, *_: float) -> tuple[float, float]:
        """Return width and height, points."""
        return self._picture.width_mm * MM, self._picture.height_mm * MM

    def draw(self) -> None:
        """Draw it with its lower left corner at the origin."""
        if not self._run.dry:
            draw_picture(self.canv, self._picture, 0, 0)


class ToolMark(Flowable):  # type: ignore[misc]
    """Takes no room; notes on which page a tool is put in."""

    def __init__(self, tool: int, run: Run) -> None:
        super().__init__()
        self._tool = tool
        self._run = run

    def wrap(self, *_: float) -> tuple[float, float]:
        """Return width and height, points."""
        return 0.0, 0.0

    def draw(self) -> None:
        """Draw it with its lower left corner at the origin."""
        self._run.tools.setdefault(self.canv.getPageNumber(), self._tool)
