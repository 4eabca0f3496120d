"""One dimension on the board, and its text as a drawing writes it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from turnsketch.geometry.elements import Point

__all__ = ["BoardDimension", "shown_text"]


@dataclass(frozen=True, slots=True)
class BoardDimension:
    """One dimension on the board."""

    kind: Literal["length", "tag"]
    shown: str
    """As drawn: "Ø25 h6"."""
    text: str
    """As typed in the job; empty for a length that only follows from others."""
    section: int | None
    """The section that carries it, or None: one of the part's own lengths."""
    field: str
    """Field of the section, or the index of the length in the part's list."""
    start: Point
    """Tag: the place that it points to. Length: its front end."""
    end: Point
    doubt: Literal["", "repeat", "contradiction"] = ""

    @property
    def key(self) -> tuple[int | None, str]:
        """What tells it from all others."""
        return self.section, self.field


def shown_text(field: str, text: str) -> str:
    """Return dimension text with the sign that a drawing puts before it (ISO 129-1)."""
    bare = text.lstrip("(").lstrip()
    sign = ""
    if field.endswith("diameter") and not bare.upper().startswith(("Ø", "⌀", "S", "DIA")):
        sign = "Ø"
    elif field == "radius" and not bare.upper().startswith(("R", "S")):
        sign = "R"
    elif field == "roughness":
        sign = "√ "
    return "(" + sign + text[1:] if text.startswith("(") else sign + text
